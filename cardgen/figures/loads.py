"""What the turning does to things: tip speed, disc loading, pull on a blade, on an item at the tip.

    tip speed    speed of rotation x radius
    pull         mass x radius x speed of rotation squared
    energy       half the mass x tip speed squared
    disc loading aircraft's mass over the disc's area

Elementary mechanics; these figures explain a caution and are never settings.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cardgen.figures.figure import Figure, Origin, Parts, computed
from cardgen.spec.bound import Bound
from cardgen.spec.model import RotorSpec
from cardgen.spec.trig import PI
from cardgen.spec.units import Quantity, magnitude, quantity

_SPIN = ("rotor.normal_speed",)
_TIP = ("rotor.diameter", *_SPIN)


@dataclass(frozen=True)
class Loads:
    """Loads at the rotor's normal speed; what needs a value that is not stated is missing."""

    tip_speed: Figure
    pull_per_gram: Figure
    loose_item: Figure
    loose_item_pull: Figure
    loose_item_energy: Figure
    reflector_pull: Figure | None
    lead_pull: Figure | None
    blade_pull: Figure | None
    disc_loading: Figure | None


def load_figures(spec: RotorSpec) -> Loads:
    """Compute the loads of this rotor."""
    radius: Quantity = spec.rotor.diameter / 2
    item = quantity(10, "g")
    return Loads(
        tip_speed=computed(
            "loads.tip_speed",
            quantity(_tip_speed(spec), "m/s"),
            "m/s",
            decimals=0,
            formula="radius times speed of rotation",
            inputs=_TIP,
        ),
        pull_per_gram=computed(
            "loads.pull_per_gram",
            quantity(magnitude(pull(quantity(1, "g"), radius, spec.rotor.normal_speed), "N"), "N/g"),
            "N/g",
            decimals=1,
            bound=Bound.AT_LEAST,
            formula="radius times speed of rotation squared, for each gram at the tip",
            inputs=_TIP,
        ),
        loose_item=Figure(
            "loads.loose_item",
            item,
            Parts("10", "g", "0.35 oz"),
            Origin.GENERAL,
            "a small item, for an example",
        ),
        loose_item_pull=_pull("loads.loose_item_pull", item, radius, spec, ("loads.loose_item", *_TIP)),
        loose_item_energy=computed(
            "loads.loose_item_energy",
            quantity(magnitude(item, "kg") * _tip_speed(spec) ** 2 / 2, "J"),
            "J",
            decimals=0,
            bound=Bound.AT_LEAST,
            formula="half the mass times tip speed squared",
            inputs=("loads.loose_item", "loads.tip_speed"),
        ),
        reflector_pull=_reflector(spec, radius),
        lead_pull=_lead(spec),
        blade_pull=_blade(spec),
        disc_loading=_disc(spec),
    )


def pull(mass: Quantity, radius: Quantity, speed: Quantity) -> Quantity:
    """Give the force that keeps a mass on its circle: mass times radius times speed squared."""
    spin = magnitude(speed, "rad/s")
    return quantity(magnitude(mass, "kg") * magnitude(radius, "m") * spin**2, "N")


def _tip_speed(spec: RotorSpec) -> Fraction:
    return magnitude(spec.rotor.diameter, "m") / 2 * magnitude(spec.rotor.normal_speed, "rad/s")


def _pull(
    name: str, mass: Quantity, radius: Quantity, spec: RotorSpec, inputs: tuple[str, ...], step: int = 1
) -> Figure:
    return computed(
        name,
        pull(mass, radius, spec.rotor.normal_speed),
        "N",
        decimals=0,
        step=Fraction(step),
        bound=Bound.AT_LEAST,
        formula="mass times radius times speed of rotation squared",
        inputs=inputs,
    )


def _reflector(spec: RotorSpec, radius: Quantity) -> Figure | None:
    if spec.reflectors is None or spec.reflectors.mass is None:
        return None
    return _pull("loads.reflector_pull", spec.reflectors.mass, radius, spec, ("reflectors.mass", *_TIP))


def _lead(spec: RotorSpec) -> Figure | None:
    if spec.balance is None:
        return None
    inputs = ("balance.max_lead", "balance.tip_radius", *_SPIN)
    return _pull("loads.lead_pull", spec.balance.max_lead, spec.balance.tip_radius, spec, inputs)


def _blade(spec: RotorSpec) -> Figure | None:
    if spec.blades.mass is None or spec.blades.mass_centre is None:
        return None
    inputs = ("blades.mass", "blades.mass_centre", *_SPIN)
    return _pull("loads.blade_pull", spec.blades.mass, spec.blades.mass_centre, spec, inputs, step=100)


def _disc(spec: RotorSpec) -> Figure | None:
    if spec.aircraft is None or spec.aircraft.mass is None:
        return None
    area = PI * magnitude(spec.rotor.diameter, "m") ** 2 / 4
    return computed(
        "loads.disc_loading",
        quantity(magnitude(spec.aircraft.mass, "kg") / area, "kg/m²"),
        "kg/m²",
        decimals=1,
        formula="mass of the aircraft over the area of the disc",
        inputs=("aircraft.mass", "rotor.diameter"),
    )
