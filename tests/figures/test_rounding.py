"""One function rounds every number, and the bound alone says to which side.

Python's own `decimal` is the other opinion: it rounds to the ceiling, to the floor, or half away
from zero.
"""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.figures.figure import Figure, computed
from cardgen.figures.rounding import on_grid, printed
from cardgen.spec.bound import Bound
from cardgen.spec.units import quantity

SIDES = {Bound.AT_LEAST: ROUND_CEILING, Bound.AT_MOST: ROUND_FLOOR, Bound.NEITHER: ROUND_HALF_UP}


@given(
    value=st.decimals("-1000", "1000", places=4), places=st.integers(0, 3), bound=st.sampled_from(list(Bound))
)
def test_numbers_are_rounded_as_decimal_rounds_them(value: Decimal, places: int, bound: Bound) -> None:
    step = Decimal(1).scaleb(-places)
    rounded = value.quantize(step, rounding=SIDES[bound])
    assert on_grid(Fraction(value), Fraction(step), bound) == Fraction(rounded)
    assert Fraction(printed(Fraction(value), places, bound)) == Fraction(rounded)


@pytest.mark.parametrize(("bound", "mark"), [(Bound.AT_LEAST, 15), (Bound.AT_MOST, 10), (Bound.NEITHER, 10)])
def test_a_number_on_a_scale_stands_on_a_mark_on_the_side_of_its_bound(bound: Bound, mark: int) -> None:
    # 12 lies between the marks 10 and 15 of a scale in fives, nearer to 10.
    assert on_grid(Fraction(12), Fraction(5), bound) == mark


@pytest.mark.parametrize(
    ("bound", "number", "second"),
    [
        (Bound.AT_LEAST, "161", "18.2 N·m"),
        (Bound.AT_MOST, "160", "18.1 N·m"),
        (Bound.NEITHER, "160", "18.1 N·m"),
    ],
)
def test_a_figure_and_its_second_unit_are_rounded_by_its_bound(bound: Bound, number: str, second: str) -> None:
    # 160.3 in·lbf are 18.1115 N·m (NIST SP 811: 0.1129848 N·m to the inch pound).
    made = _torque(bound)
    assert (made.parts.number, made.parts.second, made.bound) == (number, second, bound)


def _torque(bound: Bound) -> Figure:
    return computed(
        "t", quantity(Fraction("160.3"), "in·lbf"), "in·lbf", decimals=0, bound=bound, formula="", inputs=()
    )
