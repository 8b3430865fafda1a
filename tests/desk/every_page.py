"""Every page of the desk in every state that it has, gone through in a browser by keys alone."""

from __future__ import annotations

import json
import re
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from playwright.sync_api import Page, expect

from cardgen.desk.desk import Desk
from cardgen.desk.hangar import Hangar
from cardgen.issuing.reading import keep_reading
from cardgen.issuing.withdraw_deck import withdraw
from cardgen.register.rows import ReadingRow
from cardgen.spec.read_check import read_check
from tests.cli.running import INCH, METRIC
from tests.desk.serving import served_here
from tests.desk.tasks import Waiting, until
from tests.issuing.decks import opened
from tests.issuing.quick import few_cards, workers_in_threads
from tests.logbook.logs import Log, issue_rotor, run, sample
from tests.press.browser import PATIENT

TODAY = date(2026, 11, 25)
#: Nothing here waits so long unless it fails.
LONG = 90_000
CHANGE = (("175 in·lbf", "178 in·lbf"),)


@dataclass(frozen=True)
class Gallery:
    """A desk with a rotor in each state; ``current`` is a code that may be used, ``gone`` one that may not."""

    desk: Desk
    address: str
    current: str
    gone: str

    def of(self, name: str, place: str = "") -> str:
        """The address of a rotor's place."""
        found = next(each for each in self.desk.hangar.rotors() if each.path.stem == name)
        return f"{self.address.partition('/enter')[0]}/rotor/{found.id}/{place}"


@contextmanager
def gallery(folder: Path) -> Iterator[Gallery]:
    """Serve a desk here, in threads, so that it costs no processes; its decks are of two cards."""
    desk = Desk(Hangar(folder), folder.parent / "register.sqlite", lambda: TODAY)
    current, gone = _prepare(desk)
    with ExitStack() as stack:
        for each in (few_cards(), workers_in_threads()):
            stack.enter_context(each)
        yield Gallery(desk, stack.enter_context(served_here(desk)), current, gone)


def one_edition(text: str) -> str:
    """A specification that asks for the pouch edition alone, so that issuing it is quick."""
    return re.sub(r"copies *= \[.*?\n\]", 'editions = ["pouch"]', text, flags=re.DOTALL)


def _prepare(desk: Desk) -> tuple[str, str]:
    folder, out = desk.hangar.folder, desk.register.parent / "out"
    shutil.copy(INCH, folder)
    shutil.copy(METRIC, folder)
    inch, metric = INCH.read_text("utf-8"), METRIC.read_text("utf-8")
    (folder / "rb-2041.toml").write_text(one_edition(metric).replace('"FT-7400"', '"RB-2041"'), "utf-8")
    refused = inch.replace('"NR-0306"', '"RB-2042"').replace('"205 in·lbf"', '"205"', 1)
    (folder / "refused.toml").write_text(refused, "utf-8")
    with opened(desk.register) as book:
        gone = issue_rotor(book, out, sample("ft-7400")).row.code
        issue_rotor(book, out, sample("nr-0306", CHANGE))
        log = issue_rotor(book, out)
        # The first change was half of what was needed, so that there is a next step to show.
        moved = {"dial_after": "43.5", "total": "43.5", "total_blade": "B"}
        log.runs(run(1, "1.25", "B", **moved), run(2, "0.4", "B"))
        assert not isinstance(withdraw(book, gone, "a wrong page was copied", TODAY), Exception)
        return log.row.code, gone


def entry(desk: Desk, split: str) -> str:
    """The text of an entry of one run more."""
    with opened(desk.register) as book:
        row = book.newest("NR-0306")
        assert row is not None
        record = {"date": "2026-11-24"}
        return json.dumps(Log(book, desk.register.parent, row).entry(runs=[run(1, split, "B")], record=record))


def pages_of(part: str, page: Page, made: Gallery) -> Iterator[str]:
    """Go through the pages of one part of the desk; each time one is ready, give its name."""
    page.set_default_timeout(LONG)
    expect.set_options(timeout=LONG)
    try:
        page.goto(made.address)
        yield from PARTS[part](page, made)
    finally:
        expect.set_options(timeout=PATIENT)


