"""Rules about figures that cannot both be right: dimensions of one rotor that contradict each other."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from cardgen.spec.model.bench import Balance, Pitch, String, StringCheck, Tip
from cardgen.spec.model.hardware import Fastener
from cardgen.spec.model.identity import Blades, Rotor
from cardgen.spec.model.running import Head, Reflectors, Teeter
from cardgen.spec.model.track import Track
from cardgen.spec.rate import dial_over_adjuster, total_of
from cardgen.spec.rules.bench_values import Corner, corner
from cardgen.spec.rules.families import says, stray
from cardgen.spec.rules.rule import Doubt, Doubts, rule, typed
from cardgen.spec.units import Quantity, magnitude
from cardgen.spec.unjudged import Unjudged


def _ratio(part: Quantity, whole: Quantity) -> Fraction:
    return magnitude(part, "in") / magnitude(whole, "in")


@rule("lever-chord", "track: lever, dial_lever", "blades: chord", "draft", plausible=True)
def lever_chord(track: Track, blades: Blades, draft: Unjudged) -> Doubts:
    """A lever of the pitch adjustment is longer than the blade is wide, or a stub."""
    for key in ("lever", "dial_lever"):
        arm = getattr(track, key)
        if arm is not None and not Fraction(1, 12) <= _ratio(arm, blades.chord) <= 1:
            chord = typed(draft, "blades", "chord")
            why = (
                f"the chord is {chord}, and an adjuster sits between a twelfth of that and the whole "
                "from the pivot line"
            )
            yield Doubt((key,), why, "the distance measured square to the pitch pivot line")


@rule("lever-dial", "track: lever, dial_lever", "draft", plausible=True)
def lever_dial(track: Track, draft: Unjudged) -> Doubts:
    """The dial touches at a quarter of the adjuster's distance or less, or at three times it."""
    if track.lever is not None and track.dial_lever is not None:
        ratio = _ratio(track.dial_lever, track.lever)
        if not Fraction(1, 4) < ratio < 3:
            lever = typed(draft, "track", "lever")
            why = (
                f"the lever is {lever}, so the dial would show {float(ratio):.3g} times what the adjuster moves"
            )
            yield Doubt(("dial_lever",), why, "both distances from the same pitch pivot line, in one unit")


@rule("cavity-chord", "balance: cavity_diameter", "blades: chord", "draft", plausible=True)
def cavity_chord(balance: Balance, blades: Blades, draft: Unjudged) -> Doubts:
    """The cavity for the lead is wider than the blade is thick."""
    # Blade sections of this trade are about 12 percent thick (common practice, no source).
    if _ratio(balance.cavity_diameter, blades.chord) > Fraction(1, 8):
        chord = typed(draft, "blades", "chord")
        why = (
            f"a blade of {chord} chord is about an eighth of that thick, and this hole would "
            "break through its skin"
        )
        yield Doubt(("cavity_diameter",), why, "the diameter of the hole that the lead goes in")


@rule("screw-hole", "balance: screw_hole, cavity_diameter", "draft", plausible=True)
def screw_hole(balance: Balance, draft: Unjudged) -> Doubts:
    """The hole for the screw leaves hardly any lead of a slug."""
    if balance.screw_hole is not None and _ratio(balance.screw_hole, balance.cavity_diameter) > Fraction(2, 3):
        cavity = typed(draft, "balance", "cavity_diameter")
        why = f"the cavity is {cavity} wide, and round such a hole less than half of the slug would be lead"
        yield Doubt(("screw_hole",), why, "the diameter of the hole that the tip screw passes through")


@rule("strap-radius", "string: strap_radius", "rotor: diameter", plausible=True)
def strap_radius(string: String, rotor: Rotor) -> Doubts:
    """The strap bolt is too far out or too near the centre for this rotor."""
    if string.strap_radius is None:
        return
    share = _ratio(string.strap_radius, rotor.diameter / 2)
    if not Fraction(6, 100) <= share <= Fraction(16, 100):
        why = (
            f"it is at {float(share):.0%} of the radius, and straps end between about a "
            "sixteenth and a sixth of it"
        )
        write = "the distance from the rotor centre to the bolt that a blade would swing about"
        yield Doubt(("strap_radius",), why, write)


