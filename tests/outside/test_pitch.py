"""Angles against the standard library and the definition of the arc minute."""

from __future__ import annotations

from fractions import Fraction
from math import cos, radians, sin, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.figures.pitch import difference, in_minutes
from cardgen.spec.bound import Bound
from cardgen.spec.trig import cosine, sine, tangent
from cardgen.spec.units import quantity


@given(st.fractions(-89, 89, max_denominator=60))
def test_sine_cosine_and_tangent_are_the_standard_librarys(degrees: Fraction) -> None:
    angle, float_angle = quantity(degrees, "deg"), radians(float(degrees))
    assert float(sine(angle)) == pytest.approx(sin(float_angle), rel=1e-13, abs=1e-15)
    assert float(cosine(angle)) == pytest.approx(cos(float_angle), rel=1e-13)
    assert float(tangent(angle)) == pytest.approx(tan(float_angle), rel=1e-13, abs=1e-15)


def test_the_angles_with_exact_values_are_exact() -> None:
    """Niven's theorem: among whole parts of a turn only these have rational cosines."""
    exact = {0: Fraction(1), 60: Fraction(1, 2), 90: Fraction(0), 120: Fraction(-1, 2), 180: Fraction(-1)}
    for degrees, value in exact.items():
        assert cosine(quantity(degrees, "deg")) == value
    assert sine(quantity(30, "deg")) == Fraction(1, 2)


def test_half_a_degree_is_thirty_minutes() -> None:
    """ISO 80000-3: a degree has 60 minutes. 5.30 degrees is 5 degrees 18 minutes, not 30."""
    assert in_minutes("x", quantity(Fraction("5.5"), "deg"), Bound.NEITHER, ()).parts.number == "5 deg 30"
    assert in_minutes("x", quantity(Fraction("5.3"), "deg"), Bound.NEITHER, ()).parts.number == "5 deg 18"


def test_the_uncertainty_of_a_difference_adds_in_squares() -> None:
    """JCGM 100, 5.1.2: two like uncertainties give the root of two of one."""
    value, uncertainty = difference((Fraction("5.5"), Fraction("5.7")), (Fraction("5.5"),), 0.1)
    assert value == Fraction("0.1")
    assert uncertainty == pytest.approx(0.141421, abs=1e-6)
