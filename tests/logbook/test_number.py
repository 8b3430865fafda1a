from __future__ import annotations

from fractions import Fraction

import pytest

from cardgen.logbook.number import read_number


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ("12", Fraction(12)),
        ("-0.5", Fraction(-1, 2)),
        ("12.25", Fraction(49, 4)),
        ("1/16", Fraction(1, 16)),
        ("1+1/4", Fraction(5, 4)),
        ("1-1/4", Fraction(5, 4)),
        ("1 1/4", Fraction(5, 4)),
    ],
)
def test_what_a_hand_types_is_read_exactly(typed: str, value: Fraction) -> None:
    assert read_number(typed) == value


@pytest.mark.parametrize(
    "typed",
    ["", " 1", "1,5", "1e3", "nan", "inf", "1/0", ".5", "5.", "+1", "1_0", "0x1", "١", "1234567", "½"],
)
def test_anything_else_is_no_number(typed: str) -> None:
    assert read_number(typed) is None
