"""A rotor that is set by flats: what was turned is told and counted in flats, and by no dial."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from cardgen.logbook.entry import FormEntry
from cardgen.logbook.fit_report import lines_of
from cardgen.logbook.next_step_sheet import next_sheet
from cardgen.logbook.records import shown, to_text
from cardgen.logbook.track_learning import learn
from cardgen.logbook.track_rule import TrackRule
from cardgen.logbook.track_runs import Change, TrackRun, runs_of
from tests.issuing.decks import opened
from tests.logbook.logs import Log, box, issue_rotor, rules_of, run, sample
from tests.logbook.test_paper import text_of

#: The thread has 24 to the inch, so a flat is 1000/24/6 = 6.944 thou; the rule is 26 thou an inch.
FLAT = Fraction(1000, 24 * 6)
BY_FLATS = (
    ('set_by              = "dial"', 'set_by = "flats"'),
    ('rule_reads          = "dial"', 'rule_reads = "adjuster"'),
    ('max_total_reads     = "dial"', 'max_total_reads = "adjuster"'),
    ('dial_lever          = "3 in"', ""),
    ('dial_touches        = "pitch block"', ""),
    ('dial_base           = "hub bar"', ""),
    ('dial_offset         = "1/2 in"', ""),
    ('rule = "35 thou/in"', 'rule = "26 thou/in"'),
)


@pytest.fixture
def flats(tmp_path: Path) -> Iterator[Log]:
    (tmp_path / "bench").mkdir()
    with opened(tmp_path / "bench" / "register.sqlite") as register:
        yield issue_rotor(register, tmp_path / "bench" / "out", sample(changes=BY_FLATS))


def turned(number: int, split: str, flats: str | None = None, **parts: Any) -> dict[str, Any]:
    return run(number, split, **({} if flats is None else {"dial_after": flats, "dial_unit": "flats"}), **parts)


def test_flats_are_counted_in_the_list_of_runs(flats: Log) -> None:
    flats.runs(turned(1, "1", "3", total="3", total_blade="A"), turned(2, "0.3"))
    history = flats.history()
    assert history.net == 3 * FLAT
    assert [each.since for each in history.row] == [0, 3 * FLAT]
    assert history.doubts == ()


def test_flats_are_counted_in_the_boxes_of_an_older_card() -> None:
    held = {
        "run-first-split": box("1", "in"),
        "run-first-high": box("A"),
        "run-first-after": box("3.5", "flats"),
        "run-first-total": box("5", "flats"),
        "run-first-lowered": box("A"),
    }
    entry = FormEntry.model_validate(
        {
            "kind": "cardgen log entry",
            "schema": 1,
            "set_id": "NR-0306",
            "revision": 1,
            "code": "",
            "record": {"date": "2026-11-21"},
            "values": {"track": held},
        }
    )
    (first,) = runs_of(entry)
    assert isinstance(first, TrackRun)
    assert first.change == Change(Fraction("3.5"), Fraction(5), "A", "flats")


def test_a_change_that_is_added_later_is_counted_in_flats(flats: Log) -> None:
    flats.runs(turned(1, "1"))
    late = {"lowered": "A", "dial_after": "2", "dial_unit": "flats"}
    flats.add(flats.entry(record={"date": "2026-11-22"}, changed=late))
    assert flats.history().row[0].applied == 2 * FLAT


def test_totals_and_flats_that_contradict_each_other_are_both_told_in_flats(flats: Log) -> None:
    flats.runs(turned(1, "1", "3", total="6", total_blade="A"))
    (clash,) = flats.history().clashes
    assert "6 flats toward lowering A" in clash
    assert "3 flats" in clash


def test_the_next_step_and_the_total_are_told_in_flats(flats: Log) -> None:
    flats.runs(turned(1, "1", total="0", dial_unit="flats"))
    said = "\n".join(lines_of(learn(flats.history())))
    # 26 thou over 6.944 is 3.744 flats, printed 3.7 on the card.
    assert "Use 3.7 flats of the adjuster, lowering blade A" in said
    assert "dial" not in said
    flats.add(
        flats.entry(record={"date": "2026-11-22"}, runs=[turned(2, "1", "3.7", total="3.7", total_blade="A")])
    )
    assert "Total from as delivered: 3.7 flats of the adjuster, toward lowering blade A" in "\n".join(
        lines_of(learn(flats.history()))
    )


def test_the_next_step_sheet_is_ruled_in_flats(flats: Log) -> None:
    """26 thou over 6.944 is 3.744 flats, which move the adjuster 26 thou; 3.7 of them 25.69, down to 25.5."""
    flats.runs(turned(1, "1", total="0", dial_unit="flats"))
    made = next_sheet(learn(flats.history()), flats.deck(), date(2026, 11, 24))
    assert isinstance(made, bytes), made
    said = text_of(made)
    assert "Row of the track card 1.00 3.7" in said
    assert "flats L" in said
    assert "3.7 25.5" in said
    assert "has then moved 3.7 flats L toward lowering blade A" in said
    # 60 thou over 6.944 are 8.64 flats.
    assert "8.6 flats C in all" in said
    assert "Count the flats again" in said
    assert "dial" not in said.lower()


def test_a_record_shows_what_was_turned_in_flats(flats: Log) -> None:
    flats.runs(turned(1, "1", "3"))
    assert "then turned 3.0 flats" in to_text(shown(flats.entries()))


def test_a_dial_is_refused_where_flats_are_counted_and_flats_where_a_dial_is_read(flats: Log, log: Log) -> None:
    by_dial = run(1, "1", dial_after="26")
    late = {"lowered": "A", "dial_after": "2", "dial_unit": "flats"}
    assert rules_of(flats.try_to_add(flats.entry(runs=[by_dial]))) == ["run-unit"]
    assert rules_of(log.try_to_add(log.entry(runs=[turned(1, "1", "3")]))) == ["run-unit"]
    assert rules_of(log.try_to_add(log.entry(changed=late))) == ["run-unit"]


def test_a_quarter_of_a_flat_is_as_near_as_a_total_must_fit(flats: Log) -> None:
    flats.runs(turned(1, "1", "3", total="3.2", total_blade="A"))
    assert flats.history().clashes == ()
    rule = flats.history().rule
    assert isinstance(rule, TrackRule)
    assert rule.repeats_within == FLAT / 2
