"""Track runs in the form, in a real browser at phone size: a day of three runs, and what each reading tells."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader

from cardgen.deck.build import build_deck
from cardgen.deck.card import Stamp
from cardgen.figures import compute
from cardgen.figures.track_end import End
from cardgen.figures.track_verdict import Verdict
from cardgen.logbook.entry import ReadEntry, read_entry
from cardgen.press.form import to_form
from cardgen.press.form_runs import JUDGED, runs
from tests.cli.running import INCH, METRIC
from tests.figures.specs import spec_of, track_change
from tests.figures.test_track_verdict import MISTAKES
from tests.logbook.logs import BY_FLATS
from tests.logbook.logs import sample as loaded
from tests.press.browser import Visit, visit
from tests.press.samples import sample
from tests.press.screen_deck import deck, spec

VIDEO = "1/16"


@dataclass
class Sheet:
    """The blocks of the runs, filled in as a hand does."""

    visit: Visit

    @property
    def page(self) -> Page:
        """The page itself."""
        return self.visit.page

    def run(self, at: int, split: str, high: str, last: str = "", last_high: str = "", method: str = "") -> str:
        """Fill in what was read, and give what the form then says."""
        self.page.fill(f"#run-{at}-split", split)
        self.page.select_option(f"#run-{at}-high", high)
        if last or last_high:
            self.page.fill(f"#run-{at}-last", last)
            self.page.select_option(f"#run-{at}-last-high", last_high)
        if method:
            self.page.select_option(f"#run-{at}-method", method)
        return self.told(at)

    def changed(self, at: int, what: str, dial: str = "", total: str = "", lowered: str = "") -> str:
        """Fill in what was changed, and give what the form then says of the total."""
        self.page.select_option(f"#run-{at}-changed", what)
        if dial:
            self.page.fill(f"#run-{at}-dial", dial)
        if total:
            self.page.fill(f"#run-{at}-total", total)
            self.page.select_option(f"#run-{at}-lowered", lowered)
        return self.words(f"#run-{at}-sum")

    def told(self, at: int) -> str:
        """What the form says of a run."""
        return self.words(f"#run-{at}-told")

    def words(self, place: str) -> str:
        """The text of one place, its spaces plain."""
        return (self.page.text_content(place) or "").replace("\u00a0", " ")

    def save(self) -> dict[str, Any]:
        """Fill in what every entry needs, and save it."""
        self.page.fill("#record-date", "2026-11-21")
        self.page.fill("#record-work", "Track runs.\nLock nuts checked.")
        with self.page.expect_download() as waited:
            self.page.click("#save")
        entry = json.loads(Path(waited.value.path()).read_text("utf-8"))
        assert isinstance(entry, dict)
        return entry


@pytest.fixture
def sheet(chromium: Browser, tmp_path: Path) -> Iterator[Sheet]:
    """The form of the inch sample, opened by a scan of its track card."""
    shown = sample(INCH)
    with visit(
        chromium, to_form(shown), tmp_path, width=360, fragment=f"#c={shown.stamp.code}&k=track"
    ) as seen:
        yield Sheet(seen)
        assert seen.complaints == [] and len(set(seen.requests)) == 1


@pytest.fixture(scope="module")
def rules(chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """One page whose rules are asked directly; nothing is typed on it."""
    with visit(chromium, to_form(deck()), tmp_path_factory.mktemp("rules")) as seen:
        yield seen.page


def a_day(sheet: Sheet) -> None:
    """Three runs: 35 thou an inch are 35.0 for the row of 1 in, 17.5 for that of 1/2 in; inside at 1/4 in."""
    sheet.page.fill("#run-0-total", "0")
    told = sheet.run(1, "1-1/4", "A", "1-1/8", "A", "video")
    moves = "loosen the one marked one groove, then tighten the one marked two grooves"
    assert f"Blade A is high, one punch mark: {moves}." in told
    assert "The card's row for 1.00 in: the dial must read 35.0 thou." in told
    assert sheet.changed(1, "A", "35", "35", "A") == "Total from as delivered: 35.0 thou toward lowering A."
    told = sheet.run(2, "0.55", "A", "0.5", "A")
    # From 1.1875 to 0.525 in is 0.66 of what 35 thou should do.
    assert told.startswith("Second reading: half of what was needed was made.")
    assert "The card's row for 0.50 in: the dial must read 17.5 thou." in told
    assert sheet.changed(2, "A", "17.5") == "Total from as delivered: 52.5 thou toward lowering A."
    told = sheet.run(3, "0.1", "A", "", "level")
    assert told == (
        "Second reading: the rule fits this rotor.\nInside the limit once: run and read again, change nothing."
    )
    sheet.changed(3, "no")


def test_a_day_of_three_runs_is_one_block_after_another_and_one_list_in_the_entry(sheet: Sheet) -> None:
    expect(sheet.page.locator("#run-2-split")).to_have_count(0)
    a_day(sheet)
    expect(sheet.page.locator("#run-4-split")).to_have_count(1)
    assert sheet.page.evaluate("document.documentElement.scrollWidth") <= 360
    entry = sheet.save()
    assert sheet.visit.violations() == []
    assert entry["runs"] == [
        {
            "run": 1,
            "unit": "in",
            "method": "video",
            "split": "1+1/4",
            "high_blade": "A",
            "last_split": "1+1/8",
            "last_high": "A",
            "dial_after": "35",
            "dial_unit": "thou",
            "total": "35",
            "total_blade": "A",
        },
        {
            "run": 2,
            "unit": "in",
            "method": "video",
            "split": "0.55",
            "high_blade": "A",
            "last_split": "0.5",
            "last_high": "A",
            "dial_after": "17.5",
            "dial_unit": "thou",
        },
        {
            "run": 3,
            "unit": "in",
            "method": "video",
            "split": "0.1",
            "high_blade": "A",
            "last_split": "0",
            "last_high": "level",
        },
    ]
    assert "values" not in entry and "touched_when" not in entry


def test_the_text_under_save_is_the_same_entry(sheet: Sheet) -> None:
    a_day(sheet)
    sheet.page.check("[data-touched='a strap bolt loosened']")
    sheet.page.select_option("#when", "before the runs")
    sheet.page.fill("#record-defects", "none \\ C:\\n")
    entry, text = sheet.save(), sheet.page.inner_text("#text")
    found = [read_entry(each.encode(), "entry", date(2026, 11, 25)) for each in (json.dumps(entry), text)]
    assert isinstance(found[0], ReadEntry) and found[0].kept == entry
    assert isinstance(found[1], ReadEntry), found[1]
    assert found[1].kept == entry
    sheet.page.fill("#record-place", "another")
    expect(sheet.page.locator("#text")).to_be_hidden()
    # Short enough for a photograph: one screen of a computer.
    assert len(text.splitlines()) < 60


def test_a_draft_of_runs_is_kept_over_a_reload_and_forgotten_on_demand(sheet: Sheet) -> None:
    a_day(sheet)
    before = [sheet.told(at) for at in (1, 2, 3)]
    sheet.page.reload()
    assert [sheet.told(at) for at in (1, 2, 3)] == before
    expect(sheet.page.locator("#run-3-last-high")).to_have_value("level")
    sheet.page.click("#forget")
    sheet.page.click("#forget")
    expect(sheet.page.locator("#run-2-split")).to_have_count(0)
    expect(sheet.page.locator("#run-1-split")).to_have_value("")
    assert sheet.told(1) == ""


def test_the_page_opens_at_the_top_of_the_card_that_was_scanned(chromium: Browser, tmp_path: Path) -> None:
    shown = sample(INCH)
    for card, opened in (("track", "track"), ("second-reading", "track"), ("head", "head")):
        fragment = f"#c={shown.stamp.code}&k={card}"
        with visit(chromium, to_form(shown), tmp_path, width=360, fragment=fragment) as seen:
            top = seen.page.locator("#arrival").bounding_box()
            block = seen.page.locator(f"[data-card={opened}]").bounding_box()
            assert top and block and -1 <= top["y"] < block["y"] < 100


def test_the_print_for_wet_ink_has_two_pages_at_most_with_every_box_filled(sheet: Sheet) -> None:
    a_day(sheet)
    sheet.run(4, "0.1", "A", "0.1", "A")
    sheet.page.evaluate(
        """document.querySelectorAll('[data-card] [data-name]:not([data-name^="run-"])').forEach((one) => {
            if (one.tagName === 'SELECT') one.selectedIndex = 1; else one.value = '12.5';
        })"""
    )
    for line in ("work", "parts", "tools", "defects", "not_done"):
        sheet.page.fill(f"#record-{line}", "Words on two lines,\nas a hand would write them.")
    pages = PdfReader(BytesIO(sheet.page.pdf(prefer_css_page_size=True))).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert len(pages) <= 2
    assert text.count("Signature") == 3 and text.count("Changed after this run") == 3


def test_runs_and_other_work_in_one_entry_ask_which_came_first(sheet: Sheet) -> None:
    when = sheet.page.locator("#when-line")
    sheet.page.check("[data-touched='a strap bolt loosened']")
    expect(when).to_be_hidden()
    sheet.run(1, "1", "B", "1", "B", "by eye")
    expect(when).to_be_visible()
    sheet.page.fill("#record-date", "2026-11-21")
    sheet.page.fill("#record-work", "x")
    sheet.page.click("#save")
    expect(sheet.page.locator("#when")).to_be_focused()
    sheet.page.select_option("#when", "after the runs")
    assert sheet.save()["touched_when"] == "after the runs"


def test_what_was_measured_on_a_card_that_touches_the_track_asks_it_too(sheet: Sheet) -> None:
    when = sheet.page.locator("#when-line")
    sheet.run(1, "1", "B", "1", "B", "by eye")
    sheet.page.evaluate("document.querySelectorAll('details').forEach((one) => { one.open = true; })")
    sheet.page.fill("#box-head-play-front", "2")
    sheet.page.fill("#box-shake-shake-none", "0.2")
    expect(when).to_be_hidden()
    sheet.page.fill("#box-shake-shake-after", "0.1")
    expect(when).to_be_visible()
    sheet.page.fill("#box-shake-shake-after", "")
    sheet.page.fill("#box-reflectors-reflector-a", "10")
    expect(when).to_be_visible()


def test_a_change_after_the_last_run_in_the_log_is_entered_alone(sheet: Sheet) -> None:
    sheet.changed(0, "B", "12", "12", "B")
    sheet.page.fill("#corrects", "7")
    entry = sheet.save()
    assert "runs" not in entry and entry["corrects"] == 7
    assert entry["changed"] == {
        "lowered": "B",
        "dial_after": "12",
        "dial_unit": "thou",
        "total": "12",
        "total_blade": "B",
    }
    assert isinstance(read_entry(json.dumps(entry).encode(), "", date(2026, 11, 25)), ReadEntry)


def test_a_change_of_the_low_blade_is_told_and_kept_with_its_sign(sheet: Sheet) -> None:
    sheet.page.fill("#run-0-total", "0")
    sheet.run(1, "1", "A", "1", "A", "video")
    said = sheet.changed(1, "B", "35", "35", "A")
    assert "Look at the marks: blade B was not the high one." in said
    assert "Total from as delivered: 35.0 thou toward lowering B." in said
    assert "Your total says something else. Look again." in said
    told = sheet.run(2, "2", "A", "2", "A")
    # 2 in is more than the largest split, 1-1/2 in; that outweighs all else.
    assert told.endswith("STOP: the split is larger than may be adjusted out: do not fly, find the cause.")
    assert sheet.save()["runs"][0]["dial_after"] == "-35"


def test_a_dial_that_was_not_read_once_locked_is_kept_as_not_known(sheet: Sheet) -> None:
    sheet.page.fill("#run-0-total", "0")
    sheet.run(1, "1", "A", "1", "A", "video")
    sheet.changed(1, "lost-A", "30")
    assert sheet.words("label[for=run-1-dial]") == "Dial before locking"
    told = sheet.run(2, "0.5", "A", "0.5", "A")
    assert told == "Write first how far the adjusters were moved from as delivered."
    line = sheet.save()["runs"][0]
    assert (line["dial_before"], line["dial_unit"], line.get("dial_after")) == ("30", "thou", None)


def test_a_reading_that_gives_no_row_says_why(sheet: Sheet) -> None:
    # 2.8 readings of 1/16 in are 0.175 in; the limit is 1/4 in, the first row 1/4 in, the most 1-1/2 in.
    sheet.page.fill("#run-0-total", "0")
    apart = "The splits at two speeds lie too far apart: read again, change nothing."
    assert sheet.run(1, "1", "A", "0.8", "A", "video") == apart
    large = "STOP: the split is larger than may be adjusted out: do not fly, find the cause."
    assert sheet.run(1, "1-9/16", "A", "1.5", "A") == large
    small = "Smaller than the first row of the card: change nothing, read again."
    assert sheet.run(1, "0.3", "A", "0.15", "A") == small
    inside = "Inside the limit once: run and read again, change nothing."
    assert sheet.run(1, "0.1", "B", "", "level") == inside
    by_video = "This limit is smaller than this way of reading can show: read by video."
    assert sheet.run(1, "0", "level", "0", "level", "by eye") == by_video


def test_no_row_is_told_for_a_split_whose_change_an_eye_cannot_follow(sheet: Sheet) -> None:
    """2.8 readings by eye, of 1/4 in, are 0.7 in; the limit is 1/4 in."""
    sheet.page.fill("#run-0-total", "0")
    assert sheet.run(1, "0.7", "A", "0.7", "A", "by eye").endswith("read by video.")
    assert "The card's row for 0.50 in" in sheet.run(1, "0.71", "A", "0.71", "A")


def test_two_speeds_apart_alone_after_a_run_that_was_alike_are_chance_unless_far(sheet: Sheet) -> None:
    """Beside one run alike, the mean lies apart beyond 2.8/16 in over the root of 2: from 0.2475 in on."""
    sheet.page.fill("#run-0-total", "0")
    sheet.run(1, "1", "A", "1", "A", "video")
    sheet.changed(1, "no")
    assert "The card's row" in sheet.run(2, "1", "A", "0.76", "A")
    assert sheet.run(2, "1", "A", "0.75", "A") == (
        "The splits at two speeds lie too far apart: read again, change nothing."
    )


def test_a_total_that_would_pass_the_largest_stops_and_an_unknown_one_gives_no_row(sheet: Sheet) -> None:
    unknown = "Write first how far the adjusters were moved from as delivered."
    assert sheet.run(1, "1", "A", "1", "A", "video") == unknown
    sheet.page.fill("#run-0-total", "25.5")
    assert sheet.told(1) == unknown
    sheet.page.select_option("#run-0-lowered", "A")
    # The most is 60 thou; 25.5 and 35 are more, 25 and 35 are not, and going back from A counts off.
    assert sheet.told(1) == "STOP: the next step would pass the largest total: stop, find the cause."
    sheet.page.fill("#run-0-total", "25")
    assert "35.0 thou" in sheet.told(1)
    sheet.page.fill("#run-0-total", "60")
    sheet.page.select_option("#run-0-lowered", "B")
    assert "35.0 thou" in sheet.told(1)


def test_a_run_that_says_too_little_is_not_saved(sheet: Sheet) -> None:
    page = sheet.page
    page.fill("#record-date", "2026-11-21")
    page.fill("#record-work", "x")
    sheet.run(1, "1", "A", "1", "A", "video")
    sheet.changed(1, "A", "35", "35", "A")
    right = {"split": "1", "high": "A", "method": "video", "dial": "35", "lowered": "A"}
    for part, value, fault in (
        ("high", "", "Which blade was high?"),
        ("split", "", "This line is needed."),
        ("split", "-1", "Write the height alone; which blade was high is chosen."),
        ("high", "level", "Level blades have no split."),
        ("method", "", "This line is needed."),
        ("dial", "", "What did the dial show? Read it again."),
        ("dial", "-3", "Write the size alone; which blade was lowered is chosen."),
        ("lowered", "", "Which blade has been lowered in all?"),
    ):
        put = page.select_option if part in ("high", "method", "lowered") else page.fill
        put(f"#run-1-{part}", value)
        page.click("#save")
        expect(page.locator("#saved")).to_have_text("Not saved. Lines to mend: 1.")
        expect(page.locator(f"#run-1-{part}-verdict")).to_have_text(fault)
        put(f"#run-1-{part}", right[part])
        expect(page.locator(f"#run-1-{part}-verdict")).to_have_text("")


def test_a_third_reading_comes_before_anything_is_undone(sheet: Sheet) -> None:
    sheet.page.fill("#run-0-total", "0")
    sheet.run(1, "0.5", "A", "0.5", "A", "video")
    sheet.changed(1, "A", "17.5")
    third = "Change nothing. Confirm the marks on the metal, then run and read a third time."
    wrong = "Second reading: the wrong way, or the wrong blade."
    assert sheet.run(2, "1", "A", "1", "A") == f"{wrong}\n{third}"
    sheet.changed(2, "no")
    assert sheet.run(3, "1", "A", "1", "A").startswith(
        f"{wrong}\nLook at the rotor before anything is changed."
    )


def test_past_its_last_day_the_form_stops_whatever_the_entry_says(chromium: Browser, tmp_path: Path) -> None:
    shown = sample(INCH)
    fragment = f"#c={shown.stamp.code}&k=track"
    for now, stopped in (("2027-10-31T23:00:00", False), ("2027-11-01T00:30:00", True)):
        with visit(chromium, to_form(shown), tmp_path, width=360, fragment=fragment, now=now) as seen:
            sheet = Sheet(seen)
            sheet.page.fill("#run-0-total", "0")
            told = sheet.run(1, "1", "A", "1", "A", "video")
            assert (told == "STOP. See the top of this page.") == stopped
            sheet.page.fill("#record-date", "2027-10-30")
            assert (sheet.told(1) == "STOP. See the top of this page.") == stopped
            alarm = sheet.page.locator("#alarm")
            if stopped:
                expect(alarm).to_contain_text("to be used until 2027-10-31; this device says it is 2027-11-01")
                assert sheet.save()["runs"][0]["split"] == "1"
            else:
                expect(alarm).to_be_hidden()


def test_between_two_rules_the_first_change_has_rows_of_its_own(chromium: Browser, tmp_path: Path) -> None:
    """0.027 mm/mm for the first change, then half way from 0.034 to 0.027; half of it on each blade.

    At 20 mm of split the adjuster moves 0.27 mm, and the dial, on a lever of 80 mm to 60 mm, shows 0.36 mm
    at the first change; after it 0.305 mm and 0.4067 mm, each rounded down to a mark of 0.01 mm.
    """
    with visit(chromium, to_form(sample(METRIC)), tmp_path, width=360, fragment="#k=track") as seen:
        sheet = Sheet(seen)
        sheet.page.fill("#run-0-total", "0.1")
        sheet.page.select_option("#run-0-lowered", "B")
        told = sheet.run(1, "21", "A", "19", "A", "video")
        assert told == "Say first whether this is the first change."
        for answer, dial, adjust in (("yes", "0.36", "0.27"), ("no", "0.40", "0.30")):
            sheet.page.select_option("#run-0-first", answer)
            assert f"for 20 mm, on each blade: the dial must read {dial} mm." in sheet.told(1)
            assert f"The adjuster moves {adjust} mm." in sheet.told(1)
        assert ": make shorter: Kerbe; then on blade B: make longer: Kerbe." in sheet.told(1)
        # As delivered there was no change yet.
        sheet.page.select_option("#run-0-first", "")
        sheet.page.fill("#run-0-total", "0")
        assert "the dial must read 0.36 mm." in sheet.told(1)
        assert seen.complaints == []


def test_a_rotor_that_is_set_by_flats_is_asked_for_flats(chromium: Browser, tmp_path: Path) -> None:
    """35 thou an inch are 5.04 flats of 5/16-24, 6.944 thou each; the most is 60 thou, 8.64 flats."""
    spec = loaded("nr-0306", BY_FLATS)
    html = to_form(build_deck(spec, compute(spec), (), Stamp()))
    with visit(chromium, html, tmp_path, width=360, fragment="#c=DRAFT&k=track") as seen:
        sheet = Sheet(seen)
        sheet.page.fill("#run-0-total", "0")
        assert "The card's row for 1.00 in: turn 5.0 flats." in sheet.run(1, "1", "A", "1", "A", "video")
        assert sheet.changed(1, "A", "5", "5", "A") == "Total from as delivered: 5.0 flats toward lowering A."
        # The whole inch went, for which the rule wants 5.04 flats.
        assert sheet.run(2, "0", "level", "0", "level").startswith("Second reading: the rule fits this rotor.")
        sheet.page.fill("#run-0-total", "4")
        sheet.page.select_option("#run-0-lowered", "A")
        assert "would pass the largest total" in sheet.told(1)
        assert sheet.save()["runs"][0]["dial_unit"] == "flats"
        assert seen.complaints == []


@pytest.mark.parametrize(("first", "second", "applied", "verdict"), MISTAKES)
def test_each_mistake_has_its_effect_here_too(
    rules: Page, first: str, second: str, applied: str, verdict: Verdict
) -> None:
    assert judged(rules, first, second, applied, VIDEO)["said"] == verdict


@pytest.mark.parametrize(
    ("first", "second", "applied", "scatter", "verdict", "confirm"),
    # The same by hand as beside `judge`: 30 thou an inch; by eye 1/4 in, on video 1/16 in.
    [
        ("3/2", "0", "45", "1/4", Verdict.READ_AGAIN, False),
        ("7/4", "0", "105/2", "1/4", Verdict.FITS, False),
        ("33/20", "0", "99/2", "1/4", Verdict.FITS, False),
        ("33/20", "0", "247/5", "1/4", Verdict.READ_AGAIN, False),
        ("1/2", "3/5", "15", "1/4", Verdict.READ_AGAIN, True),
        ("5/4", "1/2", "5/2", VIDEO, Verdict.SLIP, True),
        ("2", "-1", "30", VIDEO, Verdict.STOP, True),
        ("2", "-101/100", "30", VIDEO, Verdict.SLIP, True),
        ("3/2", "-3/2", "45", VIDEO, Verdict.TWICE, True),
        ("1", "267/100", "30", VIDEO, Verdict.WRONG, True),
        ("1", "117/100", "30", VIDEO, Verdict.NOTHING, True),
    ],
)
def test_a_coarse_reading_a_slip_and_what_is_asked_again(
    rules: Page, first: str, second: str, applied: str, scatter: str, verdict: Verdict, confirm: bool
) -> None:
    assert judged(rules, first, second, applied, scatter) == {"said": verdict, "confirm": confirm}


def judged(page: Page, first: str, second: str, applied: str, scatter: str) -> dict[str, Any]:
    program = """([j, first, second, applied, scatter]) =>
        Runs.judge(j, ...[first, second, applied].map(Exact.of), "30", Exact.of(scatter))"""
    exact = [str(Fraction(each)) for each in (first, second, applied)]
    found: dict[str, Any] = page.evaluate(program, [JUDGED, *exact, scatter])
    return found


@pytest.mark.parametrize(
    ("split", "row"), [("0.24", None), ("1/4", "7.5"), ("0.49", "7.5"), ("1/2", "15.0"), ("-2", "60.0")]
)
def test_the_row_is_the_cards_own_or_the_next_smaller_one(rules: Page, split: str, row: str | None) -> None:
    # 30 thou for an inch, a row for each quarter inch up to 2 in.
    program = "([t, s]) => Runs.row(t.rows, Exact.read(s))"
    found = rules.evaluate(program, [runs(spec())["table"], split])
    assert (found and found["read"]) == row


@pytest.mark.parametrize(
    ("splits", "said"),
    # As beside `end_of`: what jumps and stays was changed; what stands alone between two others was misread.
    [
        (["1.25", "0.5"], str(End.APART)),
        (["1.25", "0.5", "0.5"], f"STOP: {End.UNSTEADY}"),
        (["1", "1", "0.5"], str(End.APART)),
        (["1", "1", "0.5", "0.5"], f"STOP: {End.UNSTEADY}"),
        (["1", "0.5", "1"], ""),
    ],
)
def test_readings_with_nothing_changed_between_agree_here_as_in_the_log(
    rules: Page, splits: list[str], said: str
) -> None:
    program = """([deck, all]) => Runs.end(deck, all.map((one) => (
        { splits: [Exact.read(one)], scatter: Exact.of("1/16"), applied: Exact.of(0) })))"""
    assert rules.evaluate(program, [{**runs(spec_of()), "speeds": []}, splits]) == said


@pytest.mark.parametrize(
    ("changes", "so_far", "answer"),
    [
        # 60 thou at the adjuster, 2 in out, are 90 at the dial, 3 in out, which shows 30 for an inch.
        ({"max_total_reads": '"adjuster"', "dial_lever": '"3 in"'}, "60", "30.0"),
        ({"max_total_reads": '"adjuster"', "dial_lever": '"3 in"'}, "60.5", None),
        # The sum of two moves is 30, so each blade gets 15; of both, added, 60.
        ({"basis": '"total of both"', "max_total_of": '"both, added"'}, "15", "15.0"),
        ({"basis": '"total of both"', "max_total_of": '"both, added"'}, "15.5", None),
        ({"basis": '"total of both"', "max_total_of": '"one blade"'}, "45", "15.0"),
        ({"basis": '"total of both"', "max_total_of": '"one blade"'}, "45.5", None),
    ],
)
def test_the_largest_total_is_counted_as_it_is_stated(
    rules: Page, changes: dict[str, str], so_far: str, answer: str | None
) -> None:
    told = runs(spec_of(*track_change(**changes)))
    told["table"] |= {"lower": [], "raise": []}
    program = """([deck, f]) => Runs.next(deck, { net: Exact.read(f), first: true },
        [{ splits: [Exact.of(1)], scatter: Exact.of("1/16") }])"""
    found = rules.evaluate(program, [{**told, "speeds": []}, so_far])
    assert (found.get("row") or {}).get("read") == answer
    assert answer or "pass the largest total" in found["words"]
