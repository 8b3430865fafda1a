"""What the runs of one rotor teach, and when no step is given."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from cardgen.figures.track_verdict import StopRule, Verdict
from cardgen.logbook.entry import Blade
from cardgen.logbook.fit_report import data_of, lines_of
from cardgen.logbook.history import FlownRun, History
from cardgen.logbook.stopping import TOO_COARSE, TOO_LARGE, TOO_SMALL, TWO_SPEEDS
from cardgen.logbook.track_learning import Learned, learn
from cardgen.logbook.track_rule import TrackRule, rule_of
from cardgen.logbook.track_runs import TrackRun
from tests.logbook.logs import TODAY, Log, kept, run, sample

# The sample's rule is 35 thou for an inch, its largest split 1+1/2 in, its largest total 60 thou.
START = run(1, "1.25", dial_after="25", total="25")


def learned(log: Log, *runs: dict[str, Any], limit: Fraction | None = None) -> Learned:
    log.runs(*runs)
    return learn(log.history(), limit)


def test_two_runs_give_a_provisional_step_toward_nothing(log: Log) -> None:
    found = learned(log, START, run(2, "0.55"))
    assert found.provisional
    assert found.step is not None
    assert found.step.blade == "A"
    # 25 thou took out 0.7 in, which is 35.7 thou for an inch: 0.55 in ask for about 20.
    assert float(found.step.step) == pytest.approx(19.5, abs=1)
    assert found.step.total == 25 + found.step.step


def test_three_runs_are_provisional_no_more(log: Log) -> None:
    found = learned(log, START, run(2, "0.55", dial_after="10"), run(3, "0.3"))
    assert found.fit is not None
    assert not found.provisional


def test_three_runs_whose_rate_is_not_known_to_a_quarter_stay_provisional(log: Log) -> None:
    eye = {"method": "by eye"}
    found = learned(
        log, run(1, "1", dial_after="5", **eye), run(2, "0.9", dial_after="5", **eye), run(3, "0.7", **eye)
    )
    assert found.provisional


def test_one_run_is_for_the_table(log: Log) -> None:
    found = learned(log, run(1, "1.25", total="0"))
    assert found.step is None
    assert "table on the track card" in found.why_no_step


def test_a_change_after_the_last_run_is_flown_before_the_next(log: Log) -> None:
    found = learned(log, START, run(2, "0.55", dial_after="10"))
    assert "run and read first" in found.why_no_step


def test_without_a_total_from_as_delivered_there_is_no_step(log: Log) -> None:
    found = learned(log, run(1, "1.25", dial_after="25"), run(2, "0.55"))
    assert found.fit is not None
    assert found.step is None
    assert "total from as delivered" in found.why_no_step


def test_the_largest_total_stops_the_runs(log: Log) -> None:
    found = learned(log, run(1, "1.25", dial_after="25", total="50", total_blade="A"), run(2, "0.55"))
    assert found.stop == StopRule.TOTAL
    assert found.step is None


def test_a_total_on_the_other_side_leaves_room(log: Log) -> None:
    found = learned(log, run(1, "1.25", dial_after="25", total="20", total_blade="B"), run(2, "0.55"))
    assert found.step is not None


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
    again = learn(log.history())
    assert again.confirmed
    assert again.step is not None
    assert again.step.blade == "B"
    assert float(abs(again.step.step)) == pytest.approx(17.5, abs=1.5)


def test_nothing_moved_is_looked_at_and_not_repeated(log: Log) -> None:
    found = learned(log, run(1, "1", dial_after="35", total="35"), run(2, "1"), run(3, "1"))
    assert found.step is None


def test_repeating_a_rule_more_than_twice_the_rotors_own_is_warned_of(log: Log) -> None:
    found = learned(log, run(1, "0.6", dial_after="21", total="21"), run(2, "0.8", "B"), run(3, "0.8", "B"))
    assert found.diverges
    assert any("WARNING" in line and "grow" in line for line in lines_of(found))


def test_a_split_beyond_the_largest_is_not_adjusted_out(log: Log) -> None:
    assert learned(log, run(1, "1.75", total="0")).stop == TOO_LARGE


def test_two_speeds_with_two_splits_are_not_pitch_alone(log: Log) -> None:
    found = learned(log, run(1, "1", speed="260"), run(2, "0.7", speed="320"))
    assert found.stop == TWO_SPEEDS


def test_a_step_too_small_to_make_is_compared_with_the_makers_limit(log: Log) -> None:
    assert learned(log, START, run(2, "0.05")).stop == TOO_SMALL


@pytest.mark.parametrize(("split", "stop"), [("0.05", StopRule.GOOD), ("0.2", StopRule.UNDECIDED)])
def test_the_makers_limit_decides_on_two_readings(log: Log, split: str, stop: StopRule) -> None:
    found = learned(log, START, run(2, split), run(3, split), limit=Fraction(1, 4))
    assert found.stop == stop
    assert found.step is None


def test_one_reading_inside_the_limit_is_read_again(log: Log) -> None:
    assert learned(log, START, run(2, "0.05"), limit=Fraction(1, 4)).stop == StopRule.UNDECIDED


def test_after_three_readings_at_the_limit_either_a_step_or_nothing_helps(log: Log) -> None:
    near = [run(number, "0.24") for number in (2, 3, 4)]
    assert learned(log, START, *near, limit=Fraction(1, 4)).step is not None


def test_readings_too_coarse_for_the_limit_are_told(log: Log) -> None:
    eye = [run(number, "0.05", method="by eye") for number in (2, 3, 4)]
    assert learned(log, START, *eye, limit=Fraction(1, 8)).stop == TOO_COARSE


def test_rereading_without_a_change_is_no_run_that_failed_to_halve(log: Log) -> None:
    found = learned(log, START, *(run(number, "0.5") for number in range(2, 7)), limit=Fraction(1, 8))
    assert found.stop == StopRule.GO_ON


def test_four_settings_that_did_not_halve_the_split_stop(log: Log) -> None:
    small = [run(n, s, dial_after="3") for n, s in ((1, "0.9"), (2, "0.85"), (3, "0.8"))]
    assert learned(log, *small, run(4, "0.75"), limit=Fraction(1, 8)).stop == StopRule.NOT_HALVED


def test_nothing_in_the_log_says_what_to_do_first(log: Log) -> None:
    assert "No track run" in learn(log.history()).why_no_step
    log.add(log.entry(touched=["whole rotor off and on"]))
    assert "play along the teeter bolt" in learn(log.history()).why_no_step


def test_words_come_before_numbers(log: Log) -> None:
    lines = lines_of(learned(log, START, run(2, "0.55")))
    assert lines[0] == "One more step may be made: lower blade A, then run and read again."
    first_number = next(at for at, line in enumerate(lines) if "±" in line)
    assert all("Provisional" not in line for line in lines[first_number:])


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
    """Whatever rotor and reading: the step lowers the blade that was high, inside total and table."""
    rule = rule_of(kept(sample()))
    assert isinstance(rule, TrackRule)
    row, moved = [], Fraction(0)
    for change, off in zip([*changes, 0], scatter, strict=False):
        split = Fraction(start, 64) - moved / rate + Fraction(off, 64)
        high: Blade = "A" if split >= 0 else "B"
        made = TrackRun(TODAY, "run", split, high, "video", None, None, None, None)
        applied = Fraction(change if split >= 0 else -change)
        row.append(FlownRun(made, moved, applied, net + moved))
        moved += applied
    found = learn(History(rule, tuple(row), (), tuple(row), None, net + moved, ()), limit)
    assert lines_of(found)
    event("a step" if found.step else "no step")
    if found.step is not None:
        assert abs(found.step.total) <= rule.max_total
        assert found.step.total == net + moved + found.step.step
        assert rule.finest <= abs(found.step.step) <= rule.max_step
        assert (found.step.step > 0) == (row[-1].run.split > 0)
        assert abs(row[-1].run.split) <= rule.max_split
    else:
        assert found.why_no_step