def _press(page: Page, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).press("Enter")


def _places(page: Page, made: Gallery) -> Iterator[str]:
    page.goto(made.address)
    expect(page.locator(".hangar .deck")).to_have_count(4)
    yield "hangar"
    page.get_by_role("link", name="New rotor").press("Enter")
    expect(page.get_by_label("Name of its file")).to_be_visible()
    yield "new rotor"
    for name in ("nr-0306", "refused"):
        page.goto(made.of(name))
        yield f"rotor, {name}"
    page.goto(f"{made.of('nr-0306')}nothing")
    yield "no such page"
    page.goto(made.of("nr-0306", "fill/letter"))
    yield "letter"


def _filling(page: Page, made: Gallery) -> Iterator[str]:
    for name, group in (("nr-0306", "track"), ("nr-0306", "fasteners"), ("refused", "fasteners")):
        page.goto(made.of(name, f"fill/{group}"))
        # Its sheet, or why there is none.
        expect(page.locator("#sheet svg, #sheet p:not(.soft)").first).to_be_visible()
        yield f"fill in, {name}, {group}"
    page.goto(made.of("rb-2041", "fill/blades"))
    chord = page.get_by_label("Chord", exact=True)
    chord.fill("8.75")
    chord.press("Tab")
    expect(page.locator("#blades-chord-problem")).to_contain_text("is below anything")
    for each in page.locator("#form details summary").all()[:3]:
        each.press("Enter")
    yield "fill in, a problem and help"
    rotor = made.desk.hangar.folder / "rb-2041.toml"
    theirs = rotor.read_text("utf-8")
    rotor.write_text(theirs.replace("Buchstabe A", "Buchstabe Aa"), "utf-8")
    page.keyboard.press("Control+s")
    expect(page.get_by_role("heading", level=1)).to_have_text("Two versions")
    yield "two versions"
    _press(page, "Take what is in the file")
    expect(page.locator("#kept")).to_have_text("Saved.")
    rotor.write_text(theirs, "utf-8")


def _reading(page: Page, made: Gallery) -> Iterator[str]:
    page.goto(made.of("rb-2041", "issue/"))
    _ask_to_issue(page, "A. Approver")
    expect(page.get_by_text("Nothing was issued")).to_be_visible()
    yield "issue, not read"
    page.goto(made.of("rb-2041", "read/"))
    page.keyboard.press("r")
    yield "read"
    _press(page, "Keep this reading")
    page.get_by_label("Name of who has read it").fill("R. Reader")
    _press(page, "Keep this reading")
    expect(page.get_by_role("alert")).to_contain_text("not read yet")
    yield "read, not all"
    page.locator("#v1 input").first.focus()
    page.keyboard.press("n")
    _press(page, "Keep this reading")
    expect(page.get_by_role("heading", level=1)).to_have_text("Not right: to be mended")
    yield "read, to be mended"
    page.get_by_role("link", name="Read again", exact=True).press("Enter")
    # What was right before stays so, and nothing else is.
    expect(page.locator("#v0 [value=right]")).to_be_checked()
    expect(page.locator("#v1 input").first).to_be_focused()
    expect(page.locator("#reading input:checked")).to_have_count(1)
    page.keyboard.press("r")
    page.keyboard.press("r")
    # The other hundred at once: what a key does was seen.
    page.evaluate("for (const each of document.querySelectorAll('[value=right]')) each.checked = true")
    page.get_by_label("not right").last.focus()
    page.keyboard.press("r")
    expect(page.locator("#left")).to_have_text("Everything is read.")
    page.keyboard.type("R. Reader")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("The reading is kept")
    yield "read, kept"
    _keep_reading(made, INCH.name)
    inch = made.desk.hangar.folder / INCH.name
    inch.write_text(inch.read_text("utf-8").replace(*CHANGE[0]), "utf-8")
    page.goto(made.of("nr-0306", "read/"))
    expect(page.get_by_text("here stands only what changed since")).to_be_visible()
    yield "read, what changed"


