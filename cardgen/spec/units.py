"""The closed list of units a specification may use, and the exact registry behind it.

Unit libraries read text far too generously for a bench card, so no text ever reaches Pint:
the grammar finds a unit's name in `UNITS`, and Pint only computes with it. Magnitudes are
fractions, because in floating point 160 in·lbf to newton metres and back is a hair above 160
and would be rounded up to 161.

Exact factors: inch, pound, standard gravity (NIST SP 811, appendix B).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal, TypeAlias, cast

import pint

if TYPE_CHECKING:
    Quantity: TypeAlias = pint.Quantity[Fraction]
else:
    Quantity = pint.Quantity
System: TypeAlias = Literal["inch", "metric", ""]
#: What a specification measures; `cardgen.spec.model.base` has a kind of text for each.
Measure: TypeAlias = Literal[
    "diameter",
    "length",
    "small length",
    "distance",
    "torque",
    "angle",
    "mass",
    "rotor speed",
    "wind",
    "track rule",
    "time",
    "temperature",
    "force",
]

_DEFINITIONS = """
metre = [length]
kilogram = [mass]
second = [time]
radian = [angle]
kelvin = [temperature]; offset: 0
degree_celsius = kelvin; offset: 27315/100
inch = 254/10000 * metre
foot = 12 * inch
thou = inch / 1000
millimetre = metre / 1000
gram = kilogram / 1000
pound = 45359237/100000000 * kilogram
ounce = pound / 16
newton = kilogram * metre / second ** 2
pound_force = pound * 980665/100000 * metre / second ** 2
newton_metre = newton * metre
kilogram_force_metre = kilogram * 980665/100000 * metre ** 2 / second ** 2
kilogram_force_centimetre = kilogram_force_metre / 100
inch_pound_force = pound_force * inch
foot_pound_force = pound_force * foot
degree = 314159265358979323846/18000000000000000000000 * radian
arcminute = degree / 60
turn = 360 * degree
flat = turn / 6
minute = 60 * second
hour = 3600 * second
revolution_per_minute = turn / minute
knot = 1852/3600 * metre / second
percent = 1/100
inch_per_inch = 1
count = [count]
"""


def _registry() -> pint.UnitRegistry[Fraction]:
    registry: pint.UnitRegistry[Fraction] = pint.UnitRegistry(None, non_int_type=Fraction, cache_folder=None)
    registry.load_definitions([line for line in _DEFINITIONS.splitlines() if line])
    return registry


#: The only registry of the program. An angle is a dimension of its own here, so that degrees
#: can never be mistaken for thousandths per inch.
ureg = _registry()


@dataclass(frozen=True)
class Unit:
    """A unit as it is printed, the unit Pint computes with, and its system of measure.

    ``second`` is the other system's unit that the handout prints beside it, with so many decimals.
    ``measures`` is what a specification may write in it.
    """

    shown: str
    pint: str
    system: System
    second: tuple[str, int] | None = None
    measures: tuple[Measure, ...] = ()


_ALL = (
    Unit("thou", "thou", "inch", ("mm", 3), ("small length",)),
    Unit("in", "inch", "inch", ("mm", 1), ("diameter", "length", "small length")),
    Unit("ft", "foot", "inch", ("m", 2), ("diameter", "length", "distance")),
    Unit("mm", "millimetre", "metric", ("in", 3), ("diameter", "length", "small length")),
    Unit("m", "metre", "metric", ("ft", 1), ("diameter", "length", "distance")),
    Unit("in·lbf", "inch_pound_force", "inch", ("N·m", 1), ("torque",)),
    Unit("ft·lbf", "foot_pound_force", "inch", ("N·m", 1), ("torque",)),
    Unit("N·m", "newton_metre", "metric", ("in·lbf", 0), ("torque",)),
    Unit("kgf·cm", "kilogram_force_centimetre", "metric", ("N·m", 1), ("torque",)),
    Unit("kgf·m", "kilogram_force_metre", "metric", ("N·m", 1), ("torque",)),
    Unit("lbf", "pound_force", "inch", ("N", 0), ("force",)),
    Unit("N", "newton", "metric", ("lbf", 1), ("force",)),
    Unit("lb", "pound", "inch", ("kg", 2), ("mass",)),
    Unit("oz", "ounce", "inch", ("g", 1), ("mass",)),
    Unit("kg", "kilogram", "metric", ("lb", 1), ("mass",)),
    Unit("g", "gram", "metric", ("oz", 2), ("mass",)),
    Unit("rpm", "revolution_per_minute", "", None, ("rotor speed",)),
    Unit("deg", "degree", "", None, ("angle",)),
    Unit("arcmin", "arcminute", "", None, ("angle",)),
    Unit("°C", "degree_celsius", "", None, ("temperature",)),
    Unit("h", "hour", "", None, ("time",)),
    Unit("kt", "knot", "", None, ("wind",)),
    Unit("thou/in", "thou / inch", "inch", None, ("track rule",)),
    Unit("in/in", "inch_per_inch", "inch", None, ("track rule",)),
    Unit("mm/mm", "millimetre / millimetre", "metric", None, ("track rule",)),
    Unit("mm/m", "millimetre / metre", "metric", None, ("track rule",)),
    Unit("deg/in", "degree / inch", "inch", None, ("track rule",)),
    Unit("flats/in", "flat / inch", "inch", None, ("track rule",)),
)

#: Every unit a specification may use, by its one printed name; `spellings` has the other ways to write it.
UNITS: Mapping[str, Unit] = MappingProxyType({unit.shown: unit for unit in _ALL})

#: Units that only computed figures have; no specification can be written in them.
_COMPUTED = (
    Unit("flats", "flat", ""),
    Unit("turns", "turn", ""),
    Unit("rad/s", "radian / second", ""),
    Unit("m/s", "metre / second", "metric", ("ft/s", 0)),
    Unit("ft/s", "foot / second", "inch"),
    Unit("kg/m²", "kilogram / metre ** 2", "metric", ("lb/ft²", 2)),
    Unit("lb/ft²", "pound / foot ** 2", "inch"),
    Unit("kg/m³", "kilogram / metre ** 3", "metric"),
    Unit("J", "newton * metre", "metric"),
    Unit("N/g", "newton / gram", "metric", ("lbf/oz", 1)),
    Unit("lbf/oz", "pound_force / ounce", "inch"),
    Unit("lbf/g", "pound_force / gram", ""),
    Unit("N/mm", "newton / millimetre", "metric", ("lbf/in", 0)),
    Unit("lbf/in", "pound_force / inch", "inch"),
    Unit("g·in", "gram * inch", "", ("oz·in", 2)),
    Unit("g·mm", "gram * millimetre", "metric"),
    Unit("oz·in", "ounce * inch", "inch"),
    Unit("deg/thou", "degree / thou", "inch", ("deg/mm", 0)),
    Unit("deg/mm", "degree / millimetre", "metric"),
    Unit("g/in", "gram / inch", ""),
    Unit("g/mm", "gram / millimetre", "metric"),
    Unit("percent", "percent", ""),
    Unit("", "count", ""),
)
_COMPUTED_UNITS: Mapping[str, Unit] = MappingProxyType({unit.shown: unit for unit in _COMPUTED})

_PINT_UNITS = {unit.shown: ureg.Unit(unit.pint) for unit in (*_ALL, *_COMPUTED) if unit.shown != "mm/mm"}
# Pint would reduce mm/mm to a bare number; a rate keeps its two lengths apart.
_PINT_UNITS["mm/mm"] = ureg.Unit("millimetre") / ureg.Unit("millimetre")
_NAMES: Mapping[object, str] = MappingProxyType({held: name for name, held in _PINT_UNITS.items()})

# Units whose zero is elsewhere cannot be converted by a factor.
_OFFSET = frozenset({"°C"})


def quantity(magnitude: Fraction | int, unit: str) -> Quantity:
    """Build an exact quantity from a magnitude and a listed unit, such as ``"in·lbf"``."""
    return cast(Quantity, ureg.Quantity(Fraction(magnitude), _PINT_UNITS[unit_named(unit).shown]))


def magnitude(value: Quantity, unit: str) -> Fraction:
    """Give the exact magnitude of a quantity in a listed unit.

    Raises `pint.DimensionalityError` where the quantity measures something else.
    """
    if unit in _OFFSET:
        return Fraction(value.to(_PINT_UNITS[unit_named(unit).shown]).magnitude)
    return Fraction(value.magnitude) * _factor(value.units, unit)


def units_for(measure: Measure) -> tuple[str, ...]:
    """Name the units that a measurement may be written in."""
    return tuple(unit.shown for unit in _ALL if measure in unit.measures)


def unit_named(name: str) -> Unit:
    """Find a listed unit by a spelling of it. Raises `KeyError` for a name that is in neither list."""
    return UNITS[name] if name in UNITS else _COMPUTED_UNITS[name]


def unit_of(value: Quantity) -> Unit:
    """Find the listed unit that a quantity is held in.

    Raises `LookupError` for a unit that is in neither list.
    """
    name = _NAMES.get(value.units)
    if name is None:
        raise LookupError(f"no listed unit is {value.units}")
    return unit_named(name)


@cache
def _factor(held: pint.Unit, wanted: str) -> Fraction:
    one = cast(Quantity, ureg.Quantity(Fraction(1), held))
    return Fraction(one.to(_PINT_UNITS[unit_named(wanted).shown]).magnitude)
