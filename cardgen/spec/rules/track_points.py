"""Rules about the maker's track rules, rotor by rotor, and how far they reach."""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction
from itertools import pairwise

from cardgen.spec.model.identity import Blades, Rotor
from cardgen.spec.model.running import Track, TrackPoint
from cardgen.spec.rate import SAME_DIAMETER, NoRate, TrackRate, WhyNot, total_of, track_rate
from cardgen.spec.rules.families import missing, says, stray
from cardgen.spec.rules.rule import Doubt, Doubts, rule, typed
from cardgen.spec.units import magnitude
from cardgen.spec.unjudged import Unjudged

#: What a rotor's own rule is made from.
_RATE = "track: method, split, interpolate, points[].diameter, points[].rule"
_DIAMETER = "rotor: diameter"
_LIMITS = f"{_RATE}, max_split, max_total"
_BOTH_RIGHT = "nothing if both limits are right; they may come from different documents"

INTERPOLATE = (
    missing(
        "track-interpolate-missing",
        "track.interpolate",
        "Several track rules are stated, but not whether values between them are allowed.",
        {"method": says("adjuster"), "points": lambda points: len(points or ()) > 1},
        "with more than one rule it must be said whether the maker lets values between them be used",
        "true only if the maker's document allows it; if not, false",
    ),
    stray(
        "track-interpolate-stray",
        "track.interpolate",
        "Values between two rules are allowed, but there is only one rule.",
        {"method": says("adjuster"), "points": lambda points: len(points or ()) == 1, "interpolate": bool},
        "there is only one rule, and nothing lies between it and another",
        "the second rule from the maker's document; or leave this key out",
    ),
)


@rule("track-points-order", "track: method, points[].diameter")
def track_points_order(track: Track) -> Doubts:
    """The track rules do not stand from the smallest rotor to the largest."""
    for place, (before, after) in enumerate(pairwise(_points(track)), start=1):
        if after.diameter < before.diameter:
            why = "this rotor is smaller than the one before it, and a list out of order is easily misread"
            yield Doubt(
                ("points", place, "diameter"), why, "the maker's rules from the smallest rotor to the largest"
            )


@rule("track-point-twice", "track: method, points[].diameter")
def track_point_twice(track: Track) -> Doubts:
    """Two track rules are stated for one diameter."""
    near, before = magnitude(SAME_DIAMETER * 2, "in"), list[Fraction]()
    for place, point in enumerate(_points(track)):
        diameter = magnitude(point.diameter, "in")
        at = bisect_left(before, diameter)
        # Within a quarter inch of each other two points would both be the rule for a rotor between.
        twice = any(abs(diameter - other) <= near for other in before[max(at - 1, 0) : at + 1])
        before.insert(at, diameter)
        if twice:
            why = "a rule for this diameter, or one within half an inch of it, is listed already"
            yield Doubt(
                ("points", place, "diameter"),
                why,
                "one rule for each rotor, that of this rotor's blades and hub",
            )


@rule("track-diameter-between", _RATE, _DIAMETER, "draft")
def track_diameter_between(track: Track, rotor: Rotor, draft: Unjudged) -> Doubts:
    """The rotor lies between two stated rules that may not be interpolated."""
    rate = track_rate(track, rotor.diameter)
    if isinstance(rate, NoRate) and rate.reason is WhyNot.NOT_ALLOWED and track.interpolate is not None:
        why = (
            f"this rotor is {_diameter(draft)}, no rule is stated for it, and values between two rules "
            "are not allowed"
        )
        yield Doubt(("points",), why, "the maker's rule for exactly this diameter")


