"""What a second reading is taken to mean, and when the runs end."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from cardgen.figures.track_verdict import (
    State,
    StopRule,
    Verdict,
    judge,
    smallest_first_split,
    speeds_differ,
    stop_rule,
)

VIDEO = Fraction(1, 16)


@pytest.mark.parametrize(
    ("first", "second", "applied", "verdict"),
    # A rotor that needs 30 thou an inch, its split worked by hand for each mistake.
    [
        ("1.5", "0", "45", Verdict.FITS),
        ("1.5", "0.75", "45", Verdict.HALF),
        ("1.5", "-0.75", "45", Verdict.ONE_AND_A_HALF),
        ("1.5", "-1.5", "45", Verdict.TWICE),
        ("1.5", "1.5", "45", Verdict.NOTHING),
        ("1.5", "3", "45", Verdict.WRONG),
        ("1.5", "2.25", "45", Verdict.STOP),
        ("1.5", "-3", "45", Verdict.STOP),
        ("-1.5", "0", "-45", Verdict.FITS),
        # A quarter of the effect either way is still the same mistake; beyond it nothing known does this.
        ("1.5", "-1.875", "45", Verdict.TWICE),  # 2 1/4
        ("1.5", "-1.89", "45", Verdict.STOP),
        ("1.5", "1.875", "45", Verdict.NOTHING),  # -1/4
        ("1.5", "1.89", "45", Verdict.STOP),
        ("1.5", "2.625", "45", Verdict.WRONG),  # -3/4
        ("1.5", "3.375", "45", Verdict.WRONG),  # -1 1/4
        ("1.5", "3.39", "45", Verdict.STOP),
        # Nearer to one than to its neighbour, by a little.
        ("1.5", "0.36", "45", Verdict.FITS),  # 0.76
        ("1.5", "0.39", "45", Verdict.HALF),  # 0.74
        ("1.5", "1.11", "45", Verdict.HALF),  # 0.26
        ("1.5", "1.14", "45", Verdict.NOTHING),  # 0.24
        ("1.5", "-0.36", "45", Verdict.FITS),  # 1.24
        ("1.5", "-0.39", "45", Verdict.ONE_AND_A_HALF),  # 1.26
        ("1.5", "-1.11", "45", Verdict.ONE_AND_A_HALF),  # 1.74
        ("1.5", "-1.14", "45", Verdict.TWICE),  # 1.76
    ],
)
def test_each_mistake_has_its_own_effect(first: str, second: str, applied: str, verdict: Verdict) -> None:
    found = judge(Fraction(first), Fraction(second), Fraction(applied), Fraction(30), VIDEO)
    assert found.verdict is verdict


def test_a_bad_verdict_asks_for_the_marks_to_be_confirmed() -> None:
    def confirm(second: str) -> bool:
        return judge(Fraction("1.5"), Fraction(second), Fraction(45), Fraction(30), VIDEO).confirm_marks

    assert confirm("-1.5")
    assert confirm("3")
    assert not confirm("0")
    # A split that grew, however little, may be a blade taken for the other one.
    assert confirm("1.51")
    assert not confirm("1.5")
    assert confirm("2.25")


def test_the_effect_counts_what_was_really_applied() -> None:
    # 45 thou was meant, 30 was read after locking: a third of the split stays, and the rule is right.
    found = judge(Fraction("1.5"), Fraction("0.5"), Fraction(30), Fraction(30), VIDEO)
    assert found.effect == 1
    with pytest.raises(ValueError, match="without an adjustment"):
        judge(Fraction(1), Fraction(1), Fraction(0), Fraction(30), VIDEO)


def test_a_reading_too_coarse_to_tell_is_read_again() -> None:
    by_eye = Fraction(1, 4)
    assert float(smallest_first_split(by_eye)) == pytest.approx(1.65)
    assert float(smallest_first_split(VIDEO)) == pytest.approx(0.4125)
    coarse = judge(Fraction("1.5"), Fraction(0), Fraction(45), Fraction(30), by_eye)
    assert coarse.verdict is Verdict.READ_AGAIN
    fine = judge(Fraction("1.75"), Fraction(0), Fraction("52.5"), Fraction(30), by_eye)
    assert fine.verdict is Verdict.FITS
    # At the smallest first split itself 1.65 u is just a quarter of the effect; by a hair less it is more.
    assert judge(Fraction("1.65"), Fraction(0), Fraction("49.5"), Fraction(30), by_eye).verdict is Verdict.FITS
    assert (
        judge(Fraction("1.65"), Fraction(0), Fraction("49.4"), Fraction(30), by_eye).verdict
        is Verdict.READ_AGAIN
    )
    # One thou of 30 to the inch is a 30th of the effect of an inch: u is 0.25 x 30 / 45.
    assert coarse.uncertainty == Fraction(1, 6)
    assert judge(Fraction("-1.5"), Fraction(0), Fraction(-45), Fraction(30), by_eye).uncertainty == Fraction(
        1, 6
    )


def test_a_reading_too_coarse_to_tell_still_asks_about_a_split_that_grew() -> None:
    def coarse(second: str) -> bool:
        found = judge(Fraction("0.5"), Fraction(second), Fraction(15), Fraction(30), Fraction(1, 4))
        assert found.verdict is Verdict.READ_AGAIN
        return found.confirm_marks

    assert coarse("0.6")
    assert not coarse("0.5")
    assert not coarse("0.4")


def test_two_speeds_differ_beyond_chance() -> None:
    assert speeds_differ(Fraction(1), Fraction("0.8"), VIDEO)
    assert not speeds_differ(Fraction(1), Fraction("0.85"), VIDEO)
    # Two readings of u each lie 1.96 x root 2 = 2.77 u apart by chance, one time in twenty: 2.8 x 1/16 = 0.175.
    assert not speeds_differ(Fraction(1), Fraction("0.825"), VIDEO)
    assert speeds_differ(Fraction(1), Fraction("0.824"), VIDEO)
    assert speeds_differ(Fraction("0.8"), Fraction(1), VIDEO)
    assert speeds_differ(Fraction("0.1"), Fraction("-0.1"), VIDEO)


def state(
    *splits: str, unchanged: bool = False, total: int = 0, own: str | None = None, finest: str = "3"
) -> State:
    return State(
        splits=[Fraction(split) for split in splits],
        unchanged=unchanged,
        limit=Fraction(1, 4),
        reading_uncertainty=VIDEO,
        total=Fraction(total),
        max_total=Fraction(60),
        rule=Fraction(30),
        finest=Fraction(finest),
        own_rate=None if own is None else Fraction(own),
    )


@pytest.mark.parametrize(
    ("where", "rule"),
    [
        (state("0.1", "0.1", unchanged=True), StopRule.GOOD),
        (state("1", "0.1"), StopRule.UNDECIDED),
        (state("0.2"), StopRule.UNDECIDED),
        (state("1"), StopRule.GO_ON),
        (state("1", total=40), StopRule.TOTAL),
        (state("0.6", finest="20"), StopRule.NOT_SERVICEABLE),
        (state("1", "0.9", "0.8", "0.6"), StopRule.NOT_HALVED),
        (state("1", own="95"), StopRule.NOT_THE_RULE),
        (state("1", own="9"), StopRule.NOT_THE_RULE),
        # The rotor's own rate may be a third of the rule's 30, or three times it, and no further.
        (state("1", own="10"), StopRule.GO_ON),
        (state("1", own="9.99"), StopRule.NOT_THE_RULE),
        (state("0.5", own="90"), StopRule.GO_ON),
        (state("0.5", own="90.01"), StopRule.NOT_THE_RULE),
        # 1.65 x 1/16 is 0.103125: 0.146875 is surely inside a quarter, 0.353125 surely outside.
        (state("0.146875", "0.146875", unchanged=True), StopRule.GOOD),
        (state("0.146876", "0.146875", unchanged=True), StopRule.UNDECIDED),
        (state("0.146875", "0.146876", unchanged=True), StopRule.UNDECIDED),
        (state("-0.1", "-0.1", unchanged=True), StopRule.GOOD),
        (state("0.1", "0.1"), StopRule.UNDECIDED),
        (state("0.1", unchanged=True), StopRule.UNDECIDED),
        (state("0.353125"), StopRule.GO_ON),
        (state("0.353124"), StopRule.UNDECIDED),
        (state("-0.353124"), StopRule.UNDECIDED),
        # Four runs must have halved the split: of the last four, the first and the last count.
        (state("2", "1.5", "1.2", "1"), StopRule.GO_ON),
        (state("2", "1.5", "1.2", "1.01"), StopRule.NOT_HALVED),
        (state("-2", "1.5", "1.2", "-1.01"), StopRule.NOT_HALVED),
        (state("1", "0.9", "0.8"), StopRule.GO_ON),
        (state("3", "1", "1.9", "1.8", "0.6"), StopRule.NOT_HALVED),
        (state("1", "3", "1.9", "1.8", "0.6"), StopRule.GO_ON),
        # A split inside the limit is good however long it took.
        (state("0.2", "0.14", "0.14", "0.14", unchanged=True), StopRule.GOOD),
        # 30 thou an inch: 0.6 in asks for 18; a rotor's own rate of 20 for 12.
        (state("0.6", finest="18"), StopRule.GO_ON),
        (state("0.6", finest="18.1"), StopRule.NOT_SERVICEABLE),
        (state("-0.6", finest="18.1"), StopRule.NOT_SERVICEABLE),
        (state("0.6", own="20", finest="13"), StopRule.NOT_SERVICEABLE),
        # The next step of 30 may fill the total of 60 and not pass it, on either side.
        (state("1", total=30), StopRule.GO_ON),
        (state("1", total=31), StopRule.TOTAL),
        (state("-1", total=-31), StopRule.TOTAL),
        (state("-1", total=31), StopRule.GO_ON),
        (state("1", total=35, own="20"), StopRule.GO_ON),
        (state("1", total=41, own="20"), StopRule.TOTAL),
    ],
)
def test_the_runs_end_for_a_reason(where: State, rule: StopRule) -> None:
    assert stop_rule(where) is rule


@pytest.mark.parametrize(
    ("split", "rule"),
    [("0.0624", StopRule.NOT_SERVICEABLE), ("-0.0624", StopRule.NOT_SERVICEABLE), ("0.0625", StopRule.GO_ON)],
)
def test_a_step_without_a_limit_is_at_least_what_a_reading_can_tell(split: str, rule: StopRule) -> None:
    # A reading is good to 1/16 in; the step for as much, 1.875 thou, is more than the finest of 1.
    where = replace(state(split, finest="1"), limit=Fraction(-1000))
    assert stop_rule(where) is rule
