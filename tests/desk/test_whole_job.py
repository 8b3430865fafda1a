"""The whole job of a keeper in the browser: from an empty folder and a leaflet to three runs in the log.

No command is given after ``cardgen desk``. The values are those of the invented leaflet in `tests/leaflet`;
what the dial must show is worked from its one rule, 28 thousandths for an inch (leaflet, page 2).
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, expect

from tests.desk.person import LONG, Person
from tests.desk.serving import served
from tests.desk.test_desk_words import OF_A_TERMINAL
from tests.leaflet.test_leaflet import ENTERED

#: The day on which the desk of these tests stands.
TODAY = "2026-11-25"
#: Every box of the leaflet's file, and 40 for the rest of the job; a click for each page, line and tick.
MOST_TYPED, MOST_CLICKS = 250, 120
#: How the file is written, which is no business of who fills in boxes.
OF_THE_FILE = re.compile(r"\[\[[a-z]|not_given|quotes")


def from_the_leaflet() -> Mapping[str, Any]:
    """What is typed, group by group; of two editions one is made, as the other shows nothing more."""
    entered = tomllib.loads(ENTERED.read_text("utf-8"))
    entered["print"] = {"editions": ["wall"], "copies": entered["print"]["copies"][:1]}
    return entered


def test_a_leaflet_becomes_a_deck_that_is_changed_by_a_letter_and_logged(
    chromium: Browser, folder: Path
) -> None:
    complaints: list[str] = []
    with (
        served(folder) as (_, address),
        chromium.new_context(viewport={"width": 1400, "height": 1000}, accept_downloads=True) as context,
    ):
        page = context.new_page()
        page.set_default_timeout(LONG)
        page.clock.set_fixed_time(f"{TODAY}T12:00:00")
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("console", lambda message: complaints.append(message.text))
        page.goto(address)
        somebody = Person(page)
        fill_in(somebody)
        first = read_and_issue(somebody, "first issue")
        open_what_is_printed(somebody)
        assert somebody.check(first).startswith("✓ Current")
        change_a_torque(somebody)
        second = read_and_issue(somebody, "letter 7: strap bolts to 125 in·lbf at most")
        old = somebody.check(first)
        assert "Do not use" in old and second in old
        assert somebody.check(second).startswith("✓ Current")
        enter_three_runs(somebody, page)
    print(f"{somebody.typed} typed, {somebody.clicks} clicks, {somebody.waited:.0f} s waited")
    assert complaints == []
    assert somebody.typed <= MOST_TYPED
    assert somebody.clicks <= MOST_CLICKS
    told = "\n".join(somebody.told)
    assert [*OF_A_TERMINAL.findall(told), *OF_THE_FILE.findall(told)] == []


def fill_in(somebody: Person) -> None:
    page = somebody.page
    expect(page.locator("main")).to_contain_text("there is no rotor here yet", timeout=LONG)
    somebody.place("New rotor")
    somebody.type(page.get_by_label("Name of its file"), "sw-24")
    somebody.button("Begin")
    somebody.fill_in(from_the_leaflet())
    somebody.open(page.get_by_role("button", name="Save", exact=True))
    expect(page.locator("#kept")).to_have_text("Saved.", timeout=LONG)
    assert page.locator("[data-count]").filter(has_text="to look at").all_text_contents() == []
    to_group(somebody, "Track")
    with somebody.waits():
        # Beside a group stands a sheet of the cards that it changes, as it would print.
        expect(page.locator("#sheet svg.paper")).to_be_visible(timeout=LONG)


def read_and_issue(somebody: Person, why: str) -> str:
    """Another person reads it, and somebody else answers for it. Of a change only what changed is read."""
    somebody.place("Read against the paper")
    again = somebody.page.get_by_text("here stands only what changed since").count()
    read = somebody.read_all("R. Reader")
    assert read <= 10 if again else read > 100, read
    somebody.place("Issue")
    return somebody.issue("A. Approver", why)


def open_what_is_printed(somebody: Person) -> None:
    """Each file opens in the browser's own viewer, where it is a PDF; a frame of the desk's own may hold it."""
    page = somebody.page
    sheets = page.locator(".sheets a")
    assert "Wall wall.pdf" in sheets.all_text_contents()
    for link in sheets.all():
        answer = page.request.get(f"{page.url.partition('/rotor')[0]}{link.get_attribute('href')}")
        assert answer.headers["content-type"] == "application/pdf"
        assert answer.body().startswith(b"%PDF-")
    with page.context.expect_page() as opened:
        somebody.click(sheets.filter(has_text="Wall wall.pdf"))
    opened.value.close()
    # In a frame of the desk's own, too: a policy that refused it would complain.
    page.evaluate(
        """async (address) => {
            const frame = document.createElement("iframe");
            const loaded = new Promise((done) => frame.addEventListener("load", done));
            frame.src = address;
            document.body.append(frame);
            await loaded;
            frame.remove();
        }""",
        sheets.first.get_attribute("href"),
    )


def change_a_torque(somebody: Person) -> None:
    """The maker's letter 7 gives the strap bolts 125 in·lbf at most, where the leaflet gave 130."""
    page = somebody.page
    to_the_rotor(somebody)
    somebody.place("Fill in")
    somebody.open(page.get_by_role("button", name="Add one more"))
    letter = ("LETTER-7", "maker", "Letter on strap bolts", "7", "2026-11-20")
    for key, text in zip(("id", "kind", "title", "revision", "date"), letter, strict=True):
        somebody.type(page.get_by_label(f"{key}, no. 3", exact=True), text)
    to_group(somebody, "Fasteners")
    most = page.get_by_label("torque max, no. 1", exact=True)
    somebody.type(most, "125")
    somebody.click(page.locator("td").filter(has=most).locator("summary"))
    for asked, text in (("Document", "LETTER-7"), ("Place in it", "p.1")):
        somebody.type(page.get_by_label(f"{asked}, only torque max, no. 1, comes from", exact=True), text)
    with somebody.waits():
        # The very number, marked where it will stand on the sheet.
        expect(page.locator("#sheet .itself").first).to_be_attached(timeout=LONG)
    page.locator("#sheet .itself").first.hover()
    expect(page.locator("#from")).to_contain_text("LETTER-7 p.1", timeout=LONG)
    somebody.open(page.get_by_role("button", name="Save", exact=True))
    somebody.place("Issue")
    would = page.get_by_role("region", name="What would change").inner_text()
    assert "130 in·lbf is now 125 in·lbf" in would