@rule("track-diameter-outside", _RATE, _DIAMETER, "draft")
def track_diameter_outside(track: Track, rotor: Rotor, draft: Unjudged) -> Doubts:
    """The rotor lies outside every stated rule, and no rule is carried beyond its points."""
    rate = track_rate(track, rotor.diameter)
    if isinstance(rate, NoRate) and rate.reason is WhyNot.OUTSIDE:
        stated = ", ".join(typed(draft, "track", "points", n, "diameter") for n in range(len(_points(track))))
        why = (
            f"this rotor is {_diameter(draft)} and rules are stated for {stated}; "
            "the true rate changes with the square of the diameter, so none is carried beyond its own rotor"
        )
        yield Doubt(("points",), why, "the maker's rule for exactly this diameter")


@rule("track-chord", f"{_RATE}, points[].chord", "blades: chord", _DIAMETER, "draft", kind="flag")
def track_chord(track: Track, blades: Blades, rotor: Rotor, draft: Unjudged) -> Doubts:
    """The rule for this rotor is stated for blades of another chord."""
    rate = track_rate(track, rotor.diameter)
    for place in rate.points if isinstance(rate, TrackRate) else ():
        stated = _points(track)[place].chord
        if abs(stated - blades.chord) * 32 > blades.chord:
            own = typed(draft, "blades", "chord")
            why = (
                f"this rotor's blades have a chord of {own}, and the adjustment for a split changes "
                "with the chord"
            )
            yield Doubt(("points", place, "chord"), why, "the maker's rule for blades of this chord")


@rule("track-points-unlike", _RATE, _DIAMETER, kind="flag")
def track_points_unlike(track: Track, rotor: Rotor) -> Doubts:
    """Two rules that a value is taken between differ too much, or rise with the diameter: other hardware."""
    rate = track_rate(track, rotor.diameter)
    if isinstance(rate, TrackRate) and rate.interpolated:
        small, large = (_points(track)[place].rule for place in rate.points)
        path = ("points", rate.points[1], "rule")
        write = "the maker's rule for exactly this rotor; two rules of different hardware cannot be mixed"
        if large > small:
            why = (
                "the rule rises with the diameter, but a larger rotor needs less adjustment for the same split"
            )
            yield Doubt(path, why, write)
        elif small > large * 3 / 2:
            ratio = float((small / large).to("").magnitude)
            why = (
                f"the rule for the smaller rotor is {ratio:.2g} times this one, as if the hubs were "
                "not the same"
            )
            yield Doubt(path, why, write)


@rule("track-table-short", _LIMITS, _DIAMETER, "draft", kind="warning")
def track_table_short(track: Track, rotor: Rotor, draft: Unjudged) -> Doubts:
    """The largest split would take more than the largest net adjustment, so the table stops earlier."""
    rate = track_rate(track, rotor.diameter)
    if isinstance(rate, TrackRate) and track.max_split is not None and track.max_total is not None:
        needed = magnitude(total_of(track, track.max_split), "in") * magnitude(rate.rate, "thou/in")
        if needed > magnitude(track.max_total, "thou"):
            most = typed(draft, "track", "max_total")
            why = (
                f"this split would take {float(needed):.4g} thou and the net limit is {most}, so the "
                "table stops before it"
            )
            yield Doubt(("max_split",), why, _BOTH_RIGHT)


@rule("track-total-large", _LIMITS, _DIAMETER, kind="warning")
def track_total_large(track: Track, rotor: Rotor) -> Doubts:
    """The largest net adjustment is about twice what the largest split takes, or more."""
    rate = track_rate(track, rotor.diameter)
    if isinstance(rate, TrackRate) and track.max_split is not None and track.max_total is not None:
        needed = magnitude(total_of(track, track.max_split), "in") * magnitude(rate.rate, "thou/in")
        ratio = magnitude(track.max_total, "thou") / needed
        if ratio > Fraction(19, 10):
            why = (
                f"this is {float(ratio):.2g} times what the largest split takes, so it limits only the "
                "sum of many"
            )
            yield Doubt(("max_total",), why, _BOTH_RIGHT)


def _points(track: Track) -> tuple[TrackPoint, ...]:
    return (track.points or ()) if track.method == "adjuster" else ()


def _diameter(draft: Unjudged) -> str:
    return typed(draft, "rotor", "diameter")
