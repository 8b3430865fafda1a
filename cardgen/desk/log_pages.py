"""Log: an entry dropped in, its doubts asked about, runs and trends drawn, the next step beside the row."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, abort, request
from markupsafe import Markup

from cardgen.desk.issue_state import sheets_of
from cardgen.desk.pages import Place, page, the_desk, the_rotor
from cardgen.desk.safety import POLICY_FORM
from cardgen.desk.shared_words import end_trouble, opened
from cardgen.issuing.fleet.run import read_whole
from cardgen.logbook.adding import Asked, Kept, add
from cardgen.logbook.charts import track_chart, trend_chart
from cardgen.logbook.entry_file import LARGEST
from cardgen.logbook.fit_report import dial_words, lines_of, split_words, why_this
from cardgen.logbook.history import history_of
from cardgen.logbook.keeping import entries_of, issued_deck
from cardgen.logbook.partial_entry import read_partly
from cardgen.logbook.records import Shown, shown
from cardgen.logbook.track_learning import Learned, learn
from cardgen.logbook.track_rule import NoRule
from cardgen.logbook.trend import all_series, forecast_words
from cardgen.press.svg import to_svg
from cardgen.register.currency import verify_code
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.state import Standing, state_words
from cardgen.spec.problem import Problem
from cardgen.spec.safe_text import plain, shortened

_PAGES = Blueprint("log", __name__, url_prefix="/rotor/<rotor_id>/log")
PLACE = Place("Log", _PAGES, "log.show", of_rotor=True)


@dataclass(frozen=True)
class _Step:
    """The next step and the card's row for the same split, as the hand reads both."""

    blade: str
    split: str
    row: str
    step: str
    why: str


@dataclass(frozen=True)
class _Log:
    """All that the page tells of a rotor's log; ``out_of_use`` is why no step is made by its newest deck."""

    entries: tuple[Shown, ...]
    lines: tuple[str, ...]
    step: _Step | None
    charts: tuple[tuple[Markup, str], ...]
    out_of_use: str


@_PAGES.get("/")
def show(rotor_id: str) -> str:
    """Show what the log holds and what it says."""
    return _page(rotor_id)


@_PAGES.post("/")
def add_entry(rotor_id: str) -> str:
    """Check an entry and keep it, or ask first whether it was read so."""
    given, text = request.files.get("file"), request.form.get("text", "")
    name, content = "the entry", text.encode("utf-8", "replace")
    if given is not None and given.filename:
        name, content = shortened(plain(given.filename)), given.read(LARGEST + 1)
    if not content.strip():
        return _page(
            rotor_id,
            problems=(
                Problem(
                    name,
                    0,
                    0,
                    "",
                    "empty",
                    "",
                    "no file was chosen and no text typed",
                    "the entry; a file that is chosen is added at once",
                ),
            ),
        )
    corrects = request.form.get("corrects", "").strip()
    number = int(corrects) if corrects.isascii() and corrects.isdigit() and len(corrects) < 10 else None
    if corrects and not number:
        return _page(rotor_id, problems=(_no_number(corrects),), text=text)
    today = the_desk().today()
    read = read_partly(content, name, today)
    if isinstance(read, tuple):
        return _page(rotor_id, problems=read, text=text)
    as_read = request.form.get("as_read") == "yes"
    with opened(the_desk(), "write") as book:
        set_id = _set_id(rotor_id)
        made = add(book, read, name, today, set_id=set_id, corrects=number, as_read=as_read)
    if isinstance(made, RegisterTrouble):
        end_trouble(made)
    if isinstance(made, Asked):
        told = content.decode("utf-8", "replace")
        return _page(rotor_id, questions=made.questions, text=told, corrects=corrects)
    if isinstance(made, Kept):
        return _page(rotor_id, kept=made, standing=state_words(made.standing))
    return _page(rotor_id, problems=made, text=text)


@_PAGES.get("/form")
def form(rotor_id: str) -> Response:
    """Answer the form of the newest deck, shut off from the desk: what it saves is brought back as a file."""
    set_id = _set_id(rotor_id)
    with opened(the_desk(), "read") as book:
        newest = book.newest(set_id)
    if newest is None:
        abort(404, "No deck of this rotor is issued, so there is no form of it.")
    kept = sheets_of(the_desk(), newest.code, "").files.get("log-entry.html")
    if kept is None:
        abort(404, "This deck has no form.")
    return Response(kept, mimetype="text/html", headers={"Content-Security-Policy": POLICY_FORM})


def _no_number(typed: str) -> Problem:
    why = "this is not the number of an entry"
    return Problem("the entry", 0, 0, "corrects", "entry-corrects", shortened(plain(typed)), why, "such as 3")


def _set_id(rotor_id: str) -> str:
    """Tell which rotor is meant, whatever stands against its file; one without a name has no log."""
    return _named(rotor_id) or abort(409, "This file names no rotor, so there is no log of it.")


def _named(rotor_id: str) -> str:
    rotor, desk = the_rotor(rotor_id), the_desk()
    text = read_whole(rotor.path)
    found = None if isinstance(text, str) else desk.hangar.surveyed(rotor, text, desk.today()).identity
    return found.set_id if found else ""


def _page(rotor_id: str, **told: object) -> str:
    values = {"problems": (), "questions": (), "kept": None, "standing": "", "text": "", "corrects": ""}
    set_id = _named(rotor_id)
    log = _log(set_id) if set_id else None
    return page("log.html.j2", "Log", the_rotor(rotor_id), log=log, named=bool(set_id), **{**values, **told})


def _log(set_id: str) -> _Log | None:
    book = the_desk().opened_register()
    if isinstance(book, RegisterTrouble):
        end_trouble(book)
    if book is None:
        return None
    with book:
        return _told(book, set_id)


def _told(book: Register, set_id: str) -> _Log | None:
    newest = book.newest(set_id)
    if newest is None:
        return None
    deck, entries = issued_deck(book, newest), entries_of(book, set_id)
    where = verify_code(book, newest.code, the_desk().today())
    for found in (deck, entries, where):
        if isinstance(found, RegisterTrouble):
            end_trouble(found)
    assert not isinstance(deck, RegisterTrouble)
    assert not isinstance(entries, RegisterTrouble)
    assert isinstance(where, Standing)
    learned = learn(history_of(entries, deck))
    track = track_chart(learned)
    charts = [(Markup(to_svg(track, "chart")), "")] if track is not None else []
    for at, each in enumerate(all_series(entries)):
        charts.append((Markup(to_svg(trend_chart(each), f"chart-{at}")), forecast_words(each)))
    out_of_use = "" if where.state == "current" else state_words(where)
    step = None if out_of_use else _step(learned)
    return _Log(shown(entries), lines_of(learned) if entries else (), step, tuple(charts), out_of_use)


def _step(learned: Learned) -> _Step | None:
    step, rule = learned.step, learned.history.rule
    if step is None or isinstance(rule, NoRule):
        return None
    split = split_words(rule, abs(step.row_split))
    return _Step(step.blade, split, dial_words(rule, step.row), dial_words(rule, step.step), why_this(step))