@rule("mark-spacing", "string: mark_spacing, strap_radius", "draft", plausible=True)
def mark_spacing(string: String, draft: Unjudged) -> Doubts:
    """The string's side marks lie further out than the strap bolt."""
    if string.mark_spacing is None or string.strap_radius is None:
        return
    if string.mark_spacing > string.strap_radius:
        radius = typed(draft, "string", "strap_radius")
        why = f"the marks are on the hub bar, and the blade itself begins at about {radius}"
        yield Doubt(("mark_spacing",), why, "the distance from the centre mark to one side mark")


@rule("string-difference", "string.checks[]: sweep_min, sweep_max, difference", plausible=True)
def string_difference(check: StringCheck) -> Doubts:
    """The blades may differ by more than their sweeps may be off."""
    low, high, most = check.sweep_min, check.sweep_max, check.difference
    if low is not None and high is not None and most is not None and most > high - low > 0:
        why = "two sweeps that are both allowed differ less than that anyway, so this would limit nothing"
        yield Doubt(("difference",), why, "the most that the two sweeps may differ")


@rule("string-sweep-wide", "string.checks[]: sweep_min, sweep_max", kind="warning")
def string_sweep_wide(check: StringCheck) -> Doubts:
    """The most sweep is more than two and a half times the least."""
    low, high = check.sweep_min, check.sweep_max
    # From nothing up to a most there is no ratio, and nothing wide about it.
    if low and high is not None and high * 2 > low * 5:
        why = f"that is {float(_ratio(high, low)):.2g} times the least sweep, a wide range for one hub"
        yield Doubt(("sweep_max",), why, "nothing, if the maker's document says so")


@rule("pitch-difference", "pitch: tolerance, max_difference", "draft", plausible=True)
def pitch_difference(pitch: Pitch, draft: Unjudged) -> Doubts:
    """The blades may differ by more than their angles may be off."""
    if pitch.tolerance is not None and pitch.max_difference > pitch.tolerance * 2:
        each = typed(draft, "pitch", "tolerance")
        why = (
            f"two blades, each right within {each}, differ less than that anyway, so this limit "
            "would limit nothing"
        )
        yield Doubt(("max_difference",), why, "the most that the two angles may differ")


@rule("split-radius", "track: split, max_split", "rotor: diameter", plausible=True)
def split_radius(track: Track, rotor: Rotor) -> Doubts:
    """The largest split is more than the track of an ordinary rotor can show."""
    most = None if track.max_split is None else total_of(track, track.max_split)
    if most is not None and _ratio(most, rotor.diameter / 2) > Fraction(1, 30):
        why = "a split so large for this radius has another cause than pitch, and must not be adjusted out"
        yield Doubt(("max_split",), why, "the largest split that may be adjusted out, from its document")


@rule("offset-chord", "track: dial_offset", "blades: chord", "draft", plausible=True)
def offset_chord(track: Track, blades: Blades, draft: Unjudged) -> Doubts:
    """The dial stands further from the teeter-bolt axis than the blade is wide."""
    if track.dial_offset is not None and track.dial_offset > blades.chord / 2:
        chord = typed(draft, "blades", "chord")
        why = (
            f"the chord is {chord}, and a dial so far from the axis would show teetering rather than "
            "the adjustment"
        )
        yield Doubt(("dial_offset",), why, "the distance of the dial's tip from the teeter-bolt axis")


@rule(
    "total-thread",
    "track: max_total, max_total_reads, lever, dial_lever, adjuster_thread",
    plausible=True,
)
def total_thread(track: Track) -> Doubts:
    """The net adjustment is many turns of the adjuster's thread."""
    if track.max_total is not None and track.adjuster_thread is not None:
        at_dial = dial_over_adjuster(track) if track.max_total_reads == "dial" else None
        turns = _ratio(track.max_total, track.adjuster_thread.pitch) / (at_dial or 1)
        if turns > 6:
            why = f"that is {float(turns):.1f} turns of this adjuster, more than any thread is left to give"
            yield Doubt(("max_total",), why, "the largest net adjustment, from its document")


@rule("reflector-chord", "reflectors: height", "blades: chord", plausible=True)
def reflector_chord(reflectors: Reflectors, blades: Blades) -> Doubts:
    """A reflector is taller than half the blade's chord."""
    if reflectors.height * 2 > blades.chord:
        why = "it is more than half as tall as the blade is wide, and would be torn off"
        yield Doubt(("height",), why, "the height of one reflector as measured")


