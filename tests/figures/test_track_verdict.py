"""What a second reading is taken to mean, and when the runs end."""

from __future__ import annotations

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


def test_two_speeds_differ_beyond_chance() -> None:
    assert speeds_differ(Fraction(1), Fraction("0.8"), VIDEO)
    assert not speeds_differ(Fraction(1), Fraction("0.85"), VIDEO)


def state(
    *splits: str, unchanged: bool = False, total: int = 0, own: int | None = None, finest: int = 3
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
        (state("0.6", finest=20), StopRule.NOT_SERVICEABLE),
        (state("1", "0.9", "0.8", "0.6"), StopRule.NOT_HALVED),
        (state("1", own=95), StopRule.NOT_THE_RULE),
        (state("1", own=9), StopRule.NOT_THE_RULE),
    ],
)
def test_the_runs_end_for_a_reason(where: State, rule: StopRule) -> None:
    assert stop_rule(where) is rule
