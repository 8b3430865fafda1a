"""When the runs end: each reason at its edges, worked out by hand.

A reading from video is good to 1/16 in, by eye to 1/4 (common practice, no source). Two readings lie apart by
chance one time in twenty when 1.96 x root 2 = 2.77 of these apart, taken as 2.8 (normal distribution).
"""

from __future__ import annotations

from fractions import Fraction
from statistics import NormalDist

import pytest

from cardgen.figures.track_end import End, Limits, RunSplits, Where, agreeing, end_of

EYE, VIDEO = Fraction(1, 4), Fraction(1, 16)
LIMITS = Limits(
    good_enough=Fraction(1, 4),
    max_split=Fraction(2),
    max_total=Fraction(60),
    rule=Fraction(30),
    finest=Fraction(3),
    speeds=1,
)


def run(*splits: str, scatter: Fraction = VIDEO) -> RunSplits:
    return RunSplits(tuple(Fraction(split) for split in splits), scatter)


def end(
    *setting: RunSplits,
    before: tuple[str, ...] = (),
    total: int | None = 0,
    own: str | None = None,
    limits: Limits = LIMITS,
) -> End:
    settings = [[run(split)] for split in before] + [list(setting)]
    return end_of(
        Where(
            settings,
            None if total is None else Fraction(total),
            Fraction(0),
            None if own is None else Fraction(own),
        ),
        limits,
    )


def with_limits(**changes: object) -> Limits:
    return Limits(**{**vars(LIMITS), **changes})


def test_done_needs_two_runs_with_nothing_changed_between() -> None:
    assert end(run("0.1")) is End.ONCE_MORE
    assert end(run("0.1"), run("0.1")) is End.DONE
    assert end(run("0.1"), before=("0.1",)) is End.ONCE_MORE


@pytest.mark.parametrize(("first", "second"), [("1.25", "-1.25"), ("0.26", "0.05"), ("0.05", "0.26")])
def test_a_mean_inside_the_limit_is_never_done(first: str, second: str) -> None:
    assert end(run(first), run(second)) is not End.DONE


def test_every_named_speed_is_read_and_inside() -> None:
    two = with_limits(speeds=2)
    assert end(run("0.1", "0.1"), run("0.1", "0.1"), limits=two) is End.DONE
    assert end(run("0.1"), run("0.1"), limits=two) is End.OTHER_SPEED
    assert end(run("0.05", "1"), run("0.05", "1"), limits=two) is End.TWO_SPEEDS
    assert end(run("0.2", "0.26"), run("0.2", "0.26"), limits=two) is not End.DONE


def test_readings_that_surely_name_different_blades_never_agree() -> None:
    # 1.65 x 1/16 is 0.103: what lies below may be level. Two of these on either side lie 0.21 apart.
    assert end(run("0.1"), run("-0.06")) is End.DONE
    assert end(run("0.11"), run("-0.11")) is End.APART
    assert end(run("-1.25"), run("1.25")) is End.APART


def test_a_limit_smaller_than_a_way_of_reading_shows_is_for_the_video() -> None:
    # 2.8 x 1/4 is 0.7 and 2.8 x 1/16 is 0.175.
    assert end(run("0.1", scatter=EYE), run("0.1", scatter=EYE)) is End.BY_VIDEO
    wide = with_limits(good_enough=Fraction("0.7"))
    assert end(run("0.1", scatter=EYE), run("0.1", scatter=EYE), limits=wide) is End.DONE
    narrow = with_limits(good_enough=Fraction("0.174"))
    assert end(run("0.01"), run("0.01"), limits=narrow) is End.BY_VIDEO
    # Nor is a change made by eye whose answer an eye could not see.
    assert end(run("0.7", scatter=EYE)) is End.BY_VIDEO
    assert end(run("0.71", scatter=EYE)) is End.GO_ON
    assert end(run("0.7", scatter=EYE), limits=with_limits(good_enough=Fraction("0.7"))) is not End.BY_VIDEO
    # Once it is read by video, what was read by eye of the same setting says nothing more.
    assert end(run("0.2", scatter=EYE), run("0.1"), run("0.1")) is End.DONE


def test_the_total_is_known_and_inside_its_largest() -> None:
    good = run("0.1"), run("0.1")
    assert end(*good, total=60) is End.DONE
    assert end(*good, total=61) is end(*good, total=-61) is End.PAST_TOTAL
    assert end(*good, total=None) is End.NO_TOTAL
    assert end(*good, limits=with_limits(max_total=None)) is End.NO_MOST


def test_a_split_just_outside_is_rarely_taken_for_inside() -> None:
    """The rule is one-sided 97.5 percent of a normal distribution against one scatter beyond the limit."""
    edge = float(VIDEO + Fraction(1, 4) - Fraction(196, 100) * VIDEO / Fraction("1.41421356"))
    assert NormalDist().cdf((edge - 0.3125) / (0.0625 / 2**0.5)) == pytest.approx(0.025, rel=0.01)
    inside, beyond = f"{edge - 0.002:.3f}", f"{edge + 0.002:.3f}"
    assert end(run(inside), run(inside)) is End.DONE
    assert end(run(beyond), run(beyond)) is End.READ_AGAIN


def test_two_readings_that_lie_apart_are_read_again_and_a_third_decides() -> None:
    assert end(run("1"), run("0.825")) is End.GO_ON
    assert end(run("1"), run("0.824")) is End.APART
    # The third stands with one of them: the other is left out.
    assert end(run("1"), run("0.5"), run("1")) is End.GO_ON
    assert agreeing([run("1"), run("0.5"), run("1")]) == [run("1"), run("1")]
    assert end(run("1"), run("0.5"), run("1.5")) is End.UNSTEADY


