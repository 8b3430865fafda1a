"""The closed list of units and its exact registry; published values are in tests/outside."""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest

from cardgen.spec.units import UNITS, magnitude, quantity, unit_of, ureg


def test_a_magnitude_is_a_fraction_from_the_start() -> None:
    assert isinstance(quantity(3, "in").magnitude, Fraction)
    assert isinstance(magnitude(quantity(3, "in"), "mm"), Fraction)


def test_one_inch_is_a_thousand_thou_exactly() -> None:
    assert quantity(1, "in") == quantity(1000, "thou")


@pytest.mark.parametrize("name", ["Nm", "mil", "inch", '"', "lbs", "in-lbf", "°", "ips", "MM", "", "rad"])
def test_only_printed_names_are_in_the_list(name: str) -> None:
    assert name not in UNITS


@pytest.mark.parametrize(
    ("value", "unit"),
    [("deg", "thou/in"), ("in·lbf", "lbf"), ("lb", "lbf"), ("rpm", "kt"), ("thou", "thou/in"), ("h", "m")],
)
def test_what_measures_something_else_is_never_converted(value: str, unit: str) -> None:
    with pytest.raises(pint.DimensionalityError):
        magnitude(quantity(1, value), unit)


def test_an_angle_is_no_bare_number() -> None:
    assert not quantity(1, "deg").is_compatible_with(ureg.dimensionless)


def test_a_degree_is_sixty_arcminutes_exactly() -> None:
    assert magnitude(quantity(1, "deg"), "arcmin") == 60


@pytest.mark.parametrize("unit", ["in/in", "mm/mm", "mm/m", "thou/in", "deg/in", "flats/in", "kgf·cm"])
def test_a_quantity_keeps_the_unit_it_was_given_in(unit: str) -> None:
    assert unit_of(quantity(3, unit)).shown == unit


def test_a_unit_from_outside_the_list_is_not_found() -> None:
    with pytest.raises(LookupError):
        unit_of(quantity(1, "in") * quantity(1, "kg"))


def test_the_list_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        UNITS["cubit"] = UNITS["ft"]  # type: ignore[index]