@rule("lever-dial-unlike", "track: lever, dial_lever", "draft", kind="warning")
def lever_dial_unlike(track: Track, draft: Unjudged) -> Doubts:
    """The dial touches at a very different distance from the pivot line than the adjuster."""
    if track.lever is not None and track.dial_lever is not None:
        ratio = _ratio(track.dial_lever, track.lever)
        if Fraction(1, 4) < ratio < Fraction(7, 10) or Fraction(3, 2) < ratio < 3:
            lever = typed(draft, "track", "lever")
            why = f"the lever is {lever}, so the dial shows {float(ratio):.2g} times what the adjuster moves"
            yield Doubt(("dial_lever",), why, "nothing, if both were measured from the same pivot line")


@rule("radial-play", "head: radial_play, bearing_spacing", "rotor: diameter", plausible=True)
def radial_play(head: Head, rotor: Rotor) -> Doubts:
    """The play of the mast bearing would let the tips wander by more than an inch."""
    tilt = _ratio(head.radial_play, head.bearing_spacing) * magnitude(rotor.diameter, "in") / 2
    if tilt > 1:
        why = (
            f"over this spacing such a play lets a tip wander by {float(tilt):.1f} in, and no head may "
            "be so worn"
        )
        yield Doubt(("radial_play",), why, "the play and the spacing of the bearings from their document")


@rule("teeter-play", "teeter: play_max", kind="flag")
def teeter_play(teeter: Teeter) -> Doubts:
    """The play along the teeter bolt is many times what bearings and washers are set to."""
    # One to two thousandths are common practice of the trade (no source).
    if teeter.play_max is not None and magnitude(teeter.play_max, "thou") > 12:
        why = "a hub block is set to play of a few thousandths, and this would let it knock"
        yield Doubt(("play_max",), why, "the most play along the teeter bolt from the maker's document")


@rule("pivot-teeter", "balance: pivot_bolt", "fasteners: where, thread, name", kind="warning")
def pivot_teeter(balance: Balance, fasteners: tuple[Fastener, ...]) -> Doubts:
    """The pivot that rolls on the parallels is not as thick as the teeter bolt."""
    for bolt in fasteners:
        thread = bolt.thread if bolt.where == "teeter" else None
        if thread and abs(_ratio(balance.pivot_bolt, thread.diameter) - 1) > Fraction(1, 8):
            why = f"the thread of the {bolt.name} is {thread.name}, so this pivot would not fill its hole"
            yield Doubt(("pivot_bolt",), why, "nothing, if the pivot has a bush or a hole of its own")


@rule("pitch-angle-low", "pitch: angle", kind="warning")
def pitch_angle_low(pitch: Pitch) -> Doubts:
    """The blade angle is nearly nothing, as if minutes were taken for degrees."""
    if abs(float(magnitude(pitch.angle, "deg"))) < 0.5:
        why = "that is less than half a degree, and such blades are mostly set to some degrees"
        yield Doubt(("angle",), why, "nothing, if the maker's document says so")


@rule("shim-stacks", "pitch: shims[].blade, shims[].corner, shims[].thickness", "draft", kind="warning")
def shim_stacks(pitch: Pitch, draft: Unjudged) -> Doubts:
    """The same corner of the two blades has stacks of very different thickness."""
    first: dict[Corner | str, int] = {}
    shims = pitch.shims or ()
    for place, shim in enumerate(shims):
        other = first.setdefault(corner(shim.corner) or shim.corner, place)
        low, high = sorted((shim.thickness, shims[other].thickness))
        if high > low * 3 / 2:
            has = typed(draft, "pitch", "shims", other, "thickness")
            why = f"the stack at this corner of blade {shims[other].blade} is {has}"
            yield Doubt(("shims", place, "thickness"), why, "nothing, if both stacks were measured so")


@rule("cure-order", "tip: cure[].temperature, cure[].time", plausible=True)
def cure_order(tip: Tip) -> Doubts:
    """A threadlocker cures more slowly where it is warmer."""
    rows = sorted(enumerate(tip.cure or ()), key=lambda row: magnitude(row[1].temperature, "°C"))
    for (_, cool), (place, warm) in pairwise(rows):
        if warm.time > cool.time or warm.temperature == cool.temperature:
            why = (
                "another row is no warmer and gives less time, or the same temperature twice, and "
                "warmth never slows a cure"
            )
            yield Doubt(("cure", place, "time"), why, "the temperature and time of each row of the data sheet")


PADS = stray(
    "pad-stray",
    "blades.pad_thickness",
    "A thickness of pads is given where there are no pads.",
    {"strap_pads": says("none")},
    'strap_pads is "none", so there is no pad to be so thick',
    "nothing; or where the pads are, in strap_pads",
    kind="warning",
)
