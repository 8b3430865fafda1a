"""What a small play near the hub shows at the tips.

Play across a span of bearing tilts what it holds, so at the tip it grows as radius over span. The
teeter angle lifts a tip by the radius times the sine of the angle. Plain geometry.
"""

from __future__ import annotations

from dataclasses import dataclass

from cardgen.figures.figure import Figure, computed
from cardgen.spec.bound import Bound
from cardgen.spec.model import RotorSpec
from cardgen.spec.trig import sine
from cardgen.spec.units import magnitude, quantity, unit_of


@dataclass(frozen=True)
class TeeterFigures:
    """Play and travel at the tips; each is missing where its group is."""

    tip_travel: Figure | None
    tip_play: Figure | None


def teeter_figures(spec: RotorSpec) -> TeeterFigures:
    """Compute what teeter angle and bearing play come to at the tips."""
    return TeeterFigures(_travel(spec), _play(spec))


def _travel(spec: RotorSpec) -> Figure | None:
    if spec.teeter is None:
        return None
    unit = _tip_unit(spec)
    travel = magnitude(spec.rotor.diameter, unit) / 2 * sine(spec.teeter.teeter_angle)
    return computed(
        "teeter.tip_travel",
        quantity(travel, unit),
        unit,
        decimals=0,
        formula="radius times the sine of the teeter angle, each way",
        inputs=("rotor.diameter", "teeter.teeter_angle"),
    )


def _play(spec: RotorSpec) -> Figure | None:
    if spec.head is None:
        return None
    unit = _tip_unit(spec)
    grows = magnitude(spec.rotor.diameter, unit) / 2 / magnitude(spec.head.bearing_spacing, unit)
    return computed(
        "head.tip_play",
        quantity(magnitude(spec.head.radial_play, unit) * grows, unit),
        unit,
        decimals=2 if unit == "in" else 1,
        bound=Bound.AT_MOST,
        formula="most radial play times radius over the distance between the bearings",
        inputs=("head.radial_play", "rotor.diameter", "head.bearing_spacing"),
    )


def _tip_unit(spec: RotorSpec) -> str:
    return "in" if unit_of(spec.rotor.diameter).system == "inch" else "mm"
