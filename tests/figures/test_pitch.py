"""The window of the blade angle: its ends never leave it, in degrees or in minutes."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cardgen.figures import compute
from cardgen.spec.units import magnitude
from tests.figures.specs import spec_of, track_change


def shown(name: str, angle: str, tolerance: str) -> str:
    changes = (
        ('angle = "5.5 deg"', f'angle = "{angle}"'),
        ('tolerance = "0.1 deg"', f'tolerance = "{tolerance}"'),
    )
    return compute(spec_of(*changes)).all[f"pitch.{name}"].parts.number


@pytest.mark.parametrize(
    ("name", "number"),
    # 5.5 less and plus 0.104 degrees: 5.396 and 5.604; a degree has 60 minutes: 323.76 and 336.24.
    [("low", "5.40"), ("high", "5.60"), ("low_minutes", "5 deg 24"), ("high_minutes", "5 deg 36")],
)
def test_both_ends_are_rounded_into_the_window(name: str, number: str) -> None:
    assert shown(name, "5.5 deg", "0.104 deg") == number


@pytest.mark.parametrize(
    ("name", "number"),
    # The other side of each mark: 5.394 and 5.606 degrees, 323.64 and 336.36 minutes.
    [("low", "5.40"), ("high", "5.60"), ("low_minutes", "5 deg 24"), ("high_minutes", "5 deg 36")],
)
def test_both_ends_are_rounded_into_the_window_from_beyond_the_half(name: str, number: str) -> None:
    assert shown(name, "5.5 deg", "0.106 deg") == number


@pytest.mark.parametrize(
    ("tolerance", "low", "high"), [("0.104 deg", "-0.60", "-0.40"), ("0.106 deg", "-0.60", "-0.40")]
)
def test_a_window_below_nothing_is_rounded_into_itself_too(tolerance: str, low: str, high: str) -> None:
    # -0.5 less and plus: -0.604 and -0.396, -0.606 and -0.394; the low end goes up, the high end down.
    assert (shown("low", "-0.5 deg", tolerance), shown("high", "-0.5 deg", tolerance)) == (low, high)


def test_the_printed_ends_lie_inside_for_every_tolerance() -> None:
    for hundredths in range(100, 120):
        figures = compute(spec_of(('tolerance = "0.1 deg"', f'tolerance = "0.{hundredths} deg"'))).all
        low, high = figures["pitch.low"], figures["pitch.high"]
        assert Fraction(low.parts.number) >= Fraction("5.5") - Fraction(hundredths, 1000)
        assert Fraction(high.parts.number) <= Fraction("5.5") + Fraction(hundredths, 1000)
        assert magnitude(high.quantity - low.quantity, "deg") == Fraction(hundredths, 500)


def test_the_largest_difference_is_never_printed_larger() -> None:
    # 0.11 degrees are 6.6 minutes.
    figures = compute(spec_of(('max_difference = "0.1 deg"', 'max_difference = "0.11 deg"'))).all
    assert figures["pitch.difference_minutes"].parts.number == "6"


def test_no_angle_has_no_sign() -> None:
    assert shown("low_minutes", "0.1 deg", "0.1 deg") == "0"
    assert shown("low_minutes", "0.1 deg", "0.2 deg") == "-6"


def test_a_whole_degree_keeps_its_minutes_of_nothing() -> None:
    assert shown("low_minutes", "1.1 deg", "0.1 deg") == "1 deg 0"


def test_without_a_lever_no_rise_is_known() -> None:
    pitch = compute(spec_of(*track_change(lever=""))).pitch
    assert pitch is not None
    assert pitch.rise_per_tenth is None
