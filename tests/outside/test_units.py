"""Units against two outside sources: constants that SciPy carries, and Pint's own registry.

The factors are those of NIST Special Publication 811 (2008), appendix B.8: the inch is 0.0254 m,
the pound 0.453 592 37 kg, the pound-force that mass under 9.806 65 m/s2, all exact.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pint
import pytest
from scipy import constants

from cardgen.spec.units import UNITS, magnitude, quantity, unit_of, ureg

_LBF = Fraction("0.45359237") * Fraction("9.80665")
# Exact metric value of one of each unit: NIST SP 811, appendix B.8 (°C is no factor; see below).
_EXACT = {
    "in": ("m", Fraction("0.0254")),
    "ft": ("m", Fraction("0.3048")),
    "thou": ("mm", Fraction("0.0254")),
    "in·lbf": ("N·m", _LBF * Fraction("0.0254")),
    "ft·lbf": ("N·m", _LBF * Fraction("0.3048")),
    "lbf": ("N", _LBF),
    # NIST SP 811, B.8: kilogram-force meter to newton meter, 9.806 65 exactly.
    "kgf·m": ("N·m", Fraction("9.80665")),
    "kgf·cm": ("N·m", Fraction("0.0980665")),
    "oz": ("g", Fraction("28.349523125")),
    "lb": ("kg", Fraction("0.45359237")),
    "thou/in": ("mm/mm", Fraction(1, 1000)),
    "in/in": ("mm/mm", Fraction(1)),
    "mm/m": ("mm/mm", Fraction(1, 1000)),
    # A nut has six flats, so one is a sixth of a turn.
    "flats/in": ("deg/in", Fraction(60)),
}
# What SciPy gives, as floats, for one of each unit in SI base units.
_SCIPY = {
    "in": constants.inch,
    "ft": constants.foot,
    "thou": constants.mil,
    "mm": constants.milli,
    "lbf": constants.lbf,
    "in·lbf": constants.lbf * constants.inch,
    "ft·lbf": constants.lbf * constants.foot,
    "oz": constants.oz,
    "lb": constants.lb,
    "g": constants.gram,
    "deg": constants.degree,
    "arcmin": constants.arcmin,
    "h": constants.hour,
    "kt": constants.knot,
    "rpm": 2 * constants.pi / constants.minute,
}
# The names under which Pint's own registry knows them.
_PINT = {
    "in": "inch",
    "ft": "foot",
    "thou": "thou",
    "mm": "millimeter",
    "m": "meter",
    "in·lbf": "inch * force_pound",
    "ft·lbf": "foot_pound",
    "N·m": "newton * meter",
    "lbf": "force_pound",
    "kgf·cm": "force_kilogram * centimeter",
    "kgf·m": "force_kilogram * meter",
    "N": "newton",
    "oz": "ounce",
    "lb": "pound",
    "g": "gram",
    "kg": "kilogram",
    "rpm": "revolutions_per_minute",
    "deg": "degree",
    "arcmin": "arcminute",
    "h": "hour",
    "kt": "knot",
    "thou/in": "thou / inch",
    "in/in": "inch / inch",
    "mm/mm": "millimeter / millimeter",
    "mm/m": "millimeter / meter",
    "deg/in": "degree / inch",
}


@pytest.mark.parametrize("name", _EXACT)
def test_inch_units_have_their_exact_metric_value(name: str) -> None:
    metric, value = _EXACT[name]
    assert magnitude(quantity(1, name), metric) == value


@pytest.mark.parametrize("name", _SCIPY)
def test_units_agree_with_scipy(name: str) -> None:
    in_base = quantity(1, name).to_base_units()
    assert float(in_base.magnitude) == pytest.approx(_SCIPY[name], rel=1e-14)


def test_units_agree_with_pint_own_registry() -> None:
    theirs: pint.UnitRegistry[float] = pint.UnitRegistry(cache_folder=None)
    listed = {unit.shown for unit in UNITS.values()}
    assert listed - set(_PINT) == {"°C", "flats/in"}
    for name, known in _PINT.items():
        one = theirs.Quantity(1.0, known).to_base_units().magnitude
        assert float(quantity(1, name).to_base_units().magnitude) == pytest.approx(one, rel=1e-9), name


def test_celsius_is_an_offset_from_kelvin() -> None:
    # Zero Celsius is 273.15 K exactly: NIST SP 811, section 4.2.1.1; SciPy carries it too.
    kelvin = quantity(20, "°C").to(ureg.kelvin).magnitude
    assert kelvin == Fraction("293.15")
    assert float(kelvin) == pytest.approx(20 + constants.zero_Celsius)


def test_conversion_there_and_back_loses_nothing() -> None:
    # In floats, 160 in·lbf comes back from newton metres as 160.00000000000003 and rounds up to 161.
    for torque in range(1, 400):
        metric = quantity(magnitude(quantity(torque, "in·lbf"), "N·m"), "N·m")
        assert magnitude(metric, "in·lbf") == torque


def test_a_figure_in_newton_metres_is_the_handbook_one() -> None:
    # NIST SP 811, B.8: pound-force inch to newton metre, 1.129 848 E-01.
    assert round(Decimal(float(magnitude(quantity(1, "in·lbf"), "N·m"))), 7) == Decimal("0.1129848")


def test_every_listed_unit_is_found_again_from_its_quantity() -> None:
    for unit in UNITS.values():
        assert unit_of(quantity(1, unit.shown)) == unit
