"""Lead for the spanwise balance: what a mass weighs in ounces and how long a slug of it is.

    length of slug  mass over (density of lead x area of the cavity)
    shake           mass x radius of the cavity x speed of rotation squared
    friction        the rotor's mass times the arm of rolling resistance, over the cavity's radius

Lead is rounded down, never up.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from cardgen.figures.figure import Figure, Origin, Parts, computed
from cardgen.figures.loads import pull
from cardgen.spec.bound import Bound
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.bench import Balance
from cardgen.spec.trig import PI
from cardgen.spec.units import Quantity, magnitude, quantity, unit_of

#: Density of chemical lead (ASTM B29 grades; materials handbooks give 11.34 to 11.35 g/cm3).
LEAD = quantity(11340, "kg/m³")

_STEPS = (1, 2, 5, 10, 20, 50, 100)
_MOST_ROWS = 8
_THOU_ARM = quantity(2, "thou")


@dataclass(frozen=True)
class LeadRow:
    """One mass of lead for one tip, and the length of a slug of it for this cavity."""

    mass: Figure
    ounces: Figure
    length: Figure


@dataclass(frozen=True)
class BalanceFigures:
    """The lead table and what a gram does; the friction of the bench where the rotor's mass is stated."""

    rows: tuple[LeadRow, ...]
    stopped_by: Literal["max_lead", "cavity_depth"]
    lead_density: Figure
    shake_per_gram: Figure
    friction: Figure | None
    height_unit: str


def balance_figures(spec: RotorSpec) -> BalanceFigures | None:
    """Compute the lead table, or give nothing where the tips stay closed."""
    balance = spec.balance
    if balance is None:
        return None
    masses = _masses(magnitude(balance.max_lead, "g"))
    fitting = [mass for mass in masses if slug_length(quantity(mass, "g"), balance) <= balance.cavity_depth]
    return BalanceFigures(
        rows=tuple(_row(at, mass, balance) for at, mass in enumerate(fitting, 1)),
        stopped_by="max_lead" if len(fitting) == len(masses) else "cavity_depth",
        lead_density=Figure(
            "balance.lead_density",
            LEAD,
            Parts("11340", "kg/m³"),
            Origin.GENERAL,
            "materials handbooks, chemical lead",
        ),
        shake_per_gram=computed(
            "balance.shake_per_gram",
            shake_per_gram(balance.tip_radius, spec.rotor.normal_speed),
            "N/g",
            decimals=1,
            bound=Bound.AT_LEAST,
            formula="radius of the cavity times speed of rotation squared, for each gram",
            inputs=("balance.tip_radius", "rotor.normal_speed"),
        ),
        friction=_friction(spec, balance),
        height_unit=_height_unit(balance),
    )


def _height_unit(balance: Balance) -> str:
    """Choose the unit that tip heights are written in: the limit's, or one that goes with the cavity's."""
    if balance.height_limit is not None:
        return unit_of(balance.height_limit).shown
    return "in" if unit_of(balance.cavity_diameter).system == "inch" else "mm"


def slug_length(mass: Quantity, balance: Balance) -> Quantity:
    """Give the length of a lead slug of a mass that fills this cavity's bore, less the hole for its screw."""
    hole = Fraction(0) if balance.screw_hole is None else magnitude(balance.screw_hole, "m")
    area = PI * (magnitude(balance.cavity_diameter, "m") ** 2 - hole**2) / 4
    return quantity(magnitude(mass, "kg") / magnitude(LEAD, "kg/m³") / area, "m")


def shake_per_gram(radius: Quantity, speed: Quantity) -> Quantity:
    """Give the force, once per revolution, of one gram too much at a radius."""
    return quantity(magnitude(pull(quantity(1, "g"), radius, speed), "N"), "N/g")


def _masses(most: Fraction) -> list[Fraction]:
    step = next((step for step in _STEPS if most / step <= _MOST_ROWS), _STEPS[-1])
    masses = [Fraction(count * step) for count in range(1, int(most // step) + 1)]
    return masses if masses and masses[-1] == most else [*masses, most]


def _row(at: int, mass: Fraction, balance: Balance) -> LeadRow:
    name = f"balance.lead.{at}"
    lead = quantity(mass, "g")
    unit = unit_of(balance.cavity_diameter).shown
    unit = unit if unit in {"in", "mm"} else "mm"
    hole = () if balance.screw_hole is None else ("balance.screw_hole",)
    return LeadRow(
        mass=computed(
            f"{name}.mass",
            lead,
            "g",
            decimals=0 if mass.denominator == 1 else 1,
            bound=Bound.AT_MOST,
            formula="even steps up to the most lead allowed in one tip",
            inputs=("balance.max_lead",),
        ),
        ounces=computed(
            f"{name}.ounces",
            quantity(magnitude(lead, "oz"), "oz"),
            "oz",
            decimals=2,
            bound=Bound.AT_MOST,
            formula="the same mass in ounces",
            inputs=(f"{name}.mass",),
        ),
        length=computed(
            f"{name}.length",
            quantity(magnitude(slug_length(lead, balance), unit), unit),
            unit,
            decimals=2 if unit == "in" else 1,
            bound=Bound.AT_MOST,
            formula="mass over density of lead times the area of the bore less the screw's hole, rounded down"
            if balance.screw_hole is not None
            else "mass over density of lead times the area of the cavity's bore, rounded down",
            inputs=(f"{name}.mass", "balance.lead_density", "balance.cavity_diameter", *hole),
        ),
    )


def _friction(spec: RotorSpec, balance: Balance) -> Figure | None:
    if spec.rotor.mass is None:
        return None
    mass = magnitude(spec.rotor.mass, "g") * magnitude(_THOU_ARM, "in") / magnitude(balance.tip_radius, "in")
    return computed(
        "balance.friction",
        quantity(mass, "g"),
        "g",
        decimals=1,
        bound=Bound.AT_LEAST,
        formula="mass of the rotor times an arm of rolling resistance of two thou, over the cavity's radius",
        inputs=("rotor.mass", "balance.tip_radius"),
    )
