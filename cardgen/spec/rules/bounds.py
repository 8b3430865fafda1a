"""Bounds that no rotor of this kind leaves: beyond them a figure is a slip, whoever states it.

They are wide on purpose and no specification may widen them. They say nothing about what is
right; a figure inside them is not approved, only not absurd. Judgement, not published limits.
"""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from fractions import Fraction
from typing import Any

from cardgen.spec import physics
from cardgen.spec.model.identity import Aircraft, Rotor
from cardgen.spec.problem import Path
from cardgen.spec.rate import measures
from cardgen.spec.rules.rule import Doubt, Doubts, Reads, Rule, rule, typed
from cardgen.spec.units import Quantity, magnitude, quantity, unit_of
from cardgen.spec.unjudged import Unjudged


def bound(name: str, about: str, ends: str, *where: str) -> tuple[Rule, ...]:
    """Refuse a value outside ``12 to 40 ft``, both allowed, under keys such as ``run: wind_limit``."""
    least, _, most, unit = ends.split(" ")
    low, high = quantity(Fraction(least), unit), quantity(Fraction(most), unit)

    def for_key(owner: str, key: str) -> Rule:
        def test(group: Any, draft: Unjudged, here: Path) -> Doubts:
            value = getattr(group, key)
            paths = (
                {(key, n): each for n, each in enumerate(value)}
                if isinstance(value, tuple)
                else {(key,): value}
            )
            for path, each in paths.items():
                if each is not None and _same_kind(each, low) and not low <= each <= high:
                    side = "below" if each < low else "above"
                    why = f"{about} of {typed(draft, *here, *path)} is {side} anything such a rotor has"
                    within = _within(low, high, _answered_in(each, unit))
                    yield Doubt(path, f"{why}, {within}", "the figure again from its document, with its unit")

        reads = (Reads.of(f"{owner}: {key}"),)
        return Rule(name, f"{about} is outside {ends}.", test, reads, ("draft", "here"), "bound")

    named = [
        (owner, key) for owner, _, keys in (each.partition(": ") for each in where) for key in keys.split(", ")
    ]
    return tuple(for_key(owner, key) for owner, key in named)


def _same_kind(value: Quantity, end: Quantity) -> bool:
    """Whether a bound is one for such a value: a track rule may state a length, an angle or flats."""
    return value.dimensionality == end.dimensionality and measures(value) == measures(end)


def _answered_in(value: Quantity, unit: str) -> str:
    """Answer in the unit that was typed; feet and inches, and degrees and minutes, in the bound's own."""
    held = unit_of(value).shown
    return unit if held in {"in", "arcmin"} and unit in {"ft", "deg"} else held


def _within(low: Quantity, high: Quantity, unit: str) -> str:
    """Write both ends of a bound in a unit, rounded to lie inside it."""
    least, most = _figure(magnitude(low, unit), ROUND_CEILING), _figure(magnitude(high, unit), ROUND_FLOOR)
    return f"{least} to {most} {unit}"


def _figure(value: Fraction, rounding: str) -> str:
    # Beyond four figures a bound that is wide on purpose would look exact.
    exact = Context(prec=4, rounding=rounding).divide(Decimal(value.numerator), Decimal(value.denominator))
    return f"{exact.normalize():f}"


