"""Runs out of an entry, from the boxes of the track card and from the list of runs."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from cardgen.logbook.entry import FormEntry
from cardgen.logbook.track_runs import BadRun, TrackRun, runs_of
from tests.logbook.logs import Log, box, run


def found(log: Log, **parts: Any) -> list[TrackRun]:
    log.add(log.entry(**parts))
    (entry,) = log.entries()
    return [each for each in runs_of(entry.entry) if isinstance(each, TrackRun)]


def row(name: str, split: str, high: str, after: str = "") -> dict[str, Any]:
    boxes = {f"run-{name}-split": box(split, "in"), f"run-{name}-high": box(high)}
    if after:
        boxes[f"run-{name}-after"] = box(after, "thou")
    return boxes


def test_a_high_blade_a_and_what_lowers_it_count_as_plus(log: Log) -> None:
    first, second = found(log, runs=[run(1, "1.25", dial_after="40"), run(2, "0.5", "B", dial_after="15")])
    assert [first.split, first.change.moved] == [Fraction(5, 4), 40]
    assert [second.split, second.change.moved] == [Fraction(-1, 2), -15]


def test_the_rows_of_the_card_are_runs(log: Log) -> None:
    table = {**row("first", "1+1/4", "A", "40"), **row("second", "0.5", "b")}
    first, second = found(log, values={"second-reading": table})
    assert [first.split, first.change.moved] == [Fraction(5, 4), 40]
    assert [second.split, second.change.moved, second.readings[0].high] == [Fraction(-1, 2), 0, "B"]
    assert first.method == "by eye"  # the card does not ask, and the coarser is assumed


def test_the_boxes_of_the_track_card_are_one_run_with_its_change_and_total(log: Log) -> None:
    boxes = {
        "split": box("1+1/4", "in"),
        "split-last": box("1", "in"),
        "high-blade": box("A"),
        "read-by": box("video"),
        "dial-before": box("42", "thou"),
        "dial-after": box("43.5", "thou"),
        "total": box("43.5", "thou"),
        "lowered": box("A"),
    }
    (only,) = found(log, values={"track": boxes})
    assert [each.split for each in only.readings] == [Fraction(5, 4), 1]
    assert only.method == "video"
    assert [only.change.moved, only.change.signed_total] == [Fraction("43.5"), Fraction("43.5")]


def test_one_reading_without_rows_is_a_run(log: Log) -> None:
    (only,) = found(log, values={"track": {"split": box("3/4", "in"), "high-blade": box("B")}})
    assert only.split == Fraction(-3, 4)


def test_the_third_reading_follows_two_runs(log: Log) -> None:
    track = {**row("first", "1", "A", "30"), **row("second", "1", "B")}
    third = {"third-split": box("1", "in"), "third-high": box("B")}
    runs = found(log, values={"second-reading": {**track, **third}})
    assert [each.split for each in runs] == [1, -1, -1]


def test_a_change_that_was_not_read_after_locking_is_not_known(log: Log) -> None:
    boxes = {"split": box("1", "in"), "high-blade": box("A"), "dial-before": box("30", "thou")}
    (only,) = found(log, values={"track": boxes})
    assert only.change.moved is None


def test_millimetres_become_inches_and_thousandths(log: Log) -> None:
    (only,) = found(log, runs=[run(1, "25.4") | {"unit": "mm", "dial_after": "0.254", "dial_unit": "mm"}])
    assert [only.split, only.change.moved] == [1, 10]


@pytest.mark.parametrize(("value", "unit"), [("1", "g"), ("1", ""), ("about 1", "in")])
def test_what_is_no_length_is_told_and_not_taken_for_one(log: Log, value: str, unit: str) -> None:
    kept = log.entry(values={"second-reading": row("first", "1", "A") | {"run-first-after": box(value, unit)}})
    (only,) = runs_of(FormEntry.model_validate(kept))
    assert isinstance(only, BadRun)
    assert (only.rule, only.read) == ("entry-number", f"{value} {unit}".strip())


@pytest.mark.parametrize(
    ("before", "after", "changed"),
    [("", "", 0), ("0", "", None), ("22", "", None), ("", "0", 0), ("0", "0", 0), ("22", "21", 21)],
)
def test_a_dial_at_nothing_is_a_reading_in_the_boxes_and_in_the_list_alike(
    log: Log, before: str, after: str, changed: int | None
) -> None:
    """A dial that was not read is empty. Read before locking alone, it leaves open what locking moved."""
    read = {name: typed for name, typed in (("before", before), ("after", after)) if typed}
    listed = log.entry(runs=[run(1, "1", **{f"dial_{name}": typed for name, typed in read.items()})])
    boxes = {f"run-first-{name}": box(typed, "thou") for name, typed in read.items()}
    boxed = log.entry(values={"second-reading": row("first", "1", "A") | boxes})
    for entry in (listed, boxed):
        (only,) = runs_of(FormEntry.model_validate(entry))
        assert isinstance(only, TrackRun)
        assert only.change.moved == changed
