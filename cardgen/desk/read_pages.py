"""Read against the paper: value by value in the order of the papers, right or not, and a name at the end."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import ExitStack

from flask import Blueprint, abort, request

from cardgen.deck.fault import BuildFault
from cardgen.desk.pages import Place, page, the_desk, the_rotor
from cardgen.desk.read_text import keep_read_text, read_text
from cardgen.desk.shared_words import end_trouble, opened
from cardgen.issuing.fleet.run import read_whole
from cardgen.issuing.issue_request import IssueRefused
from cardgen.issuing.reading import keep_reading
from cardgen.issuing.to_read import ToRead, to_read
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.rows import ReadingRow
from cardgen.spec.load import load_bytes
from cardgen.spec.problem import Problem
from cardgen.spec.read_check import read_check

_PAGES = Blueprint("read", __name__, url_prefix="/rotor/<rotor_id>/read")
PLACE = Place("Read against the paper", _PAGES, "read.show", of_rotor=True)


@_PAGES.get("/")
def show(rotor_id: str) -> str:
    """Show what is to be read."""
    return _shown(rotor_id, _found(rotor_id)[2], {})


@_PAGES.post("/")
def keep(rotor_id: str) -> str:
    """Keep a reading in which everything is right; else tell what is to be mended or still to be read."""
    rotor = the_rotor(rotor_id)
    text = read_whole(rotor.path)
    set_id, problems, found = _found(rotor_id)
    if found is None or problems or not found.new:
        return _shown(rotor_id, found, {})
    if request.form.get("check") != found.check:
        abort(409, "Nothing was kept: the file was changed while it was read. Open the page again.")
    asked = [f"v{at}" for at in range(len(found.new))]
    said = {name: request.form.get(name, "") for name in asked}
    wrong = [each for name, each in zip(asked, found.new, strict=True) if said[name] == "wrong"]
    if wrong:
        return page("read_mend.html.j2", "Not right: to be mended", the_rotor(rotor_id), wrong=wrong)
    unread = sum(said[name] != "right" for name in asked)
    if unread:
        return _shown(rotor_id, found, said, unread=unread)
    with opened(the_desk(), "create") as book:
        by, check = request.form.get("by", ""), request.form["check"]
        kept = keep_reading(book, set_id, found.check, by, check, the_desk().today())
    if isinstance(kept, RegisterTrouble):
        end_trouble(kept)
    if isinstance(kept, IssueRefused):
        return _shown(rotor_id, found, said, problems=kept.problems)
    if isinstance(text, bytes) and read_check(text) == kept.check:
        keep_read_text(rotor.path, text)
    return page("read_kept.html.j2", "The reading is kept", the_rotor(rotor_id), kept=kept)


def _found(rotor_id: str) -> tuple[str, tuple[Problem, ...], ToRead | None]:
    rotor, desk = the_rotor(rotor_id), the_desk()
    text = read_whole(rotor.path)
    if isinstance(text, str):
        abort(409, f"The file cannot be read: {text}.")
    loaded = load_bytes(text, rotor.name, desk.today())
    if loaded.spec is None:
        return "", loaded.problems, None
    with ExitStack() as stack:
        book = desk.opened_register()
        if isinstance(book, RegisterTrouble):
            end_trouble(book)
        if isinstance(book, Register):
            stack.enter_context(book)
        try:
            found = to_read(loaded.spec, loaded.warnings, book, read_text(rotor.path))
        except BuildFault as fault:
            abort(500, f"The layouts are at fault, not the specification: {fault}.")
        if isinstance(found, RegisterTrouble):
            end_trouble(found)
    return loaded.spec.rotor.set_id, (), found


def _shown(
    rotor_id: str,
    found: ToRead | None,
    said: Mapping[str, str],
    unread: int = 0,
    problems: tuple[Problem, ...] = (),
) -> str:
    against = problems or (_found(rotor_id)[1] if found is None else ())
    readings: tuple[ReadingRow, ...] = ()
    book = the_desk().opened_register()
    if found is not None and isinstance(book, Register):
        with book:
            readings = book.readings(found.check)
    values = {"found": found, "said": said, "unread": unread, "problems": against, "readings": readings}
    by = request.form.get("by", "")
    return page("read.html.j2", "Read against the paper", the_rotor(rotor_id), by=by, **values)