def to_group(somebody: Person, name: str) -> None:
    somebody.click(somebody.page.get_by_text("All groups"))
    somebody.open(somebody.page.locator("details.groups").get_by_role("link", name=name, exact=True))


def to_the_rotor(somebody: Person) -> None:
    somebody.place("The hangar")
    somebody.open(somebody.page.get_by_role("link", name="SW-24"))


def enter_three_runs(somebody: Person, page: Page) -> None:
    """The form is filled in beside the rotor, with one slip of the pen that the log asks about."""
    to_the_rotor(somebody)
    somebody.place("Log")
    with page.context.expect_page() as opened:
        somebody.click(page.get_by_role("link", name="The form of the newest deck"))
    form = opened.value
    form.locator("#entry[data-ready=yes]").wait_for()
    writing = Person(form)
    for label, text in (("Date the work was finished", TODAY), ("What was done", "track, three runs")):
        writing.type(form.get_by_label(re.compile(f"^{label}")), text)
    for name, text in {"changed": "nothing", "total": "0"}.items():
        writing.type(form.locator(f"#run-0-{name}"), text)
    # An inch asks for 28 thou: 3/4 in for 21, 1/2 in for 14. The second split is written without its point.
    runs = (
        {"split": "0.75", "changed": "blade A lowered", "dial": "21", "total": "21", "lowered": "A"},
        {"split": "5", "changed": "blade A lowered", "dial": "14", "total": "35", "lowered": "A"},
        {"split": "0.375", "method": "from a video"},
    )
    for at, run in enumerate(runs, 1):
        for name, text in {"high": "A", "method": "by eye", **run}.items():
            writing.type(form.locator(f"#run-{at}-{name}"), text)
    bring(somebody, writing)
    expect(page.get_by_role("heading", name="Is this right?")).to_be_visible(timeout=LONG)
    somebody.open(page.get_by_role("link", name="No, keep nothing"))
    writing.type(form.locator("#run-2-split"), "0.5")
    bring(somebody, writing)
    expect(page.locator("#came")).to_have_text("Entry 1: kept", timeout=LONG)
    step = page.get_by_role("table").filter(has_text="The card's row").inner_text()
    # No more than 3/8 in asks for, the card's next smaller row: 28 · 1/4 = 7 thou.
    assert "7.0" in step and "lowering blade A" in step, step
    expect(page.locator("main figure svg").first).to_be_visible(timeout=LONG)
    somebody.typed, somebody.clicks = somebody.typed + writing.typed, somebody.clicks + writing.clicks
    somebody.place("The hangar")
    expect(page.locator("main")).to_contain_text(f"Last run {TODAY}", timeout=LONG)


def bring(somebody: Person, writing: Person) -> None:
    """Save the entry in the form, and give the file to the log."""
    with writing.page.expect_download() as saved:
        writing.click(writing.page.get_by_role("button", name="Save entry"))
    with somebody.waits(), somebody.page.expect_navigation():
        somebody.page.get_by_label("The file that the form saved").set_input_files(saved.value.path())
    somebody.clicks += 1
    somebody.look()
