"""Bounds that no rotor of this kind leaves: beyond them a figure is a slip, whoever states it.

They are wide on purpose and no specification may widen them. They say nothing about what is
right; a figure inside them is not approved, only not absurd. Judgement, not published limits.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from fractions import Fraction
from typing import Any

from cardgen.spec import physics
from cardgen.spec.model.identity import Aircraft, Rotor
from cardgen.spec.problem import Path
from cardgen.spec.rules.rule import Doubt, Doubts, Rule, rule, typed
from cardgen.spec.units import Quantity, magnitude, quantity, unit_of
from cardgen.spec.unjudged import Unjudged


@dataclass(frozen=True)
class Bound:
    """Keys whose value lies from ``low`` to ``high``, both allowed, in ``unit``.

    A key is a path with ``[]`` for every entry of a list: ``track.points[].diameter``.
    """

    id: str
    about: str
    low: str
    high: str
    unit: str
    keys: tuple[str, ...]

    @property
    def meaning(self) -> str:
        """Say when the bound refuses."""
        return f"{self.about} is outside {self.low} to {self.high} {self.unit}."

    def test(self, draft: Unjudged) -> Doubts:
        """Doubt every value under the keys that lies outside."""
        low, high = quantity(Fraction(self.low), self.unit), quantity(Fraction(self.high), self.unit)
        for key in self.keys:
            for path, value in _values(draft, key):
                if not low <= value <= high:
                    side = "below" if value < low else "above"
                    why = f"{self.about} of {typed(draft, *path)} is {side} anything such a rotor has"
                    within = _within(low, high, self._unit(value))
                    yield Doubt(path, f"{why}, {within}", "the figure again from its document, with its unit")

    def _unit(self, value: Quantity) -> str:
        """Answer in the unit that was typed; feet and inches, and degrees and minutes, in the bound's own."""
        held = unit_of(value)
        return self.unit if held.shown in {"in", "arcmin"} and self.unit in {"ft", "deg"} else held.shown


def _within(low: Quantity, high: Quantity, unit: str) -> str:
    """Write both ends of a bound in a unit, rounded to lie inside it."""
    least, most = _figure(magnitude(low, unit), ROUND_CEILING), _figure(magnitude(high, unit), ROUND_FLOOR)
    return f"{least} to {most} {unit}"


def _figure(value: Fraction, rounding: str) -> str:
    # Beyond four figures a bound that is wide on purpose would look exact.
    exact = Context(prec=4, rounding=rounding).divide(Decimal(value.numerator), Decimal(value.denominator))
    return f"{exact.normalize():f}"