BOUNDS = (
    *bound("bounds-diameter", "A diameter", "12 to 40 ft", "rotor: diameter", "track.points[]: diameter"),
    *bound("bounds-chord", "A chord", "4 to 14 in", "blades: chord", "track.points[]: chord"),
    *bound(
        "bounds-rotor-speed", "A rotor speed", "150 to 650 rpm", "rotor: normal_speed, least_speed, most_speed"
    ),
    *bound("bounds-run-speed", "A speed on the ground", "20 to 650 rpm", "run: ground_speeds, track_speeds"),
    *bound("bounds-rotor-mass", "The mass of a rotor", "8 to 130 kg", "rotor: mass"),
    *bound("bounds-blade-mass", "The mass of a blade", "3 to 45 kg", "blades: mass"),
    *bound("bounds-mass-centre", "The distance of a mass centre", "20 to 180 in", "blades: mass_centre"),
    *bound("bounds-pad", "The thickness of a pad", "5 to 250 thou", "blades: pad_thickness"),
    *bound("bounds-joint-play", "A play of the joint", "0.1 to 25 thou", "hub: joint_play_max"),
    *bound("bounds-aircraft-mass", "The mass of an aircraft", "80 to 1000 kg", "aircraft: mass"),
    *bound(
        "bounds-torque",
        "A torque",
        "5 to 3000 in·lbf",
        "fasteners[]: torque_min, torque_max",
        "track: adjuster_torque_min, adjuster_torque_max",
    ),
    *bound("bounds-drag", "A running drag", "0.5 to 300 in·lbf", "fasteners[]: drag_max"),
    *bound("bounds-screw-torque", "A torque of a tip screw", "1 to 100 in·lbf", "tip: screw_torque"),
    *bound("bounds-wrench-length", "The length of a wrench", "3 to 60 in", "wrenches[]: length"),
    *bound("bounds-extension", "An extension", "0.25 to 24 in", "wrenches[]: extension"),
    *bound("bounds-wrench-range", "A mark of a wrench", "0 to 6000 in·lbf", "wrenches[]: range_min, range_max"),
    *bound("bounds-preset", "A preset torque", "1 to 6000 in·lbf", "wrenches[]: preset"),
    *bound("bounds-graduation", "A graduation", "0.01 to 100 in·lbf", "wrenches[]: graduation"),
    *bound("bounds-mark-spacing", "The distance of the string's marks", "1 to 40 in", "string: mark_spacing"),
    *bound("bounds-strap-radius", "The radius of the strap bolt", "3 to 48 in", "string: strap_radius"),
    *bound("bounds-tip-support", "The height under a tip", "0 to 4 in", "string: tip_support"),
    *bound("bounds-sweep", "A sweep", "0 to 3 in", "string.checks[]: sweep_min, sweep_max"),
    *bound("bounds-string", "A limit of the string", "0.005 to 0.5 in", "string.checks[]: difference, limit"),
    *bound("bounds-pitch-station", "The place of a protractor", "6 to 240 in", "pitch: station"),
    *bound("bounds-pitch-angle", "A blade angle", "-2 to 8 deg", "pitch: angle"),
    *bound(
        "bounds-pitch-limit",
        "A tolerance of the blade angle",
        "0.01 to 1 deg",
        "pitch: tolerance, max_difference",
    ),
    *bound("bounds-pitch-swap", "A change of angle by a swap", "0.02 to 3 deg", "pitch.swap: change"),
    *bound("bounds-shims", "A stack of shims", "0.5 to 500 thou", "pitch.shims[]: thickness"),
    *bound("bounds-tip-radius", "The radius of the cavity", "60 to 240 in", "balance: tip_radius"),
    *bound("bounds-cavity", "The diameter of a cavity", "0.1 to 1.5 in", "balance: cavity_diameter"),
    *bound("bounds-cavity-depth", "The depth of a cavity", "0.25 to 15 in", "balance: cavity_depth"),
    *bound("bounds-screw-hole", "The hole for a tip screw", "0.05 to 0.5 in", "balance: screw_hole"),
    *bound("bounds-lead", "The lead in one tip", "1 to 500 g", "balance: max_lead", "shake: trial_mass"),
    *bound("bounds-height-limit", "A difference of tip heights", "0.01 to 2 in", "balance: height_limit"),
    *bound("bounds-pivot-bolt", "The diameter of the pivot", "0.2 to 1.5 in", "balance: pivot_bolt"),
    *bound("bounds-cure-temperature", "A temperature for curing", "-10 to 60 °C", "tip.cure[]: temperature"),
    *bound("bounds-cure-time", "A time for curing", "0.2 to 168 h", "tip.cure[]: time"),
    *bound("bounds-teeter-play", "A play along the teeter bolt", "0.1 to 50 thou", "teeter: play_max"),
    *bound("bounds-teeter-angle", "A teeter angle", "2 to 15 deg", "teeter: teeter_angle"),
    *bound("bounds-radial-play", "A radial play", "0.1 to 15 thou", "head: radial_play"),
    *bound("bounds-bearing-spacing", "The spacing of the bearings", "0.3 to 12 in", "head: bearing_spacing"),
    *bound("bounds-push", "A push at the head", "2 to 500 N", "head: push"),
    *bound("bounds-tail-gap", "A gap to the tail", "1 to 60 in", "install: tail_gap_min"),
    *bound("bounds-reflector-height", "The height of a reflector", "0.5 to 6 in", "reflectors: height"),
    *bound("bounds-reflector-mass", "The mass of a reflector", "0.2 to 50 g", "reflectors: mass"),
    *bound("bounds-lever", "A lever of the pitch adjustment", "0.5 to 12 in", "track: lever, dial_lever"),
    *bound("bounds-dial-offset", "The offset of the dial", "0 to 6 in", "track: dial_offset"),
    *bound("bounds-track-rule", "A track rule", "2 to 200 thou/in", "track.points[]: rule"),
    *bound("bounds-track-angle", "A track rule in degrees", "0.05 to 6 deg/in", "track.points[]: rule"),
    *bound("bounds-track-flats", "A track rule in flats", "0.2 to 60 flats/in", "track.points[]: rule"),
    *bound("bounds-max-split", "The largest split", "0.25 to 6 in", "track: max_split"),
    *bound("bounds-good-enough", "The split at which the work is done", "0.03 to 1.5 in", "track: good_enough"),
    *bound("bounds-max-total", "The largest net adjustment", "5 to 500 thou", "track: max_total"),
    *bound("bounds-wind", "A wind limit", "1 to 25 kt", "run: wind_limit"),
    *bound("bounds-clear-radius", "A clear radius", "5 to 100 m", "run: clear_radius"),
    *bound("bounds-interval", "An interval of care", "0.5 to 500 h", "care: interval"),
    *bound(
        "bounds-retorque", "The hours before bolts are tightened again", "0.25 to 50 h", "care: retorque_after"
    ),
)


@rule("bounds-tip-speed", "rotor: diameter, normal_speed", plausible=True)
def tip_speed(rotor: Rotor) -> Doubts:
    """The tips move at less than 60 or more than 200 m/s."""
    speed = physics.tip_speed(rotor.diameter, rotor.normal_speed)
    if not 60 <= speed <= 200:
        why = (
            f"with this diameter the tips would move at {speed:.0f} m/s, and no such rotor is outside 60 to 200"
        )
        yield Doubt(("normal_speed",), why, "speed and diameter again from their document, with their units")


@rule("bounds-disc-loading", "aircraft: mass", "rotor: diameter", plausible=True)
def disc_loading(aircraft: Aircraft, rotor: Rotor) -> Doubts:
    """The disc carries less than 3 or more than 20 kg on each square metre."""
    if aircraft.mass is None:
        return
    loading = physics.disc_loading(aircraft.mass, rotor.diameter)
    if not 3 <= loading <= 20:
        why = (
            f"each square metre of this disc would carry {loading:.1f} kg, and no such aircraft is "
            "outside 3 to 20"
        )
        yield Doubt(("mass",), why, "mass and diameter again from their documents, with their units")
