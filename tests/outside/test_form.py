"""The log-entry form in a real browser at phone size: filled, kept, saved, printed, attacked."""

from __future__ import annotations

import json
import random
import re
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from io import BytesIO
from pathlib import Path
from typing import Any, Literal
from unicodedata import normalize

import pytest
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader

from cardgen.figures.balance import slug_length
from cardgen.figures.rounding import decimal_text, on_grid
from cardgen.figures.three_run import NoCorrection, three_run
from cardgen.logbook.entry import ReadEntry, read_entry
from cardgen.press.form import to_form
from cardgen.press.form_sums import sums
from cardgen.spec.bound import Bound
from cardgen.spec.units import magnitude, quantity
from cardgen.spec.windows import WrenchSetting, at_nut, drag_at_nut, setting
from tests.cli.running import INCH
from tests.figures.specs import spec_of
from tests.logbook.logs import sample as loaded
from tests.press.browser import Visit, visit
from tests.press.samples import sample
from tests.press.screen_deck import CODE, SPEC, deck, draft, spec

DAY = date(2030, 4, 6)
CURRENT = f"#c={CODE}&k=track"
#: What dark is like without forced colours is measured text by text in `test_contrast`.
LOOKS: list[tuple[Literal["light", "dark"], bool]] = [("light", False), ("dark", True)]


@pytest.fixture
def opened(chromium: Browser, tmp_path: Path) -> Iterator[Visit]:
    with visit(chromium, to_form(deck()), tmp_path, width=360, fragment=CURRENT) as seen:
        yield seen


