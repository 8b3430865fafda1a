"""When a row of runs ends, at the edges of what a reading can tell.

The rotor's rule is 30 thou an inch, its largest split 2 in, its largest total 60 thou, and half a flat is 3.47
thou. A reading from video is good to 1/16 in, by eye to 1/4; 1.65 of it is what tells one side from the other.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from cardgen.figures.track_verdict import StopRule, Verdict
from cardgen.logbook.history import FlownRun, History
from cardgen.logbook.stopping import TOO_COARSE, TOO_LARGE, TOO_SMALL, TWO_SPEEDS, second_reading, stop_words
from cardgen.logbook.track_learning import learn
from cardgen.logbook.track_rule import TrackRule, rule_of
from cardgen.logbook.track_runs import TrackRun
from tests.figures.specs import spec_of
from tests.logbook.logs import TODAY, kept

QUARTER = Fraction(1, 4)


def rule() -> TrackRule:
    found = rule_of(kept(spec_of()))
    assert isinstance(found, TrackRule)
    return found


def flown(split: str, change: str | None = "0", eye: bool = False, speed: int | None = None) -> dict[str, Any]:
    return {"split": split, "change": change, "eye": eye, "speed": speed}


def row(*runs: dict[str, Any], net: int | None = 0) -> tuple[FlownRun, ...]:
    """A row of runs, each with what was changed after it in thou of the rule; ``net`` is the total before."""
    made, moved = [], Fraction(0)
    for each in runs:
        split, change = Fraction(each["split"]), Fraction(each["change"])
        speed = None if each["speed"] is None else Fraction(each["speed"])
        method = "by eye" if each["eye"] else "video"
        one = TrackRun(TODAY, "run", split, "A" if split >= 0 else "B", method, speed, None, None, None)  # type: ignore[arg-type]
        made.append(FlownRun(one, moved, change, None if net is None else net + moved))
        moved += change
    return tuple(made)


def history(*runs: dict[str, Any], net: int | None = 0) -> History:
    made = row(*runs, net=net)
    moved = made[-1].since + (made[-1].applied or 0)
    return History(rule(), made, None, None if net is None else net + moved, ())


def stop(*runs: dict[str, Any], limit: Fraction | None = None, net: int | None = 0) -> str:
    return stop_words(history(*runs, net=net), rule(), None, limit)


def test_a_split_of_the_largest_size_is_still_adjusted_out() -> None:
    assert stop(flown("2")) == StopRule.GO_ON
    assert stop(flown("2.01")) == stop(flown("-2.01")) == TOO_LARGE


def test_two_speeds_differ_beyond_chance_with_nothing_changed_between() -> None:
    # 2.8 x 1/16 is 0.175.
    def at(second: str, change: str = "0", speed: int | None = 320, first: int | None = 260) -> str:
        return stop(flown("1", change, speed=first), flown(second, speed=speed))

    assert at("0.824") == TWO_SPEEDS
    assert at("0.825") == StopRule.GO_ON
    assert at("0.824", speed=260) == at("0.824", speed=None) == at("0.824", first=None) == StopRule.GO_ON
    assert at("0.824", change="5") == StopRule.GO_ON


def test_the_coarser_of_two_readings_says_whether_speeds_differ() -> None:
    # 2.8 x 1/4 is 0.7.
    def at(second: str) -> str:
        return stop(flown("1.5", speed=260, eye=True), flown(second, speed=320))

    assert at("0.8") == StopRule.GO_ON
    assert at("0.79") == TWO_SPEEDS


def test_a_step_must_be_large_enough_to_make_and_to_read() -> None:
    # 3.4722 thou are 0.1157 in of split; by eye a reading of 1/4 in is 7.5 thou.
    assert stop(flown("0.115")) == stop(flown("-0.115")) == TOO_SMALL
    assert stop(flown("0.116")) == stop(flown("-0.116")) == StopRule.GO_ON
    assert stop(flown("0.249", eye=True)) == TOO_SMALL
    assert stop(flown("0.25", eye=True)) == StopRule.GO_ON


@pytest.mark.parametrize(
    ("split", "count", "found"),
    [
        # One reading inside the limit never decides. Of two the mean is good to 1/16 over root two: 0.0729.
        ("0.1", 1, StopRule.UNDECIDED),
        ("0.177", 2, StopRule.GOOD),
        ("0.178", 2, StopRule.UNDECIDED),
        # Of three over root three, 0.0595, and of more no better. Then a step may take away what is undecided.
        ("0.190", 3, StopRule.GOOD),
        ("0.191", 3, StopRule.GO_ON),
        ("0.190", 4, StopRule.GOOD),
        ("0.191", 4, StopRule.GO_ON),
        # Two readings surely outside go on.
        ("0.330", 2, StopRule.GO_ON),
        ("0.320", 2, StopRule.UNDECIDED),
    ],
)
def test_readings_without_a_change_are_taken_together(split: str, count: int, found: str) -> None:
    assert stop(*[flown(split)] * count, limit=QUARTER) == found


def test_the_mean_of_the_readings_counts() -> None:
    assert stop(flown("0.027"), flown("0.327"), limit=QUARTER) == StopRule.GOOD  # mean 0.177
    assert stop(flown("0.029"), flown("0.327"), limit=QUARTER) == StopRule.UNDECIDED
    assert (
        stop(flown("0.1", eye=True), flown("0.1"), limit=QUARTER) == StopRule.UNDECIDED
    )  # the coarser of both


def test_a_limit_that_neither_reading_nor_step_can_decide_is_told() -> None:
    # 0.1 in ask for 3 thou, less than half a flat; 0.12 for 3.6.
    assert stop(*[flown("0.1")] * 3, limit=Fraction("0.12")) == TOO_COARSE
    assert stop(*[flown("0.12")] * 3, limit=Fraction("0.12")) == StopRule.GO_ON
    assert stop(*[flown("0.1")] * 2, limit=Fraction("0.12")) == StopRule.UNDECIDED
    # By eye the mean of three is good to 0.1443 in, 4.33 thou: more than half a flat, so it decides.
    assert stop(*[flown("0.144", eye=True)] * 3, limit=Fraction("0.13")) == TOO_COARSE
    assert stop(*[flown("0.145", eye=True)] * 3, limit=Fraction("0.13")) == StopRule.GO_ON


def test_the_total_counts_from_as_delivered_or_from_the_row() -> None:
    first, second = flown("1.5", "30"), flown("1")
    assert stop(first, second, net=0) == StopRule.GO_ON  # 30 and 30 more
    assert stop(first, second, net=1) == StopRule.TOTAL
    assert stop(first, second, net=None) == StopRule.GO_ON
    assert stop(flown("1.6", "31"), second, net=None) == StopRule.TOTAL


def test_settings_and_not_readings_must_halve_the_split() -> None:
    slow = [flown("0.9", "3"), flown("0.85", "3"), flown("0.8", "3")]
    assert stop(*slow, flown("0.45"), limit=QUARTER) == StopRule.GO_ON
    assert stop(*slow, flown("0.46"), limit=QUARTER) == StopRule.NOT_HALVED
    assert stop(*slow[:2], flown("0.46"), flown("0.46"), limit=QUARTER) == StopRule.GO_ON


def test_the_last_change_is_judged_by_the_reading_after_it() -> None:
    judged, confirmed = second_reading(row(flown("1.5", "30"), flown("0.5", "15"), flown("0")), Fraction(30))
    assert judged is not None
    assert [judged.effect, judged.verdict, confirmed] == [1, Verdict.FITS, False]
    twice, _ = second_reading(row(flown("1.5", "30"), flown("0.5", "15"), flown("-0.5")), Fraction(30))
    assert twice is not None
    assert [twice.effect, twice.verdict] == [2, Verdict.TWICE]
    assert second_reading(row(flown("1"), flown("1")), Fraction(30)) == (None, False)
    assert second_reading(row(flown("1", "30")), Fraction(30)) == (None, False)


@pytest.mark.parametrize(
    ("third", "confirmed"), [("-0.5", True), ("-0.325", True), ("-0.324", False), ("-0.676", False)]
)
def test_a_third_reading_confirms_the_second_within_chance(third: str, confirmed: bool) -> None:
    # 2.8 x 1/16 is 0.175 either way.
    runs = row(flown("1", "30"), flown("-0.5"), flown(third))
    assert second_reading(runs, Fraction(30))[1] is confirmed


def test_the_coarser_reading_says_how_sure_the_effect_is() -> None:
    judged, _ = second_reading(row(flown("1.5", "45", eye=True), flown("0")), Fraction(30))
    assert judged is not None
    # A quarter inch of 30 thou in 45.
    assert judged.uncertainty == Fraction(1, 6)


def test_a_table_that_doubles_or_leaves_the_split_diverges() -> None:
    from dataclasses import replace

    from cardgen.logbook.fit_report import convergence_words

    found = learn(history(flown("1.5", "30"), flown("0.5")))
    said = {
        share: convergence_words(replace(found, repeats=Fraction(share)))
        for share in ("-1", "-0.99", "-0.01", "0", "0.5", "0.51", "0.99", "1")
    }
    assert "WARNING" in said["-1"] and "WARNING" in said["1"]
    assert said["-0.99"] == said["-0.01"]
    assert "change places" in said["-0.01"]
    assert (said["0"], said["0.5"]) == ("", "")
    assert said["0.51"] == said["0.99"]
    assert "more than half" in said["0.51"]