def test_a_split_that_jumps_and_stays_was_changed_whatever_was_written() -> None:
    """Nobody reads a split wrong twice alike; a change that nobody wrote leaves the total unknown."""
    assert end(run("1.25"), run("0.5"), run("0.5")) is End.UNSTEADY
    assert end(run("1"), run("1"), run("0.5")) is End.APART
    assert end(run("1"), run("1"), run("0.5"), run("0.5")) is End.UNSTEADY
    assert end(run("1"), run("1"), run("0.5"), run("1")) is End.GO_ON


def test_a_reading_outside_by_itself_is_no_reason_to_wait() -> None:
    assert end(run("0.2", "0.3"), limits=with_limits(speeds=2)) is End.GO_ON
    # Inside the second time, outside the first: the next one tells.
    assert end(run("0.26"), run("0.15")) is End.READ_AGAIN


def test_two_speeds_apart_once_are_read_again_and_twice_the_same_way_stop() -> None:
    apart, other_way, near = run("1", "0.7"), run("0.7", "1"), run("1", "0.825")
    assert end(near) is End.GO_ON
    assert end(apart) is End.SPEEDS_APART
    assert end(apart, apart) is End.TWO_SPEEDS
    assert end(apart, other_way) is End.SPEEDS_APART
    assert end(near, apart) is End.SPEEDS_APART
    assert end(run("1", "0.7", scatter=EYE)) is End.GO_ON


def test_one_run_apart_after_runs_that_are_not_is_chance_unless_it_is_far_apart() -> None:
    """What speed does stays as pitch is changed, so the mean of them tells: 2.8 u over the root of 2 or 3.

    Of two it is 0.124 in, of three 0.101 in: alone beside readings alike at both speeds, 0.247 and 0.303 apart.
    """
    alike = run("1", "1")
    assert end(alike, run("1", "0.76")) is End.GO_ON
    assert end(alike, run("1", "0.75")) is End.SPEEDS_APART
    assert end(alike, alike, run("1", "0.7")) is End.GO_ON
    assert end(alike, alike, run("1", "0.69")) is End.SPEEDS_APART
    # No more than three count, so that what begins late is not covered up; and it stops the second time.
    assert end(alike, alike, alike, run("1", "0.69")) is End.SPEEDS_APART
    assert end(alike, run("1", "0.8"), run("1", "0.8")) is End.TWO_SPEEDS
    # What was read at one speed, or by eye, tells nothing of it.
    assert end(run("1"), run("1", "0.8")) is End.SPEEDS_APART
    assert end(run("1", "1", scatter=EYE), run("1", "0.8")) is End.SPEEDS_APART


def test_the_chance_of_a_false_stop_is_under_one_in_twenty_a_rotor() -> None:
    """Two pairs of five runs apart the same way round, from scipy's normal distribution."""
    once = 2 * NormalDist().cdf(-2.8 / 2**0.5)
    assert once < 0.05
    neighbours = 4 * once * once / 2
    assert neighbours < 0.05


@pytest.mark.parametrize(
    ("own", "found"),
    # A third of the rule's 30, or three times it, and no further.
    [("10", End.GO_ON), ("9.99", End.NOT_THE_RULE), ("90", End.GO_ON), ("90.01", End.NOT_THE_RULE)],
)
def test_a_rotor_that_answers_unlike_its_rule_stops(own: str, found: End) -> None:
    assert end(run("0.5"), own=own) is found


def test_a_split_beyond_the_largest_at_any_speed_is_not_adjusted_out() -> None:
    assert end(run("2")) is End.GO_ON
    assert end(run("2.01")) is end(run("-2.01")) is End.TOO_LARGE
    assert end(run("1.9", "2.01")) is End.TOO_LARGE


def test_four_settings_must_halve_the_split() -> None:
    assert end(run("1"), before=("2", "1.5", "1.2")) is End.GO_ON
    assert end(run("1.01"), before=("2", "1.5", "1.2")) is End.NOT_HALVED
    assert end(run("0.8"), before=("1", "0.9")) is End.GO_ON


def test_a_step_fills_the_total_and_never_passes_it() -> None:
    # 1 in at 30 thou an inch.
    assert end(run("1"), total=30) is End.GO_ON
    assert end(run("1"), total=31) is end(run("-1"), total=-31) is End.TOTAL
    assert end(run("-1"), total=31) is End.GO_ON
    assert end(run("1"), total=41, own="20") is End.TOTAL
    # A slow rotor is given the rule's step and no more: 30 and 30 fill the total.
    assert end(run("1"), total=30, own="60") is End.GO_ON


def test_a_step_must_be_large_enough_to_make() -> None:
    # 0.6 in asks for 18 thou; without a limit nobody knows whether that is good enough.
    assert end(run("0.6"), limits=with_limits(finest=Fraction(18))) is End.GO_ON
    assert end(run("0.6"), limits=with_limits(finest=Fraction(19))) is End.TOO_SMALL
    assert end(run("0.6"), limits=with_limits(finest=Fraction(19), good_enough=None)) is End.NO_LIMIT


def test_without_a_limit_nothing_is_ever_done() -> None:
    none = with_limits(good_enough=None)
    assert end(run("0"), run("0"), limits=none) is End.NO_LIMIT


def test_what_asks_for_a_reading_changes_nothing() -> None:
    assert {each for each in End if each.reads_again} == {
        each
        for each in End
        if "read again" in each
        or each
        in (
            End.OTHER_SPEED,
            End.BY_VIDEO,
        )
    }
