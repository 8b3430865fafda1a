"""What is asked about before an entry is kept, and that nothing is kept until it is answered.

The sample's rule is 35 thou for an inch, its largest split 1+1/2 in, its largest total 60 thou on the dial.
"""

from __future__ import annotations

from typing import Any

import pytest

from cardgen.logbook.adding import Asked, Kept
from tests.logbook.logs import Log, run

# 43.5 thou is the row at 1+1/4 in, 35 x 1.25 = 43.75 rounded down to half a thou.
GOOD = run(1, "1.25", dial_after="43.5", total="43.5")


def asked(log: Log, *runs: dict[str, Any], **parts: Any) -> str:
    """Add runs without saying that they were read so, and give what was asked."""
    made = log.try_to_add(log.entry(runs=list(runs), **parts), as_read=False)
    if isinstance(made, Kept):
        return ""
    assert isinstance(made, Asked), made
    assert made.questions
    return "\n".join(made.questions)


def test_the_cards_row_and_a_reading_that_answers_it_are_kept_unasked(log: Log) -> None:
    assert asked(log, GOOD) == ""
    assert asked(log, run(2, "0.1"), record={"date": "2026-11-22"}) == ""


@pytest.mark.parametrize(
    ("slip", "words"),
    [
        (run(1, "12.5"), "larger than|more than the largest, 1.50 in"),
        (run(1, "1.25", dial_after="435", total="435"), "passes the largest, 60.0 thou"),
        (run(1, "1.25", dial_after="4.35"), "for a split of 1.25 in it is 43.5 thou"),
        (run(1, "1.25", dial_after="52.5"), "for a split of 1.25 in it is 43.5 thou"),
        (run(1, "1.25", dial_after="-43.5"), "lowered the low blade"),
        (run(1, "1.25", dial_after="43.5", total="43.5", total_blade="B"), "add up to 43.5 thou"),
    ],
)
def test_an_odd_number_is_asked_about_and_not_kept(log: Log, slip: dict[str, Any], words: str) -> None:
    said = asked(log, slip)
    assert any(word in said for word in words.split("|"))
    assert log.entries() == ()


def test_the_other_blade_is_asked_about_at_the_next_reading(log: Log) -> None:
    log.runs(GOOD)
    # The other blade went down: the split grew by what it should have fallen.
    assert "wrong blade" in asked(log, run(2, "1.45"), record={"date": "2026-11-22"})


def test_a_change_ten_times_too_small_is_asked_about_at_the_next_reading(log: Log) -> None:
    log.runs(run(1, "1.25", dial_after="4", total="4"))
    assert "ten times off" in asked(log, run(2, "0.05"), record={"date": "2026-11-22"})


def test_a_small_change_after_which_nothing_moved_is_asked_about(log: Log) -> None:
    """8.5 thou at 35 an inch should move 0.24 in; two readings good to 1/16 each surely show less than that."""
    log.runs(run(1, "0.35", dial_after="8.5", total="8.5", method="video"))
    assert "nothing moved" in asked(log, run(2, "0.35", method="video"), record={"date": "2026-11-22"})
    assert asked(log, run(2, "0.25", method="video"), record={"date": "2026-11-22"}) == ""


def test_another_high_blade_without_a_change_is_asked_about(log: Log) -> None:
    log.runs(run(1, "0.2", "A", total="0"))
    said = asked(log, run(2, "0.2", "B"), record={"date": "2026-11-22"})
    assert "nothing was changed" in said
    assert "blade A high" in said
    assert "blade B high" in said


def test_a_run_after_a_step_that_nobody_wrote_down_is_asked_about(log: Log) -> None:
    log.runs(run(1, "1.25", total="0"))
    assert "nothing was changed after it" in asked(log, run(2, "0.1"), record={"date": "2026-11-22"})


def test_what_was_read_so_is_kept_and_says_that_it_was_asked(log: Log) -> None:
    log.add(log.entry(runs=[run(1, "1.25", dial_after="20", total="20")]))
    (only,) = log.entries()
    assert only.entry.as_read


def test_what_was_odd_before_is_asked_about_once(log: Log) -> None:
    log.runs(run(1, "1.25", dial_after="20", total="20"))
    assert asked(log, run(2, "0.68"), record={"date": "2026-11-22"}) == ""


def test_the_same_entry_again_is_not_asked_about(log: Log) -> None:
    entry = log.entry(runs=[run(1, "1.25", dial_after="20", total="20")])
    log.add(entry)
    again = log.try_to_add({**entry, "as_read": True}, as_read=False)
    assert isinstance(again, Kept)
    assert not again.new