def _keep_reading(made: Gallery, name: str) -> None:
    check = read_check((made.desk.hangar.folder / name).read_bytes())
    with opened(made.desk.register) as book:
        assert isinstance(keep_reading(book, "as read", check, "R. Reader", check, TODAY), ReadingRow)


def _issuing(page: Page, made: Gallery) -> Iterator[str]:
    _keep_reading(made, "rb-2041.toml")
    for name in ("refused", "nr-0306", "ft-7400"):
        page.goto(made.of(name, "issue/"))
        yield f"issue, {name}"
    page.goto(made.of("ft-7400", "issue/recall"))
    yield "recall list"
    page.goto(made.of("rb-2041", "issue/"))
    _ask_to_issue(page, "r. reader")
    expect(page.get_by_text("Nothing was issued")).to_be_visible()
    yield "issue, approved by the reader"
    with tempfile.TemporaryDirectory() as folder:
        (rotor,) = (each for each in made.desk.hangar.rotors() if each.path.stem == "rb-2041")
        job = made.desk.jobs.start(rotor.id, "Issue", Waiting(Path(folder)), "")
        assert job is not None
        page.goto(made.of("rb-2041", "issue/"))
        expect(page.get_by_text(re.compile(r"Issue: under way, \d+ s"))).to_be_visible()
        yield "issue, under way"
        (Path(folder) / "end").touch()
        expect(page.get_by_text(re.compile(r"Issue: done, \d+ s"))).to_be_visible()
        until(lambda: job.is_over)
    page.goto(made.of("rb-2041", "issue/"))
    _ask_to_issue(page, "A. Approver")
    expect(page.get_by_text("Issued: revision 1")).to_be_visible()
    yield "issue, done"
    page.get_by_label("Only some cards").press("T")
    _press(page, "Show")
    expect(page.get_by_role("heading", level=1)).to_have_text("Print again")
    yield "print again"
    page.go_back()
    page.get_by_label("Why", exact=True).fill("a word was wrong")
    _press(page, "Withdraw")
    expect(page.get_by_role("heading", level=1)).to_have_text("Copies to take down")
    yield "withdrawn"


def _ask_to_issue(page: Page, who: str) -> None:
    page.get_by_label("Who answers for it").fill(who)
    page.get_by_label("Why it is issued").fill("first issue")
    page.keyboard.press("Enter")


def _checking(page: Page, made: Gallery) -> Iterator[str]:
    page.goto(made.of("nr-0306"))
    page.get_by_role("link", name="Check a code").press("Enter")
    for what, typed in (
        ("nothing yet", ""),
        ("current", made.current),
        ("out of use", made.gone),
        ("unknown", "0000-0000-0"),
        ("a rotor's name", "NR-0306"),
    ):
        if typed:
            page.get_by_label("The code from the foot of the card").fill(typed)
            page.keyboard.press("Enter")
            expect(page.locator(".verdict")).to_be_visible()
            expect(page.locator("#code")).to_have_value(typed)
        yield f"check, {what}"


def _logging(page: Page, made: Gallery) -> Iterator[str]:
    for name in ("refused", "ft-7400", "nr-0306"):
        page.goto(made.of(name, "log/"))
        yield f"log, {name}"
    for what, text in (
        ("no entry", "nothing"),
        ("asks", entry(made.desk, "12.5")),
        ("kept", entry(made.desk, "0.42")),
    ):
        page.goto(made.of("nr-0306", "log/"))
        page.get_by_label("Or the text that the form showed").fill(text)
        _press(page, "Add")
        place = page.locator("main section").first
        expect(place).to_contain_text(
            {"no entry": "Nothing was kept", "asks": "Is this right?", "kept": "kept"}[what]
        )
        yield f"log, {what}"


PARTS: Mapping[str, Callable[[Page, Gallery], Iterator[str]]] = {
    "places": _places,
    "fill in": _filling,
    "read": _reading,
    "issue": _issuing,
    "check": _checking,
    "log": _logging,
}