BOUNDS = (
    Bound("bounds-diameter", "A diameter", "12", "40", "ft", ("rotor.diameter", "track.points[].diameter")),
    Bound("bounds-chord", "A chord", "4", "14", "in", ("blades.chord", "track.points[].chord")),
    Bound("bounds-rotor-speed", "A rotor speed", "150", "650", "rpm", ("rotor.normal_speed",)),
    Bound(
        "bounds-run-speed",
        "A speed on the ground",
        "20",
        "650",
        "rpm",
        ("run.ground_speeds[]", "run.track_speeds[]"),
    ),
    Bound("bounds-rotor-mass", "The mass of a rotor", "8", "130", "kg", ("rotor.mass",)),
    Bound("bounds-blade-mass", "The mass of a blade", "3", "45", "kg", ("blades.mass",)),
    Bound("bounds-mass-centre", "The distance of a mass centre", "20", "180", "in", ("blades.mass_centre",)),
    Bound("bounds-pad", "The thickness of a pad", "5", "250", "thou", ("blades.pad_thickness",)),
    Bound("bounds-joint-play", "A play of the joint", "0.1", "25", "thou", ("hub.joint_play_max",)),
    Bound("bounds-aircraft-mass", "The mass of an aircraft", "80", "1000", "kg", ("aircraft.mass",)),
    Bound(
        "bounds-torque",
        "A torque",
        "5",
        "3000",
        "in·lbf",
        (
            "fasteners[].torque_min",
            "fasteners[].torque_max",
            "track.adjuster_torque_min",
            "track.adjuster_torque_max",
        ),
    ),
    Bound("bounds-drag", "A running drag", "0.5", "300", "in·lbf", ("fasteners[].drag_max",)),
    Bound("bounds-screw-torque", "A torque of a tip screw", "1", "100", "in·lbf", ("tip.screw_torque",)),
    Bound("bounds-wrench-length", "The length of a wrench", "3", "60", "in", ("wrenches[].length",)),
    Bound("bounds-extension", "An extension", "0.25", "24", "in", ("wrenches[].extension",)),
    Bound(
        "bounds-wrench-range",
        "A setting of a wrench",
        "0.5",
        "6000",
        "in·lbf",
        ("wrenches[].range_min", "wrenches[].range_max"),
    ),
    Bound("bounds-graduation", "A graduation", "0.01", "100", "in·lbf", ("wrenches[].graduation",)),
    Bound(
        "bounds-mark-spacing", "The distance of the string's marks", "1", "40", "in", ("string.mark_spacing",)
    ),
    Bound("bounds-strap-radius", "The radius of the strap bolt", "3", "48", "in", ("string.strap_radius",)),
    Bound("bounds-tip-support", "The height under a tip", "0", "4", "in", ("string.tip_support",)),
    Bound(
        "bounds-sweep", "A sweep", "0.01", "3", "in", ("string.checks[].sweep_min", "string.checks[].sweep_max")
    ),
    Bound(
        "bounds-string",
        "A limit of the string",
        "0.005",
        "0.5",
        "in",
        ("string.checks[].difference", "string.checks[].limit"),
    ),
    Bound("bounds-pitch-station", "The place of a protractor", "6", "240", "in", ("pitch.station",)),
    Bound("bounds-pitch-angle", "A blade angle", "-2", "8", "deg", ("pitch.angle",)),
    Bound(
        "bounds-pitch-limit",
        "A tolerance of the blade angle",
        "0.01",
        "1",
        "deg",
        ("pitch.tolerance", "pitch.max_difference"),
    ),
    Bound("bounds-pitch-swap", "A change of angle by a swap", "0.02", "3", "deg", ("pitch.swap.change",)),
    Bound("bounds-shims", "A stack of shims", "0.5", "500", "thou", ("pitch.shims[].thickness",)),
    Bound("bounds-tip-radius", "The radius of the cavity", "60", "240", "in", ("balance.tip_radius",)),
    Bound("bounds-cavity", "The diameter of a cavity", "0.1", "1.5", "in", ("balance.cavity_diameter",)),
    Bound("bounds-cavity-depth", "The depth of a cavity", "0.25", "15", "in", ("balance.cavity_depth",)),
    Bound("bounds-lead", "The lead in one tip", "1", "500", "g", ("balance.max_lead", "shake.trial_mass")),
    Bound("bounds-height-limit", "A difference of tip heights", "0.01", "2", "in", ("balance.height_limit",)),
    Bound("bounds-pivot-bolt", "The diameter of the pivot", "0.2", "1.5", "in", ("balance.pivot_bolt",)),
    Bound(
        "bounds-cure-temperature", "A temperature for curing", "-10", "60", "°C", ("tip.cure[].temperature",)
    ),
    Bound("bounds-cure-time", "A time for curing", "0.2", "168", "h", ("tip.cure[].time",)),
    Bound("bounds-teeter-play", "A play along the teeter bolt", "0.1", "50", "thou", ("teeter.play_max",)),
    Bound("bounds-teeter-angle", "A teeter angle", "2", "15", "deg", ("teeter.teeter_angle",)),
    Bound("bounds-radial-play", "A radial play", "0.1", "15", "thou", ("head.radial_play",)),
    Bound(
        "bounds-bearing-spacing", "The spacing of the bearings", "0.3", "12", "in", ("head.bearing_spacing",)
    ),
    Bound("bounds-reflector-height", "The height of a reflector", "0.5", "6", "in", ("reflectors.height",)),
    Bound("bounds-reflector-mass", "The mass of a reflector", "0.2", "50", "g", ("reflectors.mass",)),
    Bound(
        "bounds-lever",
        "A lever of the pitch adjustment",
        "0.5",
        "12",
        "in",
        ("track.lever", "track.dial_lever"),
    ),
    Bound("bounds-dial-offset", "The offset of the dial", "0", "6", "in", ("track.dial_offset",)),
    Bound("bounds-track-rule", "A track rule", "2", "200", "thou/in", ("track.points[].rule",)),
    Bound("bounds-max-split", "The largest split", "0.25", "6", "in", ("track.max_split",)),
    Bound("bounds-max-total", "The largest net adjustment", "5", "500", "thou", ("track.max_total",)),
    Bound("bounds-wind", "A wind limit", "1", "25", "kt", ("run.wind_limit",)),
    Bound("bounds-clear-radius", "A clear radius", "5", "100", "m", ("run.clear_radius",)),
    Bound("bounds-interval", "An interval of care", "0.5", "500", "h", ("care.interval",)),
)


@rule("bounds-tip-speed", "rotor", plausible=True)
def tip_speed(rotor: Rotor) -> Doubts:
    """The tips move at less than 60 or more than 200 m/s."""
    speed = physics.tip_speed(rotor.diameter, rotor.normal_speed)
    if not 60 <= speed <= 200:
        why = (
            f"with this diameter the tips would move at {speed:.0f} m/s, and no such rotor is outside 60 to 200"
        )
        yield Doubt(
            ("rotor", "normal_speed"), why, "speed and diameter again from their document, with their units"
        )


@rule("bounds-disc-loading", "aircraft", "rotor", plausible=True)
def disc_loading(aircraft: Aircraft, rotor: Rotor) -> Doubts:
    """The disc carries less than 3 or more than 20 kg on each square metre."""
    loading = physics.disc_loading(aircraft.mass, rotor.diameter)
    if not 3 <= loading <= 20:
        why = (
            f"each square metre of this disc would carry {loading:.1f} kg, and no such aircraft is "
            "outside 3 to 20"
        )
        yield Doubt(("aircraft", "mass"), why, "mass and diameter again from their documents, with their units")


def _values(draft: Unjudged, key: str) -> Iterator[tuple[Path, Quantity]]:
    """Find every value under a key of the bounds, with its path; nothing where none is given."""
    found: list[tuple[Path, Any]] = [((), draft.groups)]
    for part in key.replace("[]", ".[]").split("."):
        if part == "[]":
            found = [((*path, n), item) for path, items in found for n, item in enumerate(items)]
        else:
            found = [((*path, part), _part(value, part)) for path, value in found]
        found = [(path, value) for path, value in found if value is not None]
    yield from found


def _part(value: Any, name: str) -> Any:
    return value.get(name) if hasattr(value, "get") else getattr(value, name)


VALUE_RULES = tuple(Rule(bound.id, bound.meaning, bound.test, ("draft",)) for bound in BOUNDS)
RULES = (tip_speed, disc_loading)