@pytest.fixture(scope="module")
def sums_page(chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """One page whose sums are asked directly; nothing is typed on it."""
    with visit(chromium, to_form(deck()), tmp_path_factory.mktemp("sums")) as seen:
        yield seen.page


def fill(page: Page) -> None:
    page.fill("#record-date", "2030-04-05")
    page.fill("#record-work", "Track read.\nOne move made, locked, read again.")
    page.fill("#box-track-gap", "1-1/4")
    page.select_option("#box-track-side", "A")


def read(page: Page) -> None:
    """Write the first run: half an inch, A high, nothing changed since as delivered."""
    page.fill("#run-0-total", "0")
    page.fill("#run-1-split", "1/2")
    page.select_option("#run-1-high", "A")
    page.select_option("#run-1-method", "video")


def saved(page: Page) -> tuple[str, dict[str, Any]]:
    with page.expect_download() as waited:
        page.click("#save")
    entry = json.loads(Path(waited.value.path()).read_text("utf-8"))
    assert isinstance(entry, dict)
    return waited.value.suggested_filename, entry


def printed(page: Page) -> str:
    pages = PdfReader(BytesIO(page.pdf(prefer_css_page_size=True))).pages
    text = " ".join(" ".join(one.extract_text() for one in pages).split())
    return normalize("NFKC", text)  # the system's type prints "fi" as one letter


def test_axe_finds_nothing_and_the_page_asks_for_nothing(chromium: Browser, tmp_path: Path) -> None:
    with visit(chromium, to_form(draft()), tmp_path, width=360, fragment="#c=OLD&k=x") as seen:
        page = seen.page
        page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        page.fill("#box-track-gap", "9")
        page.click("#save")
        for scheme, forced in LOOKS:
            page.emulate_media(color_scheme=scheme, forced_colors="active" if forced else "none")
            assert seen.violations() == []
        assert len(seen.requests) == 1
        assert seen.complaints == []


def test_nothing_is_read_sideways_and_every_target_takes_a_gloved_finger(opened: Visit) -> None:
    page = opened.page
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    low = """[...document.querySelectorAll('input, textarea, select, button, summary')]
        .filter(e => e.checkVisibility()).map(e => e.closest('label') || e)
        .filter(e => e.getBoundingClientRect().height < 44).map(e => e.outerHTML)"""
    assert page.evaluate(low) == []


def test_a_scanned_card_of_this_deck_is_welcomed_and_opened(opened: Visit) -> None:
    expect(opened.page.locator("#arrival")).to_have_text(
        "Card scanned: Track to adjustment. Its code agrees with this form."
    )
    expect(opened.page.locator("#alarm")).to_be_hidden()
    assert (
        opened.page.evaluate("[...document.querySelectorAll('details')].map(d => d.open).join()")
        == "false,true"
    )


def test_a_card_of_another_revision_stops_the_work_at_once(chromium: Browser, tmp_path: Path) -> None:
    with visit(chromium, to_form(deck()), tmp_path, width=360, fragment="#c=3333-3333-3&k=track") as seen:
        alarm = seen.page.locator("#alarm")
        expect(alarm).to_be_visible()
        expect(alarm).to_contain_text(
            f"STOP. The card you scanned says 3333-3333-3. This form belongs to {CODE}."
        )
        assert alarm.get_attribute("role") == "alert"
        box = alarm.bounding_box()
        assert box is not None and box["y"] + box["height"] < 760, "the alarm is not on the first screen"
        fill(seen.page)
        assert "3333-3333-3" in printed(seen.page)
        assert saved(seen.page)[1]["scanned"] == {"code": "3333-3333-3", "card": "track", "agrees": False}


def test_on_another_deck_s_card_no_draft_and_no_entry_lifts_the_stop(chromium: Browser, tmp_path: Path) -> None:
    """A draft kept on the phone from a card that agreed is there again, and the page stops all the same."""
    (tmp_path / "page.html").write_text(to_form(deck()), "utf-8")
    address = (tmp_path / "page.html").as_uri()
    context = chromium.new_context()
    try:
        page = context.new_page()
        page.goto(f"{address}{CURRENT}")
        fill(page)
        # The fragment alone is new: the page loads itself again.
        with page.expect_event("load"):
            page.evaluate("location.hash = '#c=3333-3333-3&k=track'")
        expect(page.locator("#record-work")).to_have_value(re.compile("One move made"))
        read(page)
        expect(page.locator("#alarm")).to_be_visible()
        expect(page.locator("#run-1-told")).to_have_text("STOP. See the top of this page.")
    finally:
        context.close()


HIDDEN = ("\u00ad", "\u200d", "\u200c", "\u2060", "\u202e", "\ufeff", "\t")


def test_an_invisible_character_is_told_in_the_form_as_by_the_log(opened: Visit) -> None:
    """The characters of these general categories are refused by the log (Unicode 15, UAX 44, table 12)."""
    page = opened.page
    fill(page)
    verdict = page.locator("#record-work-verdict")
    for hidden in HIDDEN:
        text = f"Track{hidden}read."
        page.fill("#record-work", text)
        expect(verdict).to_have_text(
            f'An invisible character (U+{ord(hidden):04X}) stands after "Track". Delete it.'
        )
        line = {"kind": "cardgen log entry", "schema": 1, "set_id": "X", "revision": 1, "code": CODE}
        record = {"date": "2030-04-05", "work": text}
        found = read_entry(json.dumps({**line, "values": {}, "record": record}).encode(), "e", DAY)
        assert isinstance(found, tuple)
        assert [each.rule for each in found] == ["entry-control"]
    page.click("#save")
    expect(page.locator("#saved")).to_contain_text("Not saved")


def test_a_form_opened_without_a_card_asks_for_the_code_to_be_compared(
    chromium: Browser, tmp_path: Path
) -> None:
    with visit(chromium, to_form(deck()), tmp_path, width=360) as seen:
        expect(seen.page.locator("#arrival")).to_contain_text(f"Compare the code on your card with {CODE}.")
        expect(seen.page.locator("#alarm")).to_be_hidden()


@pytest.mark.parametrize(
    "fragment",
    [
        "#c=<script>document.title='ran'</script>&k=track",
        "#c=%3Cimg%20src=x%20onerror=%22document.title='ran'%22%3E&k=%22%3E%3Cscript%3Edocument.title='ran'",
        f"#c={CODE}&k=__proto__",
        f"#c={CODE}&k=constructor",
        "#c=%FF%FE&k=%00",
    ],
)
def test_a_hostile_fragment_is_words_and_nothing_more(chromium: Browser, tmp_path: Path, fragment: str) -> None:
    with visit(chromium, to_form(deck()), tmp_path, width=360, fragment=fragment) as seen:
        assert seen.page.title() == f"Log entry: TX-19, code {CODE}"
        assert seen.page.evaluate("document.querySelectorAll('main script, main img').length") == 0
        assert len(seen.requests) == 1 and seen.complaints == []


def test_words_of_the_specification_do_not_run_and_a_foreign_script_is_blocked(
    chromium: Browser, tmp_path: Path
) -> None:
    words = "</script><script>document.title='ran'</script>"
    html = to_form(deck(text=SPEC.replace("a person entitled by the rule", words)))
    with visit(chromium, html, tmp_path, width=360) as seen:
        expect(seen.page.locator(".ink")).to_contain_text(words)
        assert seen.page.title() != "ran" and seen.complaints == []
    broken = html.replace("</main>", "<script>document.title='ran'</script></main>", 1)
    with visit(chromium, broken, tmp_path, width=360) as seen:
        assert seen.page.title() != "ran"
        assert any("Content Security Policy" in one for one in seen.complaints)


def test_a_draft_is_kept_over_a_reload_and_forgotten_on_demand(opened: Visit) -> None:
    page = opened.page
    fill(page)
    page.reload()
    expect(page.locator("#box-track-gap")).to_have_value("1-1/4")
    expect(page.locator("#record-work")).to_have_value("Track read.\nOne move made, locked, read again.")
    expect(page.locator("#kept")).to_contain_text("Draft from this device")
    page.click("#forget")
    expect(page.locator("#forget")).to_have_text("Tap again to forget it")
    page.focus("#record-work")
    page.click("#forget")
    expect(page.locator("#box-track-gap")).to_have_value("1-1/4")
    page.click("#forget")
    expect(page.locator("#forget")).to_have_text("Forget this entry")
    expect(page.locator("#box-track-gap")).to_have_value("")
    expect(page.locator("#record-documents")).to_have_value("BOOK-1, Rotor book, revision 2")
    assert page.evaluate("localStorage.length") == 0
    page.reload()
    expect(page.locator("#box-track-gap")).to_have_value("")


def test_a_saved_entry_holds_what_was_typed_and_scanned_and_the_logbook_reads_it(opened: Visit) -> None:
    page = opened.page
    fill(page)
    page.check("[data-touched='a strap bolt loosened']")
    name, entry = saved(page)
    assert name == "entry-TX-19-2030-04-05.json"
    assert re.fullmatch("[0-9a-f]{8}", entry.pop("entry"))
    assert entry.pop("touched") == ["a strap bolt loosened"]
    assert entry == {
        "kind": "cardgen log entry",
        "schema": 1,
        "set_id": "TX-19",
        "revision": 3,
        "code": CODE,
        "scanned": {"code": CODE, "card": "track", "agrees": True},
        "record": {
            "date": "2030-04-05",
            "work": "Track read.\nOne move made, locked, read again.",
            "documents": "BOOK-1, Rotor book, revision 2",
        },
        "values": {
            "track": {
                "gap": {"value": "1+1/4", "unit": "in"},
                "side": {"value": "A"},
            }
        },
    }
    assert page.evaluate("localStorage.length") == 0
    found = read_entry(json.dumps(entry).encode(), "entry.json", DAY)
    assert isinstance(found, ReadEntry), found
    assert found.entry.values["track"]["gap"].value == "1+1/4"


def test_a_draft_keeps_its_mark_and_its_ticks_and_the_next_entry_has_another(opened: Visit) -> None:
    page = opened.page
    fill(page)
    page.check("[data-touched='a strap bolt loosened']")
    kept = "Object.values(localStorage).map(JSON.parse)[0].mark"
    page.wait_for_function("Object.values(localStorage).map(JSON.parse)[0].touched.length === 1")
    first = page.evaluate(kept)
    page.reload()
    expect(page.locator("[data-touched='a strap bolt loosened']")).to_be_checked()
    assert saved(page)[1]["entry"] == first
    page.click("#forget")
    page.click("#forget")
    expect(page.locator("[data-touched='a strap bolt loosened']")).not_to_be_checked()
    fill(page)
    assert page.evaluate(kept) != first


def test_an_entry_without_a_date_or_with_a_number_nobody_can_read_is_not_saved(opened: Visit) -> None:
    page = opened.page
    fill(page)
    page.click("details[data-card=torque] summary")
    page.fill("#box-torque-drag_1", "7,5")
    page.fill("#record-date", "")
    page.click("#save")
    expect(page.locator("#saved")).to_have_text("Not saved. Lines to mend: 2.")
    expect(page.locator("#record-date")).to_be_focused()
    expect(page.locator("#record-date-verdict")).to_have_text("This line is needed.")
    expect(page.locator("#box-torque-drag_1-verdict")).to_have_text("Write a decimal point, not a comma.")


VERDICTS = {
    "2": "",
    "2.000001": "Out of limit: more than the most allowed.",
    "-2.5": "Out of limit: more than the most allowed.",
    "2-1/16": "Out of limit: more than the most allowed.",
    "1e1": "This is not a number. Write 12.5 or 1-1/4.",
    "2 in": "This is not a number. Write 12.5 or 1-1/4.",
    "nan": "This is not a number. Write 12.5 or 1-1/4.",
    "0,5": "Write a decimal point, not a comma.",
}


def test_a_value_is_judged_in_words(opened: Visit) -> None:
    for typed, verdict in VERDICTS.items():
        opened.page.fill("#box-track-gap", typed)
        expect(opened.page.locator("#box-track-gap-verdict")).to_have_text(verdict)


def test_a_window_over_nothing_is_judged_at_both_its_ends(chromium: Browser, tmp_path: Path) -> None:
    """From -2 to 1: one and a half below nothing lies inside, though it is more than 1 away from it."""
    html = to_form(deck())
    assert html.count('"track.gap": {"most": "2"}') == 1
    window = html.replace('"track.gap": {"most": "2"}', '"track.gap": {"least": "-2", "most": "1"}')
    with visit(chromium, window, tmp_path, fragment=CURRENT) as seen:
        for typed, verdict in (
            ("-1.5", ""),
            ("-2.5", "Out of limit: less than the least allowed."),
            ("1.5", "Out of limit: more than the most allowed."),
        ):
            seen.page.fill("#box-track-gap", typed)
            expect(seen.page.locator("#box-track-gap-verdict")).to_have_text(verdict)


def test_the_printed_entry_has_the_values_the_code_and_lines_for_ink(opened: Visit) -> None:
    fill(opened.page)
    text = printed(opened.page)
    for words in (
        "TX-19",
        CODE,
        "2030-04-05",
        "1-1/4",
        "One move made, locked, read again.",
        "Rotor hours",
    ):
        assert words in text
    # Lines of the record stay for ink; of the cards only what was filled in.
    assert "Running drag, inner bolt" not in text
    assert text.count("Signature") == 3 and "Certificate number" in text
    assert "Save entry" not in text and "mm/dd/yyyy" not in text


def test_without_scripts_the_form_can_be_filled_in_and_printed(chromium: Browser, tmp_path: Path) -> None:
    file = tmp_path / "form.html"
    file.write_text(to_form(deck()), encoding="utf-8")
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(file.as_uri())
    expect(page.locator("noscript p")).to_contain_text("Sums, draft and saving need scripts")
    page.fill("#box-track-gap", "0.5")
    assert page.locator("#save").is_hidden() and page.locator("#sum-drag").is_hidden()
    context.close()


# The sums, against the program's own exact ones: over a thousand cases, drawn once and for all.


def _drawn(count: int, most: int) -> list[Fraction]:
    """Draw exact amounts up to a most, with the denominators that rulers, scales and thirds have."""
    chance = random.Random(most * count)
    below = [chance.choice((1, 2, 3, 7, 10, 16, 64, 100)) for _ in range(count)]
    return [Fraction(chance.randint(1, most * bottom), bottom) for bottom in below]


DRAGS = [Fraction(0), *_drawn(250, 30)]


@pytest.mark.parametrize(
    ("change", "most"),
    # 25 at the nut: x 10/14, less 4 percent, is 17.1 on this wrench, and at 30 degrees x 10/13.46 17.8; it has
    # marks of 2. A borrowed wrench, taken to be right, shows 25.
    [
        ({}, 16),
        ({'kind = "beam"': 'kind = "click"'}, 24),
        ({'angle = "0 deg"': 'angle = "30 deg"'}, 16),
    ],
)
def test_wrench_settings_are_those_of_the_program(sums_page: Page, change: dict[str, str], most: int) -> None:
    text = SPEC
    for old, new in change.items():
        text = text.replace(old, new)
    of = spec(text)
    (wrench,), fastener = of.wrenches or (), of.fasteners[0]
    expected = []
    for drag in DRAGS:
        read = quantity(drag, "in·lbf")
        nut = read if wrench.kind == "click" else drag_at_nut(read, wrench)
        window = at_nut(fastener, nut)
        assert window is not None
        if drag > most:
            expected.append({"cannot": "Stop. At the nut the drag may be more than the maker allows."})
            continue
        found = setting(window, wrench)
        assert isinstance(found, WrenchSetting)
        ends = {"low": found.low, "high": found.high}
        expected.append({name: decimal_text(magnitude(end, "in·lbf"), 0) for name, end in ends.items()})
    program = "([w, drags]) => drags.map(d => Sums.setting(w, Exact.of(d)))"
    assert sums_page.evaluate(program, [sums(of)["torque"][0], [str(drag) for drag in DRAGS]]) == expected
    assert len({json.dumps(one) for one in expected}) > 5


def test_a_wrench_without_extension_shows_the_window_narrowed_by_its_error(sums_page: Page) -> None:
    # By hand: (160 + 14)/0.96 = 181.25 and (190 + 14) x 0.96 = 195.84 in·lbf.
    bare = {"ratio": "1", "kept": "24/25", "low": "160", "high": "190", "mark": "1/10", "decimals": 1}
    drag = {"unit": "in·lbf", "most": "25", "atNut": ["1", "1"]}
    wrench = {**bare, "range": ["20", "250"], "drag": drag}
    assert sums_page.evaluate("w => Sums.setting(w, Exact.of('14'))", wrench) == {
        "low": "181.3",
        "high": "195.8",
    }


def test_the_error_of_another_wrench_that_reads_the_drag_counts(sums_page: Page) -> None:
    # By hand: 19 read may be 18.05 or 20. (160 + 20)/0.96 = 187.5 and (190 + 18.05) x 0.96 = 199.7; 20 less 5
    # percent is the last that may be read.
    reader = (
        '[[wrenches]]\nid = "D9"\nkind = "dial"\nerror = 5\nrange_min = "1 in·lbf"\n'
        'range_max = "90 in·lbf"\ngraduation = "1 in·lbf"\n\n[string]\n'
    )
    wrench = sums(spec_of(('kind = "beam"', 'kind = "click"'), ("[string]\n", reader)))["torque"][0]
    program = "([w, drags]) => drags.map(d => Sums.setting(w, Exact.of(d)))"
    assert sums_page.evaluate(program, [wrench, ["19", "20"]]) == [
        {"low": "188", "high": "199"},
        {"cannot": "Stop. At the nut the drag may be more than the maker allows."},
    ]


def test_lead_is_weighed_by_its_length_and_cut_by_its_mass(sums_page: Page) -> None:
    of = spec()
    assert of.balance is not None
    inch = 1 / magnitude(slug_length(quantity(1, "g"), of.balance), "in")
    lengths = [Fraction(n, 8) for n in range(1, 13)] + _drawn(100, 2)
    program = "([l, all]) => all.map(x => Sums.mass(l, Exact.of(x)))"
    found = sums_page.evaluate(program, [sums(of)["balance"], [str(length) for length in lengths]])
    for length, said in zip(lengths, found, strict=True):
        grams = length * inch
        assert said["grams"] == decimal_text(on_grid(grams, Fraction(1, 10)), 1)
        assert bool(said["outside"]) == (grams > 60)
    cut = sums_page.evaluate("l => Sums.length(l, Exact.of(30))", sums(of)["balance"])
    assert cut["length"] == decimal_text(on_grid(30 / inch, Fraction(1, 100)), 2)


def test_three_runs_ask_for_the_mass_and_tip_that_the_log_shows(sums_page: Page) -> None:
    """As it is 2, at A 5, at B 1: 3 x 24/36 is 2 at B (cosine rule); drawn ones as the log has them."""
    trial = sums(loaded(INCH.stem))["shake"]
    grams, most = Fraction(trial["grams"]), Fraction(trial["mostGrams"])
    drawn = random.Random(15)
    readings = [(2, 5, 1), (2, 1, 5), *([drawn.randint(0, 40) for _ in range(3)] for _ in range(300))]
    program = """([t, all]) => all.map((one) => Sums.threeRuns(t, ...one.map((n) => Exact.of(n))))
        .map((one) => one.cannot ? [one.cannot] : [one.tip, one.grams, one.tooMuch])"""
    found = sums_page.evaluate(program, [trial, readings])
    by_hand = decimal_text(on_grid(grams * 2 / 3, Fraction(1, 10), Bound.AT_MOST), 1)
    assert [one[:2] for one in found[:2]] == [["B", by_hand], ["A", by_hand]]
    given = 0
    for reading, said in zip(readings, found, strict=True):
        as_is, with_a, with_b = map(Fraction, reading)
        wanted = three_run(as_is, with_a, with_b, grams, most)
        if isinstance(wanted, NoCorrection):
            assert said == [wanted.why]
        else:
            given += 1
            shown = decimal_text(on_grid(wanted.wanted, Fraction(1, 10), Bound.AT_MOST), 1)
            assert said == [wanted.blade, shown, wanted.capped]
    assert 30 < given < 270


def test_the_shake_card_in_the_form_says_mass_and_tip_and_counts_the_old_lead(
    chromium: Browser, tmp_path: Path
) -> None:
    shown = sample(INCH)
    trial = sums(shown.spec)["shake"]
    with visit(chromium, to_form(shown), tmp_path, width=360, fragment="#k=shake") as seen:
        page = seen.page
        for box, read in (("none", "2"), ("a", "5"), ("b", "1")):
            expect(page.locator("#sum-shake")).to_have_text("")
            page.fill(f"#box-shake-shake-{box}", read)
        expect(page.locator("#sum-shake")).to_contain_text(" g in tip B, at the place of the trial mass.")
        page.fill("#box-shake-old-lead-b", trial["mostGrams"])
        expect(page.locator("#sum-shake")).to_contain_text("Stop. That is more than")
        page.fill("#box-shake-shake-b", "5")
        expect(page.locator("#sum-shake")).to_contain_text("no mass.")
        assert seen.complaints == []


@pytest.mark.parametrize(
    ("typed", "value"), [("12.50", "25/2"), ("1 1/4", "5/4"), ("3/8", "3/8"), ("-0.5", "-1/2")]
)
def test_typed_numbers_are_read_exactly(sums_page: Page, typed: str, value: str) -> None:
    read = sums_page.evaluate("t => { const x = Exact.read(t); return `${x.n}/${x.d}` }", typed)
    assert Fraction(read) == Fraction(value)


@pytest.mark.parametrize(
    ("value", "step"), [("-7/2", "2"), ("7/2", "2"), ("4", "2"), ("-4", "2"), ("1/3", "1/10")]
)
def test_rounding_is_that_of_the_program(sums_page: Page, value: str, step: str) -> None:
    program = (
        """([v, s]) => ['up', 'down'].map(w => Exact[w](Exact.of(v), Exact.of(s))).map(x => `${x.n}/${x.d}`)"""
    )
    up, down = sums_page.evaluate(program, [value, step])
    assert Fraction(up) == on_grid(Fraction(value), Fraction(step), Bound.AT_LEAST)
    assert Fraction(down) == on_grid(Fraction(value), Fraction(step), Bound.AT_MOST)


def test_the_numbers_the_page_spells_are_read_by_the_specifications_grammar(sums_page: Page) -> None:
    from cardgen.spec.grammar import Kind, Reading, read

    kind = Kind("a length", ("in",), ("1 in",))
    for typed in ("1-1/4", "1 1/4", "1+1/4", "1.25", "5/4"):
        spelled = sums_page.evaluate("t => Exact.spelling(t)", typed)
        reading = read(f"{spelled} in", kind)
        assert isinstance(reading, Reading) and re.fullmatch(r"[0-9.+/]+", spelled)
        assert magnitude(reading.quantity, "in") == Fraction(5, 4)
