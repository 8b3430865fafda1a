"""What the runs of one rotor teach, and when no step is given."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import Any

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from cardgen.figures.track_end import End
from cardgen.figures.track_verdict import Verdict
from cardgen.logbook.entry import Blade
from cardgen.logbook.fit_report import data_of, lines_of
from cardgen.logbook.history import FlownRun, History
from cardgen.logbook.track_learning import Learned, learn
from cardgen.logbook.track_rule import TrackRule, rule_of
from cardgen.logbook.track_runs import Reading, TrackRun
from tests.logbook.logs import TODAY, Log, kept, run, sample

# The sample's rule is 35 thou for an inch, its largest split 1+1/2 in, its largest total 60 thou.
QUARTER = Fraction(1, 4)
START = run(1, "1.25", dial_after="25", total="25")


def learned(log: Log, *runs: dict[str, Any], limit: Fraction | None = QUARTER, speeds: int = 1) -> Learned:
    """Learn from runs of the sample, its limit another or none where the test is about that."""
    log.runs(*runs)
    return again(log, limit, speeds)


def again(log: Log, limit: Fraction | None = QUARTER, speeds: int = 1) -> Learned:
    history = log.history()
    assert isinstance(history.rule, TrackRule)
    return learn(replace(history, rule=replace(history.rule, good_enough=limit, speeds=speeds)))


def test_before_three_runs_the_next_step_is_the_cards_row(log: Log) -> None:
    found = learned(log, START, run(2, "0.55"))
    assert found.provisional
    assert found.step is not None
    assert found.step.blade == "A"
    # The row at 1/2 in, rounded down to the dial's half thou. The runs ask for about 19.5 and are not used.
    assert found.step.step == found.step.row == Fraction("17.5")
    assert found.step.learned is not None
    assert float(found.step.learned) == pytest.approx(19.5, abs=1)
    assert found.step.total == 25 + found.step.step


def test_from_three_runs_on_what_was_learned_may_lower_the_row_and_never_raise_it(log: Log) -> None:
    # 22 thou for an inch where the rule says 35: half an inch asks for 11.
    quick = (run(1, "1.5", dial_after="15", total="15"), run(2, "0.82", dial_after="7"), run(3, "0.5"))
    less = learned(log, *quick)
    assert less.step is not None, less.why_no_step
    assert less.step.uses_learned
    assert float(less.step.step) == pytest.approx(11, abs=1)


def test_a_rotor_slower_than_its_rule_gets_the_row_and_no_more(log: Log) -> None:
    # 60 thou for an inch: 0.75 in would ask for 45; the row at 3/4 in says 26.
    slow = (run(1, "1.25", dial_after="15", total="15"), run(2, "1", dial_after="15"), run(3, "0.76"))
    found = learned(log, *slow)
    assert found.step is not None, found.why_no_step
    assert found.step.step == Fraction(26)
    assert not found.step.uses_learned
    assert any("larger step than the maker's rule" in line for line in lines_of(found))


def test_three_runs_whose_rate_is_not_known_to_a_quarter_are_not_used(log: Log) -> None:
    eye = {"method": "by eye"}
    found = learned(
        log, run(1, "1", dial_after="5", **eye), run(2, "0.9", dial_after="5", **eye), run(3, "0.7", **eye)
    )
    assert found.provisional
    assert any("more than a quarter" in line for line in lines_of(found))


def test_one_run_is_for_the_row_of_the_card(log: Log) -> None:
    found = learned(log, run(1, "1.25", total="0"))
    assert found.step is not None
    assert found.step.learned is None
    # 35 thou an inch at 1+1/4 in is 43.75; the dial's mark below is 43.5.
    assert found.step.step == Fraction("43.5")


def test_a_change_after_the_last_run_is_flown_before_the_next(log: Log) -> None:
    found = learned(log, START, run(2, "0.55", dial_after="10"))
    assert "run and read first" in found.why_no_step


def test_without_a_total_from_as_delivered_there_is_no_step(log: Log) -> None:
    found = learned(log, run(1, "1.25", dial_after="25"), run(2, "0.55"))
    assert found.fit is not None
    assert found.step is None
    assert "total from as delivered" in found.why_no_step


def test_the_largest_total_stops_the_runs(log: Log) -> None:
    log.runs(run(1, "1.25", total="25", total_blade="A"))
    log.add(log.entry(runs=[run(2, "1.25", dial_after="25")], record={"date": "2026-11-22"}))
    log.add(log.entry(runs=[run(3, "0.55")], record={"date": "2026-11-23"}))
    found = again(log)
    assert found.end is End.TOTAL
    assert found.step is None


def test_a_total_on_the_other_side_leaves_room(log: Log) -> None:
    log.runs(run(1, "1.25", total="45", total_blade="B"))
    log.add(log.entry(runs=[run(2, "1.25", dial_after="25")], record={"date": "2026-11-22"}))
    log.add(log.entry(runs=[run(3, "0.55")], record={"date": "2026-11-23"}))
    assert again(log).step is not None


def test_a_split_that_grew_is_not_followed(log: Log) -> None:
    found = learned(log, run(1, "0.7", dial_after="24", total="24"), run(2, "1.4"))
    assert found.judgement is not None
    assert found.judgement.verdict == Verdict.WRONG
    assert found.step is None
    assert "third" in found.why_no_step


def test_a_split_as_large_on_the_other_blade_waits_for_a_third_reading(log: Log) -> None:
    twice = (run(1, "1", dial_after="35", total="35"), run(2, "1", "B"))
    found = learned(log, *twice)
    assert found.judgement is not None
    assert found.judgement.verdict == Verdict.TWICE
    assert found.step is None
    # Repeating a rule that is twice the rotor's own neither shrinks the split nor lets it grow.
    assert found.repeats is not None
    assert float(found.repeats) == pytest.approx(-1, abs=0.1)
    log.add(log.entry(runs=[run(3, "1", "B")], record={"date": "2026-11-22"}))
    found = again(log)
    assert found.confirmed
    assert found.step is not None
    assert found.step.blade == "B"
    assert float(abs(found.step.step)) == pytest.approx(17.5, abs=1.5)


def test_nothing_moved_is_looked_at_and_not_repeated(log: Log) -> None:
    found = learned(log, run(1, "1", dial_after="35", total="35"), run(2, "1"), run(3, "1"))
    assert found.step is None


def test_repeating_a_rule_more_than_twice_the_rotors_own_is_warned_of(log: Log) -> None:
    found = learned(log, run(1, "0.6", dial_after="21", total="21"), run(2, "0.8", "B"), run(3, "0.8", "B"))
    assert found.diverges
    assert any("WARNING" in line and "grow" in line for line in lines_of(found))


def test_a_split_beyond_the_largest_is_not_adjusted_out(log: Log) -> None:
    assert learned(log, run(1, "1.75", total="0")).end is End.TOO_LARGE


def test_without_a_limit_nothing_is_done(log: Log) -> None:
    found = learned(log, START, run(2, "0.05"), run(3, "0.05"), limit=None)
    assert found.end is End.NO_LIMIT
    assert not data_of(found)["done"]


def test_two_readings_inside_the_makers_limit_are_done(log: Log) -> None:
    found = learned(log, START, run(2, "0.05"), run(3, "0.05"))
    assert found.end is End.DONE
    assert lines_of(found)[0].startswith("DONE")
    assert data_of(found)["done"] is True


def test_the_limit_is_the_specifications_own(log: Log) -> None:
    """The sample's good_enough is 1/4 in, and it names two track speeds."""
    log.runs(
        START,
        run(2, "0.05", last_split="0.1", last_high="A"),
        run(3, "0.05", last_split="0", last_high="level"),
    )
    assert learn(log.history()).end is End.DONE


