"""Rounding to whole steps, and how decimals are counted and written."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cardgen.figures.rounding import decimal_text, decimals_of, on_grid


def test_halves_are_rounded_away_from_nothing_where_nothing_is_bounded() -> None:
    one = Fraction(1)
    rounded = [
        on_grid(Fraction(each), one, "nearest") for each in ("2.5", "2.4", "-2.5", "-2.4", "0", "0.5", "-0.5")
    ]
    assert rounded == [3, 2, -3, -2, 0, 1, -1]
    assert on_grid(Fraction("0.37"), Fraction("0.25"), "nearest") == Fraction("0.25")


def test_a_decimal_is_written_out_with_its_sign() -> None:
    assert decimal_text(Fraction("-0.5"), 1) == "-0.5"
    assert decimal_text(Fraction("-12.05"), 2) == "-12.05"
    assert decimal_text(Fraction(0), 1) == "0.0"
    assert decimal_text(Fraction(0), 0) == "0"
    assert decimal_text(Fraction(-60), 0) == "-60"
    with pytest.raises(ValueError, match="more than 1 decimals"):
        decimal_text(Fraction("0.25"), 1)


def test_decimals_are_counted_up_to_six() -> None:
    counted = [decimals_of(Fraction(each)) for each in ("60", "0.5", "1/8", "0.000001", "0.0000001", "1/3")]
    assert counted == [0, 1, 3, 6, None, None]
