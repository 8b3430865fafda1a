"""Entries shown again, as text, CSV, JSON and a page."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from cardgen.logbook.records import Shown, _correction, shown, to_csv, to_data, to_html, to_text
from tests.issuing.decks import opened
from tests.logbook.logs import Log, box, issue_rotor, rules_of, run, sample

EVIL = "<script>alert(1)</script>"


def records(log: Log, **parts: Any) -> tuple[Shown, ...]:
    log.add(log.entry(**parts))
    return shown(log.entries())


def values(found: tuple[Shown, ...], part: str) -> list[str]:
    return [line.value for line in found[0].lines if line.part == part]


def test_the_record_lines_of_the_jurisdiction_are_shown(log: Log) -> None:
    found = records(
        log, record={"rotor_hours": "12.5", "statement": "As the limitations say.", "parts": "none"}
    )
    labels = {line.label for line in found[0].lines}
    assert {
        "Rotor hours",
        "Words of the inspection statement, where one is due",
        "Parts used, with batch",
    } <= labels
    assert "12.5 h" in to_text(found)


LOCAL = (
    (
        'jurisdiction = "us-amateur-built"',
        'jurisdiction = "other"\nrecord = ["hours flown", "done by which book"]',
    ),
)


@pytest.fixture
def local(tmp_path: Path) -> Iterator[Log]:
    """A rotor under rules of its own, with the lines they ask of a record."""
    (tmp_path / "local").mkdir()
    with opened(tmp_path / "local" / "register.sqlite") as register:
        yield issue_rotor(register, tmp_path / "local" / "out", sample(changes=LOCAL))


def test_the_lines_that_local_rules_ask_are_kept_and_shown_by_their_words(local: Log) -> None:
    found = records(local, record={"asked_1": "12.5", "asked_2": "Book 4\npage 8"})
    asked = [(line.label, line.value) for line in found[0].lines if line.part == "What the local rules ask"]
    assert asked == [("hours flown", "12.5"), ("done by which book", "Book 4\npage 8")]
    assert "hours flown: 12.5" in to_text(found)


def test_a_line_that_no_local_rule_asks_is_refused(local: Log, log: Log) -> None:
    assert rules_of(local.try_to_add(local.entry(record={"asked_3": "x"}))) == ["entry-unknown"]
    assert rules_of(log.try_to_add(log.entry(record={"asked_1": "x"}))) == ["entry-unknown"]
    assert rules_of(local.try_to_add(local.entry(record={"asked_0": "x"}))) == ["entry-unknown"]
    assert rules_of(local.try_to_add(local.entry(record={"asked": {"one": "x"}}))) == ["entry-unknown"]


def test_what_is_out_of_limit_is_marked(log: Log) -> None:
    text = to_text(records(log, values={"head": {"play-rear": box("2.5", "thou")}}))
    assert "Play at the rear: 2.5 thou  [OUT OF LIMIT: at most 2 thou" in text


def test_an_entry_made_with_a_card_that_was_not_current_is_marked(log: Log) -> None:
    assert "NOT CURRENT" not in to_text(records(log))
    log.register.add_withdrawal(log.row, date(2026, 11, 20), "wrong page")
    (found,) = shown(log.entries())
    assert "NOT CURRENT on that day: withdrawn on 2026-11-20, because: wrong page" in to_text([found])
    assert "NOT CURRENT" in to_csv([found])
    assert "NOT CURRENT" in to_html([found], "NR-0306")


def test_runs_are_shown_with_their_high_blade_and_change(log: Log) -> None:
    found = records(log, runs=[run(1, "1.25", "B", dial_after="40", remark="gusts")])
    assert values(found, "Track runs") == ["1.25 in, blade B high, video; then the dial read 40.0 thou"]


def three(log: Log, none: str, a: str, b: str) -> str:
    boxes = {"shake-none": box(none), "shake-a": box(a), "shake-b": box(b)}
    found = records(log, values={"shake": boxes})
    (said,) = [line for line in found[0].lines if line.part == "Three runs"]
    return f"{said.value} {said.note}"


def test_three_shake_runs_are_worked_out(log: Log) -> None:
    """Cosine rule with all in one line: 3 as it is, a trial of 2 leaves 1 in A and makes 5 in B.

    The sample's trial of 30 g makes a shake of 2, so that a shake of 3 asks for 45 g.
    """
    assert three(log, "3", "1", "5").startswith("45.0 g in tip A")


def test_three_shake_runs_are_capped_by_the_lead_that_is_allowed() -> None:
    # 45 g would be asked for, where 40 are allowed.
    said = _correction([Fraction(3), Fraction(1), Fraction(5)], Fraction(30), Fraction(40))
    assert said.value.startswith("40.0 g in tip A")
    assert "HELD BACK" in said.note


def test_three_shake_runs_that_cannot_belong_together_give_no_mass(log: Log) -> None:
    assert three(log, "3", "1", "1").startswith("none")


def test_csv_is_read_back_and_runs_no_formula(log: Log) -> None:
    found = records(log, record={"work": "=HYPERLINK(1)", "place": 'a "quoted", place'})
    rows = list(csv.reader(io.StringIO(to_csv(found))))
    assert {len(row) for row in rows} == {7}
    cells = [row[4] for row in rows]
    assert "'=HYPERLINK(1)" in cells
    assert 'a "quoted", place' in cells


def test_json_has_every_line(log: Log) -> None:
    (entry,) = to_data(records(log, values={"track": {"split": box("1", "in"), "high-blade": box("A")}}))
    lines = entry["lines"]
    assert isinstance(lines, list)
    assert {
        "part": "Track",
        "label": "Split at the first speed",
        "value": "1",
        "unit": "in",
        "note": "",
    } in lines


def test_what_was_measured_stands_in_the_order_of_work(log: Log) -> None:
    """The kept text is sorted by its keys; the deck has the head before the shake, and the front first."""
    head = {"play-right": box("1", "thou"), "play-front": box("2", "thou")}
    values = {"shake": {"shake-none": box("3")}, "head": head, "assembly": {"joint-b": box("1", "thou")}}
    text = to_text(records(log, values=values))
    order = [text.index(words) for words in ("Joint play", "Play at the front", "Play at the right", "Shake\n")]
    assert order == sorted(order)


def test_no_text_of_an_entry_becomes_markup(log: Log) -> None:
    page = to_html(records(log, record={"work": EVIL}), "NR-0306")
    assert EVIL not in page
    assert "&lt;script&gt;" in page


def test_a_page_without_entries_says_so() -> None:
    assert "There is no entry." in to_html((), "NR-0306")