def test_a_speed_that_was_not_read_is_asked_for(log: Log) -> None:
    assert learned(log, START, run(2, "0.05"), run(3, "0.05"), speeds=2).end is End.OTHER_SPEED


def test_high_on_one_blade_and_then_the_other_is_never_done(log: Log) -> None:
    found = learned(log, run(1, "1.25", "A", total="0"), run(2, "1.25", "B"))
    assert found.end is End.APART
    assert found.step is None


def test_a_bolt_loosened_after_the_runs_leaves_nothing_done(log: Log) -> None:
    log.runs(START, run(2, "0.05"), run(3, "0.05"), touched=["a strap bolt loosened"])
    found = again(log)
    assert found.end is None
    assert "a strap bolt loosened" in found.why_no_step


def test_numbers_that_contradict_each_other_are_neither_done_nor_a_step(log: Log) -> None:
    log.runs(run(1, "1.25", dial_after="25", total="30"), run(2, "0.05"), run(3, "0.05"))
    found = again(log)
    assert "contradict" in found.why_no_step
    assert data_of(found)["done"] is False
    assert not lines_of(found)[0].startswith("DONE")


def test_past_the_largest_total_nothing_is_done(log: Log) -> None:
    log.runs(run(1, "1.25", total="50", total_blade="A"))
    log.add(log.entry(runs=[run(2, "1.25", dial_after="30")], record={"date": "2026-11-22"}))
    log.add(log.entry(runs=[run(3, "0.05"), run(4, "0.05")], record={"date": "2026-11-23"}))
    assert again(log).end is End.PAST_TOTAL


