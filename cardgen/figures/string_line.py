"""The line from tip to tip: what an offset at the centre shakes, what bends the line.

    shake of an offset       2 x blade mass x (mass centre - pivot)/(radius - pivot)
                             x offset x speed of rotation squared
    sag, bow in a draught    load on the line x span squared over 8 x tension

The last is the parabola of a flat cable (Beer and Johnston, Statics).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cardgen.figures.figure import Figure, computed
from cardgen.spec.bound import Bound
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.bench import String
from cardgen.spec.trig import PI
from cardgen.spec.units import Quantity, magnitude, quantity

# A builder's line as an example: tension, mass, thickness. Air at sea level in the standard
# atmosphere (ISO 2533). Drag of a thin cylinder falls from 1.7 to 1.3 over these speeds (from memory).
_TENSION = quantity(20, "N")
_LINE_GRAMS_PER_METRE = Fraction(1, 2)
_LINE_THICKNESS = quantity(Fraction(8, 10), "mm")
_AIR = Fraction(1225, 1000)
_GRAVITY = Fraction(980665, 100000)
_DRAUGHTS = ((1, Fraction(17, 10)), (2, Fraction(15, 10)), (3, Fraction(13, 10)))


@dataclass(frozen=True)
class Draught:
    """How far a breath of air bows the line."""

    speed: Figure
    gap: Figure


@dataclass(frozen=True)
class StringFigures:
    """What the line tells on this rotor; shakes are missing where no blade mass and centre is stated."""

    sag: Figure
    draughts: tuple[Draught, ...]
    shake: Figure | None
    shake_at_limit: Figure | None
    lag_at_limit: Figure | None


def string_figures(spec: RotorSpec) -> StringFigures | None:
    """Compute the line's figures, or give nothing where the rotor has no string."""
    string = spec.string
    if string is None:
        return None
    limit = next((at for at, check in enumerate(string.checks) if check.limit is not None), None)
    return StringFigures(
        sag=_sag(spec),
        draughts=tuple(_draught(spec, at, *row) for at, row in enumerate(_DRAUGHTS, 1)),
        shake=_shake(spec, string),
        shake_at_limit=None if limit is None else _shake_at(spec, string, limit),
        lag_at_limit=None if limit is None else _lag_at(spec, string, limit),
    )


def flat_cable(load: Fraction, span: Fraction, tension: Fraction) -> Fraction:
    """Give the bow of a tight line in metres: load in N/m, span in m, tension in N."""
    return load * span**2 / (8 * tension)


def shake_of_offset(spec: RotorSpec, string: String, offset: Quantity) -> Quantity | None:
    """Give the shake, once per revolution, of an offset of the line at the centre."""
    if spec.blades.mass is None or spec.blades.mass_centre is None or string.strap_radius is None:
        return None
    pivot = magnitude(string.strap_radius, "m")
    out = (magnitude(spec.blades.mass_centre, "m") - pivot) / (magnitude(spec.rotor.diameter, "m") / 2 - pivot)
    spin = magnitude(spec.rotor.normal_speed, "rad/s")
    return quantity(2 * magnitude(spec.blades.mass, "kg") * out * magnitude(offset, "m") * spin**2, "N")


_SHAKE_FORMULA = (
    "twice the blade's mass, times mass centre beyond the strap bolt over tip beyond the strap bolt, "
    "times offset, times speed of rotation squared"
)
_SHAKE_KEYS = (
    "blades.mass",
    "blades.mass_centre",
    "string.strap_radius",
    "rotor.diameter",
    "rotor.normal_speed",
)


def _radians(angle: Quantity) -> Fraction:
    return magnitude(angle, "deg") * PI / 180


def _shake(spec: RotorSpec, string: String) -> Figure | None:
    force = shake_of_offset(spec, string, quantity(1, "mm"))
    if force is None:
        return None
    per_length = quantity(magnitude(force, "N"), "N/mm")
    return computed(
        "string.shake",
        per_length,
        "N/mm",
        decimals=1,
        bound=Bound.AT_LEAST,
        formula=_SHAKE_FORMULA,
        inputs=_SHAKE_KEYS,
    )


def _shake_at(spec: RotorSpec, string: String, check: int) -> Figure | None:
    limit = string.checks[check].limit
    force = None if limit is None else shake_of_offset(spec, string, limit)
    if force is None:
        return None
    return computed(
        "string.shake_at_limit",
        force,
        "N",
        decimals=0,
        bound=Bound.AT_LEAST,
        formula=_SHAKE_FORMULA,
        inputs=(f"string.checks[{check + 1}].limit", *_SHAKE_KEYS),
    )


def _lag_at(spec: RotorSpec, string: String, check: int) -> Figure | None:
    limit = string.checks[check].limit
    if limit is None or string.strap_radius is None:
        return None
    arm = magnitude(spec.rotor.diameter, "mm") / 2 - magnitude(string.strap_radius, "mm")
    return computed(
        "string.lag_at_limit",
        quantity(magnitude(limit, "mm") / arm * 180 / PI, "deg"),
        "deg",
        decimals=3,
        bound=Bound.AT_MOST,
        formula="offset over the distance from strap bolt to tip, as an angle",
        inputs=(f"string.checks[{check + 1}].limit", "rotor.diameter", "string.strap_radius"),
    )


def _sag(spec: RotorSpec) -> Figure:
    load = _LINE_GRAMS_PER_METRE / 1000 * _GRAVITY
    return _bow(spec, "string.sag", load, "weight of half a gram a metre", ())


def _draught(spec: RotorSpec, at: int, speed: int, drag: Fraction) -> Draught:
    load = _AIR / 2 * drag * magnitude(_LINE_THICKNESS, "m") * speed**2
    name = f"string.draught.{at}"
    air = computed(
        f"{name}.speed",
        quantity(speed, "m/s"),
        "m/s",
        decimals=0,
        formula="an example of moving air",
        inputs=(),
    )
    return Draught(air, _bow(spec, f"{name}.gap", load, "drag of a line 0.8 mm thick", (air.id,)))


def _bow(spec: RotorSpec, name: str, load: Fraction, of_what: str, inputs: tuple[str, ...]) -> Figure:
    bow = flat_cable(load, magnitude(spec.rotor.diameter, "m"), magnitude(_TENSION, "N"))
    return computed(
        name,
        quantity(bow * 1000, "mm"),
        "mm",
        decimals=1,
        bound=Bound.AT_LEAST,
        formula=f"{of_what}, times span squared over eight times a pull of 20 N",
        inputs=(*inputs, "rotor.diameter"),
    )
