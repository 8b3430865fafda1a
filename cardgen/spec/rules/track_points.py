"""Rules about the maker's track rules, rotor by rotor, and how far they reach."""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction
from itertools import pairwise

from cardgen.spec.model.identity import Blades, Rotor
from cardgen.spec.model.track import Track, TrackPoint
from cardgen.spec.rate import (
    ROW_STEP,
    SAME_DIAMETER,
    NoRate,
    TrackRate,
    WhyNot,
    measures,
    moved_toward_total,
    total_of,
    track_rate,
)
from cardgen.spec.rules.families import missing, says, stray
from cardgen.spec.rules.rule import Doubt, Doubts, rule, typed
from cardgen.spec.rules.track_marks import TURNBUCKLE
from cardgen.spec.units import Quantity, magnitude, unit_of
from cardgen.spec.unjudged import Unjudged

#: What a rotor's own rule is made from.
_RATE = "track: method, split, interpolate, points[].diameter, points[].rule"
_DIAMETER = "rotor: diameter"
_LIMITS = (
    f"{_RATE}, basis, rule_reads, lever, dial_lever, adjuster_thread, max_split, max_total, max_total_reads, "
    f"max_total_of, {TURNBUCKLE}"
)
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


@rule("track-points-kinds", "track: method, points[].rule")
def track_points_kinds(track: Track) -> Doubts:
    """Two track rules measure different things: lengths, angles of the blade or flats of the adjuster."""
    points = _points(track)
    for place, point in enumerate(points):
        if measures(point.rule) != measures(points[0].rule):
            first, this = measures(points[0].rule), measures(point.rule)
            why = f"the first rule states {first} for each unit of split and this one {this}"
            write = "every rule in one kind of unit, as one document states them"
            yield Doubt(("points", place, "rule"), why, write)


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
    takes = _takes(track, rotor)
    if takes is not None and track.max_total is not None:
        needed, ratio = takes
        if ratio < 1 and not _first_row_passes(track, rotor):
            most = typed(draft, "track", "max_total")
            where = f" at the {track.max_total_reads}" if track.max_total_reads else ""
            why = (
                f"this split would take {float(needed):.4g} thou{where} and the net limit is {most}, so the "
                "table stops before it"
            )
            yield Doubt(("max_split",), why, _BOTH_RIGHT)


@rule("track-total-below-row", _LIMITS, _DIAMETER, plausible=True)
def track_total_below_row(track: Track, rotor: Rotor) -> Doubts:
    """The largest net adjustment is less than the first row of the table, so there would be no row at all."""
    if _first_row_passes(track, rotor):
        why = "this is less than the smallest correction on the table takes, so the table would have no row"
        write = "the largest net adjustment, and where it is read and how it is counted, from its document"
        yield Doubt(("max_total",), why, write)


@rule("track-total-large", _LIMITS, _DIAMETER, kind="warning")
def track_total_large(track: Track, rotor: Rotor) -> Doubts:
    """The largest net adjustment is about twice what the largest split takes, or more."""
    takes = _takes(track, rotor)
    if takes is not None and takes[1] > Fraction(19, 10):
        why = (
            f"this is {float(takes[1]):.2g} times what the largest split takes, and limits only the sum of many"
        )
        yield Doubt(("max_total",), why, _BOTH_RIGHT)


@rule("track-good-enough", "track: good_enough, max_split", "draft", plausible=True)
def track_good_enough(track: Track, draft: Unjudged) -> Doubts:
    """The split at which the work is done is no smaller than the largest that may be adjusted out."""
    if track.good_enough is not None and track.max_split is not None and track.good_enough >= track.max_split:
        most = typed(draft, "track", "max_split")
        why = f"the largest split that may be adjusted out is {most}, so there would be nothing left to adjust"
        yield Doubt(("good_enough",), why, "the split at which the work is done, measured as max_split is")


def _takes(track: Track, rotor: Rotor, split: Quantity | None = None) -> tuple[Fraction, Fraction] | None:
    """Give what the largest split takes in thou, as the total is stated, and how often the total holds that."""
    rate = track_rate(track, rotor.diameter)
    if not isinstance(rate, TrackRate) or track.max_split is None or track.max_total is None:
        return None
    both_move = track.basis in {"total of both", "amount on each"}
    if track.max_total_reads is None or (both_move and track.max_total_of is None):
        return None
    moved = moved_toward_total(track, rate.rate, split or total_of(track, track.max_split))
    if moved is None:
        return None
    needed = magnitude(moved, "thou")
    return needed, magnitude(track.max_total, "thou") / needed


def _first_row_passes(track: Track, rotor: Rotor) -> bool:
    """Whether the first row of the table already takes more than the largest total."""
    if track.max_split is None or not track.points:
        return False
    step = ROW_STEP["inch" if unit_of(track.points[0].rule).shown.endswith("/in") else "metric"]
    takes = _takes(track, rotor, min(step, total_of(track, track.max_split)))
    return takes is not None and takes[1] < 1


def _points(track: Track) -> tuple[TrackPoint, ...]:
    return (track.points or ()) if track.method == "adjuster" else ()


def _diameter(draft: Unjudged) -> str:
    return typed(draft, "rotor", "diameter")