def test_rereading_without_a_change_is_no_run_that_failed_to_halve(log: Log) -> None:
    found = learned(log, START, *(run(number, "0.5") for number in range(2, 7)))
    assert found.end is End.GO_ON


def test_four_settings_that_did_not_halve_the_split_stop(log: Log) -> None:
    small = [run(n, s, dial_after="3") for n, s in ((1, "0.9"), (2, "0.85"), (3, "0.8"))]
    assert learned(log, *small, run(4, "0.75"), limit=Fraction(1, 8)).end is End.NOT_HALVED


def test_nothing_in_the_log_says_what_to_do_first(log: Log) -> None:
    assert "No track run" in learn(log.history()).why_no_step
    log.add(log.entry(touched=["whole rotor off and on"]))
    assert "play along the teeter bolt" in learn(log.history()).why_no_step


def test_words_come_before_numbers(log: Log) -> None:
    lines = lines_of(learned(log, START, run(2, "0.55")))
    assert lines[0].startswith("One more step may be made: lower blade A, ")
    first_number = next(at for at, line in enumerate(lines) if "±" in line)
    assert all("not sure" not in line for line in lines[first_number:])


def test_the_data_say_the_same(log: Log) -> None:
    found = learned(log, START, run(2, "0.55"))
    data = data_of(found)
    assert data["go_on"] is True
    assert data["rate"] == {
        "value": pytest.approx(float(found.fit.rate) if found.fit else 0),
        "uncertainty": pytest.approx(found.fit.rate_uncertainty if found.fit else 0),
        "provisional": True,
        "origin": "L",
    }


@cache
def _rule() -> TrackRule:
    rule = rule_of(kept(sample()))
    assert isinstance(rule, TrackRule)
    return rule


_changes = st.lists(st.sampled_from([0, 10, 15, 20, 25, 35, 60]), min_size=0, max_size=4)


@settings(max_examples=120)
@given(
    start=st.integers(-110, 110),
    rate=st.integers(10, 110),
    scatter=st.lists(st.integers(-12, 12), min_size=5, max_size=5),
    changes=_changes,
    net=st.integers(-60, 60),
    limit=st.sampled_from([None, Fraction(1, 4)]),
)
def test_no_step_ever_passes_a_limit_or_moves_the_low_blade(
    start: int, rate: int, scatter: list[int], changes: list[int], net: int, limit: Fraction | None
) -> None:
    """Whatever rotor and reading: the step lowers the high blade, inside total and rule."""
    rule = replace(_rule(), good_enough=limit, speeds=1)
    row, moved = [], Fraction(0)
    for change, off in zip([*changes, 0], scatter, strict=False):
        split = Fraction(start, 64) - moved / rate + Fraction(off, 64)
        high: Blade = "A" if split >= 0 else "B"
        made = TrackRun(TODAY, "run", (Reading(split, high),), "video")
        applied = Fraction(change if split >= 0 else -change)
        row.append(FlownRun(made, moved, applied, net + moved))
        moved += applied
    found = learn(History(rule, tuple(row), None, net + moved))
    assert lines_of(found)
    event("a step" if found.step else "no step")
    if found.step is not None:
        assert rule.max_total is not None
        assert abs(found.step.total) <= rule.max_total
        assert found.step.total == net + moved + found.step.step
        assert rule.finest <= abs(found.step.step) <= rule.rate * abs(found.step.split)
        assert (found.step.step > 0) == (found.step.split > 0)
        assert row[-1].run.largest <= rule.max_split
    else:
        assert found.why_no_step
