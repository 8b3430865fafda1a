"""What a second reading is taken to mean, and when the runs end."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cardgen.figures.track_verdict import (
    Verdict,
    judge,
    smallest_first_split,
)

VIDEO = Fraction(1, 16)


# A rotor that needs 30 thou an inch, its split worked by hand for each mistake.
MISTAKES = [
    ("1.5", "0", "45", Verdict.FITS),
    ("1.5", "0.75", "45", Verdict.HALF),
    ("1.5", "-0.75", "45", Verdict.ONE_AND_A_HALF),
    ("1.5", "-1.5", "45", Verdict.TWICE),
    ("1.5", "1.5", "45", Verdict.NOTHING),
    ("1.5", "3", "45", Verdict.WRONG),
    ("1.5", "2.25", "45", Verdict.WRONG),
    ("1.5", "-3", "45", Verdict.STOP),
    ("-1.5", "0", "-45", Verdict.FITS),
    # A quarter of the effect either way is still the same mistake; beyond it nothing known does this.
    ("1.5", "-1.875", "45", Verdict.TWICE),  # 2 1/4
    ("1.5", "-1.89", "45", Verdict.STOP),
    ("1.5", "1.66", "45", Verdict.NOTHING),  # -0.11, which 2.8 readings of 1/16 explain
    ("1.5", "1.69", "45", Verdict.WRONG),
    ("1.5", "2.625", "45", Verdict.WRONG),  # -3/4
    ("1.5", "3.375", "45", Verdict.WRONG),  # -1 1/4
    ("1.5", "3.39", "45", Verdict.WRONG),
    # Nearer to one than to its neighbour, by a little.
    ("1.5", "0.36", "45", Verdict.FITS),  # 0.76
    ("1.5", "0.39", "45", Verdict.HALF),  # 0.74
    ("1.5", "1.11", "45", Verdict.HALF),  # 0.26
    ("1.5", "1.14", "45", Verdict.NOTHING),  # 0.24
    ("1.5", "-0.36", "45", Verdict.FITS),  # 1.24
    ("1.5", "-0.39", "45", Verdict.ONE_AND_A_HALF),  # 1.26
    ("1.5", "-1.11", "45", Verdict.ONE_AND_A_HALF),  # 1.74
    ("1.5", "-1.14", "45", Verdict.TWICE),  # 1.76
]


@pytest.mark.parametrize(("first", "second", "applied", "verdict"), MISTAKES)
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


def test_a_reading_too_coarse_to_tell_asks_again_where_it_is_surely_too_much() -> None:
    """1 in and 30 thou by eye: u is 1/4 of the effect, so 1.65 u is 0.4125 (one-sided 95 percent, normal)."""

    def again(second: str) -> bool:
        found = judge(Fraction(1), Fraction(second), Fraction(30), Fraction(30), Fraction(1, 4))
        assert found.verdict is Verdict.READ_AGAIN
        return found.confirm_marks

    assert again("-0.9126")
    assert not again("-0.9125")


def test_far_more_than_a_rotor_answers_is_a_slip_before_it_is_anything_else() -> None:
    # 30 thou an inch. 2.5 thou for 25 answers ten times: 0.75 in for 2.5 thou is an effect of nine.
    assert (
        judge(Fraction("1.25"), Fraction("0.5"), Fraction("2.5"), Fraction(30), VIDEO).verdict is Verdict.SLIP
    )
    # An effect of 3 is a rotor at a third of its rule; just above it a number is doubted.
    assert judge(Fraction(2), Fraction(-1), Fraction(30), Fraction(30), VIDEO).verdict is Verdict.STOP
    assert judge(Fraction(2), Fraction("-1.01"), Fraction(30), Fraction(30), VIDEO).verdict is Verdict.SLIP


def test_the_wrong_blade_is_named_at_any_rate() -> None:
    # The other blade lowered by 30 thou: at its rule a rotor answers -1, at 0.6 of it -1.67, at twice it -0.5.
    for second in ("2", "2.67", "1.5"):
        found = judge(Fraction(1), Fraction(second), Fraction(30), Fraction(30), VIDEO)
        assert found.verdict is Verdict.WRONG
        assert found.confirm_marks
    # 2.8 x 1/16 = 0.175: a split that grew by less may only be read so.
    assert judge(Fraction(1), Fraction("1.17"), Fraction(30), Fraction(30), VIDEO).verdict is Verdict.NOTHING
