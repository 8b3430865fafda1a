"""The line from tip to tip against a worked problem of statics and the exact catenary."""

from __future__ import annotations

from fractions import Fraction
from math import acosh, cosh, sinh

import pytest
from scipy.optimize import brentq

from cardgen.figures.string_line import flat_cable


def test_a_surveyors_tape_sags_as_in_the_textbook() -> None:
    """Beer and Johnston, Statics, problem 7.130: 50 m, 1.6 kg, 60 N at each end.

    Span 49.856 m and sag 1.642 m follow from the catenary, solved below without our code. A flat
    cable takes the pull for the same everywhere, which is good to a percent here.
    """
    load = 1.6 * 9.81 / 50
    lowest = brentq(lambda c: load * c * cosh(_half_span(c) / c) - 60, 100, 60 / load)
    half = _half_span(lowest)
    sag = lowest * (cosh(half / lowest) - 1)
    assert 2 * half == pytest.approx(49.856, abs=0.001)
    assert sag == pytest.approx(1.642, abs=0.001)
    flat = flat_cable(Fraction(load), Fraction(2 * half), Fraction(60))
    assert float(flat) == pytest.approx(sag, rel=0.015)


def _half_span(lowest: float) -> float:
    # Half the tape, 25 m, is c sinh(x/c).
    return lowest * acosh((1 + (25 / lowest) ** 2) ** 0.5)


@pytest.mark.parametrize("pull", [10, 20, 50])
def test_a_tight_line_is_a_flat_cable(pull: int) -> None:
    """The exact catenary of a builder's line, half a gram a metre, over a 7 m rotor."""
    load = 0.0005 * 9.80665
    c = pull / load
    exact = c * (cosh(3.5 / c) - 1)
    assert float(flat_cable(Fraction(load), Fraction(7), Fraction(pull))) == pytest.approx(exact, rel=1e-5)
    assert sinh(3.5 / c) * c == pytest.approx(3.5, rel=1e-5)
