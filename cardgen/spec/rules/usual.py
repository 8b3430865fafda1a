"""Values unlike those of most rotors: a half, a double or another unit, which nothing in the file contradicts.

The ranges are common practice of the trade (no source) and refuse nothing: a maker's document that says
otherwise is right. Only what a hand, an eye or a limit goes by is looked at.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from cardgen.spec.model.hardware import Wrench
from cardgen.spec.model.identity import Rotor
from cardgen.spec.model.running import Run
from cardgen.spec.model.track import Track
from cardgen.spec.problem import Path
from cardgen.spec.rate import ROW_STEP, TrackRate, rate_at, total_of, track_rate
from cardgen.spec.rules.rule import Doubt, Doubts, Reads, Rule, rule, typed
from cardgen.spec.rules.track_marks import TURNBUCKLE
from cardgen.spec.trig import tangent
from cardgen.spec.units import magnitude, quantity, unit_of
from cardgen.spec.unjudged import Unjudged

#: The id that all of them share; where something refuses the same value it says nothing.
UNUSUAL = "value-unusual"
_MEANING = "A value is far from what most such rotors have, as a half, a double or another unit would be."
_RIGHT = "nothing, if the document says so; if not, the figure as it stands there"


def _usual(about: str, ends: str, where: str) -> Rule:
    """Warn of a value outside ``5 to 10 kt``, both allowed, under a key such as ``run: wind_limit``."""
    least, _, most, unit = ends.split(" ")
    low, high = quantity(Fraction(least), unit), quantity(Fraction(most), unit)
    key = where.partition(": ")[2]

    def test(group: Any, _draft: Unjudged, _here: Path) -> Doubts:
        value = getattr(group, key)
        if value is not None and not low <= value <= high:
            side = "below" if value < low else "above"
            yield Doubt((key,), f"{about} is mostly {ends}, and this lies {side}", _RIGHT)

    return Rule(UNUSUAL, _MEANING, test, (Reads.of(where),), ("draft", "here"), "warning", plausible=True)


USUAL = (
    _usual("a wind limit for running a rotor up", "5 to 10 kt", "run: wind_limit"),
    _usual("the height of a reflector, which is the ruler for the split,", "1 to 2.5 in", "reflectors: height"),
    _usual("the gap to the tail", "6 to 16 in", "install: tail_gap_min"),
    _usual("a limit at the centre mark", "0.04 to 0.1 in", "string.checks[]: limit"),
    _usual("the difference of two sweeps", "0.022 to 0.07 in", "string.checks[]: difference"),
    _usual("a teeter angle", "6 to 12 deg", "teeter: teeter_angle"),
    _usual("the play along a teeter bolt", "0.8 to 4 thou", "teeter: play_max"),
    _usual("the play of a hub's joint", "2 to 5 thou", "hub: joint_play_max"),
    _usual("the radial play of a mast bearing", "1.2 to 3.5 thou", "head: radial_play"),
    _usual("the spacing of mast bearings", "1 to 3 in", "head: bearing_spacing"),
    _usual("the push while that play is read", "6 to 18 lbf", "head: push"),
    _usual("the torque of a tip screw", "10 to 25 in·lbf", "tip: screw_torque"),
    _usual("the difference of tip heights", "0.2 to 0.6 in", "balance: height_limit"),
    _usual("the tolerance of a blade angle", "0.07 to 0.3 deg", "pitch: tolerance"),
    _usual("the difference of two blade angles", "0.07 to 0.3 deg", "pitch: max_difference"),
    _usual("the change from one swap of shims", "0.2 to 0.5 deg", "pitch.swap: change"),
    _usual("a trial mass", "18 to 50 g", "shake: trial_mass"),
)


@rule(UNUSUAL, "run: clear_radius", "rotor: diameter", kind="warning")
def clear_radius_unusual(run: Run, rotor: Rotor) -> Doubts:
    """A value is far from what most such rotors have, as a half, a double or another unit would be."""
    if run.clear_radius is not None:
        ratio = magnitude(run.clear_radius, "m") / magnitude(rotor.diameter, "m")
        if 1 <= ratio < Fraction(5, 2) or ratio > 6:
            why = f"that is {float(ratio):.2g} times the diameter, and people mostly stand three to five off"
            yield Doubt(("clear_radius",), why, _RIGHT)


@rule(UNUSUAL, "run: ground_speeds", "rotor: normal_speed", "draft", kind="warning")
def ground_speed_unusual(run: Run, rotor: Rotor, draft: Unjudged) -> Doubts:
    """A value is far from what most such rotors have, as a half, a double or another unit would be."""
    for place, speed in enumerate(run.ground_speeds or ()):
        if speed * 4 < rotor.normal_speed:
            normal = typed(draft, "rotor", "normal_speed")
            why = f"the rotor flies at {normal}, and this is less than a quarter of that"
            yield Doubt(("ground_speeds", place), why, _RIGHT)


@rule(UNUSUAL, "rotor: least_speed, normal_speed", "draft", kind="warning")
def least_speed_unusual(rotor: Rotor, draft: Unjudged) -> Doubts:
    """A value is far from what most such rotors have, as a half, a double or another unit would be."""
    if rotor.least_speed is not None and rotor.least_speed * 5 < rotor.normal_speed * 3:
        normal = typed(draft, "rotor", "normal_speed")
        why = f"the rotor flies at {normal}, and this is less than three fifths of that"
        yield Doubt(("least_speed",), why, _RIGHT)


@rule(UNUSUAL, "track: split, good_enough", kind="warning")
def good_enough_unusual(track: Track) -> Doubts:
    """A value is far from what most such rotors have, as a half, a double or another unit would be."""
    if track.good_enough is None:
        return
    inches = magnitude(total_of(track, track.good_enough), "in")
    # A reading on video scatters by a sixteenth of an inch; two differ for certain beyond 2.8 times that.
    if inches < Fraction(175, 1000):
        why = "two readings on video differ by up to 0.18 in by themselves, so none could ever show this"
        yield Doubt(("good_enough",), why, _RIGHT)
    elif inches > Fraction(2, 5):
        why = f"from tip to tip that is {float(inches):.2g} in, and most are worked to about a quarter"
        yield Doubt(("good_enough",), why, _RIGHT)


@rule(
    "dial-offset-large",
    "track: method, split, set_by, interpolate, rule_reads, lever, dial_lever, adjuster_thread, dial_offset, "
    f"points[].diameter, points[].rule, {TURNBUCKLE}",
    "rotor: diameter",
    kind="warning",
)
def dial_offset_large(track: Track, rotor: Rotor) -> Doubts:
    """The bar's teetering by half a degree shows more on the dial than the first correction."""
    rate = track_rate(track, rotor.diameter)
    if track.set_by != "dial" or track.dial_offset is None or not isinstance(rate, TrackRate):
        return
    dial = rate_at(track, rate.rate).dial
    if dial is None:
        return
    step = ROW_STEP["inch" if unit_of(rate.rate).shown.endswith("/in") else "metric"]
    row = magnitude(dial * step, "thou")
    shown = magnitude(track.dial_offset, "thou") * tangent(quantity(Fraction(1, 2), "deg"))
    if shown > row:
        why = (
            f"half a degree of teeter shows {float(shown):.2g} thou there, and the first correction is "
            f"{float(row):.2g}"
        )
        yield Doubt(("dial_offset",), why, "nothing, if the dial can touch no nearer to the axis")


@rule("wrench-range-unusual", "wrenches[]: kind, range_min, range_max", kind="warning")
def wrench_range_unusual(wrench: Wrench) -> Doubts:
    """The scale of a click wrench begins lower or higher than click wrenches do."""
    if wrench.kind == "click" and wrench.range_min is not None and wrench.range_max is not None:
        share = magnitude(wrench.range_min, "N·m") / magnitude(wrench.range_max, "N·m")
        if share < Fraction(1, 14) or Fraction(3, 10) < share <= Fraction(2, 5):
            why = f"it begins at {float(share):.0%} of its end, and click wrenches at a tenth to a quarter"
            yield Doubt(("range_min",), why, "nothing, if its scale says so")
