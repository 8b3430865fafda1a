"""The track rule for one rotor's diameter: a stated point, or between two stated points.

Whatever the maker's splits are measured from, everything that leaves this module is per *total*
split, high tip to low tip. A rule for each unit of half split is twice the rule for each unit of
total split, so it is halved here, once, before anything else is done with it.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import pairwise

from cardgen.spec.model.track import Track, TrackPoint
from cardgen.spec.trig import PI
from cardgen.spec.units import Quantity, magnitude, quantity, unit_of

#: How far apart the rows of a track table are, by the system its rule is stated in.
ROW_STEP = {"inch": quantity(Fraction(1, 4), "in"), "metric": quantity(5, "mm")}

#: How far a rotor may be from a stated point and still be that rotor: a quarter inch.
SAME_DIAMETER = quantity(Fraction(1, 4), "in")


class WhyNot(StrEnum):
    """Why no rule can be given for this diameter."""

    NOT_ADJUSTED = "this rotor's track is read and not adjusted"
    NO_POINT = "no track rule is stated"
    NO_SPLIT = "it is not stated how the split is measured"
    TWO_POINTS = "two track rules are stated for the same diameter"
    OUTSIDE = "the diameter lies outside every stated rule, and nothing is carried on beyond them"
    TWO_KINDS = "the track rules next to this diameter measure different things"
    NOT_ALLOWED = "the diameter lies between two stated rules, and the maker does not allow values between"


@dataclass(frozen=True)
class TrackRate:
    """Adjustment for each unit of total split, exact, and what it was taken from.

    ``first_step`` is the smaller of the two end values where the rate lies between two points, else
    the rate itself. ``points`` are the places in the list, counted from 0, of the points used.
    """

    rate: Quantity
    first_step: Quantity
    points: tuple[int, ...]

    @property
    def interpolated(self) -> bool:
        """Whether the rate lies between two stated points."""
        return len(self.points) == 2


@dataclass(frozen=True)
class NoRate:
    """There is no rule for this diameter."""

    reason: WhyNot


@dataclass(frozen=True)
class RateAt:
    """What a rule asks for each unit of split, as lengths: at the adjuster and under the dial.

    One of the two is missing where no lever says how the one follows from the other.
    """

    adjuster: Quantity | None
    dial: Quantity | None


def measures(rule: Quantity) -> str:
    """Say what a rule states for each unit of split: a length, an angle of the blade, or flats."""
    return {"deg/in": "an angle", "flats/in": "flats"}.get(unit_of(rule).shown, "a length")


def is_turnbuckle(track: Track) -> bool:
    """Whether a part is made longer or shorter as a whole.

    With a left-hand thread at one end and a right-hand one at the other it moves two pitches a turn, so
    neither do its flats follow from a length, nor a length from its flats.
    """
    both = [moves for moves in (track.to_lower, track.to_raise) if moves is not None]
    return any(move.shorten or move.lengthen for moves in both for move in (moves.a, moves.b))


def rate_at(track: Track, rate: Quantity) -> RateAt:
    """Say what a rule makes at the adjuster and under the dial.

    The pitch block is a lever: adjuster and dial move as their distances from the pitch pivot line. A rule
    in flats turns the adjuster's thread by sixths of a turn; a rule in degrees turns the blade, and each place
    moves by its distance times the angle (the arc; the chord differs by less than a part in a thousand here).
    Of flats of a turnbuckle neither is known.
    """
    unit = unit_of(rate).shown
    if unit == "deg/in":
        radians = magnitude(rate, unit) * PI / 180
        return RateAt(_arc(track.lever, radians), _arc(track.dial_lever, radians))
    ratio = dial_over_adjuster(track)
    if unit == "flats/in":
        if track.adjuster_thread is None or is_turnbuckle(track):
            return RateAt(None, None)
        made = quantity(magnitude(rate, unit) * magnitude(track.adjuster_thread.pitch, "thou") / 6, "thou/in")
        return RateAt(made, None if ratio is None else made * ratio)
    if track.rule_reads == "dial":
        return RateAt(None if ratio is None else rate / ratio, rate)
    return RateAt(rate, None if ratio is None else rate * ratio)


def moved_toward_total(track: Track, rate: Quantity, split: Quantity) -> Quantity | None:
    """Give what a split takes of the largest total, read where and counted as that is stated.

    Nothing where no lever leads from the rule to the place that the total is read at.
    """
    at = rate_at(track, rate)
    moved = at.dial if track.max_total_reads == "dial" else at.adjuster
    return None if moved is None else moved * split * blades_counted(track)


def blades_counted(track: Track) -> Fraction:
    """How much of what the rule makes counts against the largest total: of one blade, or of both, added."""
    added = track.max_total_of == "both, added"
    if track.basis == "total of both":
        return Fraction(1) if added else Fraction(1, 2)
    return Fraction(2) if track.basis == "amount on each" and added else Fraction(1)


def dial_over_adjuster(track: Track) -> Fraction | None:
    """Give how far the dial moves for each unit at the adjuster, where both levers are stated."""
    if track.lever is None or track.dial_lever is None:
        return None
    return magnitude(track.dial_lever, "in") / magnitude(track.lever, "in")


def _arc(lever: Quantity | None, radians: Fraction) -> Quantity | None:
    return None if lever is None else quantity(radians * magnitude(lever, "thou"), "thou/in")


def track_rate(track: Track, diameter: Quantity) -> TrackRate | NoRate:
    """Find the rule for a diameter: a point within a quarter inch, or between the two next to it.

    Nothing is ever taken from beyond the outermost points.
    """
    if track.method == "none":
        return NoRate(WhyNot.NOT_ADJUSTED)
    if not track.points:
        return NoRate(WhyNot.NO_POINT)
    if track.split is None:
        return NoRate(WhyNot.NO_SPLIT)
    points = track.points
    sizes = [magnitude(point.diameter, "in") for point in points]
    if len(set(sizes)) < len(sizes):
        return NoRate(WhyNot.TWO_POINTS)
    size, same = magnitude(diameter, "in"), magnitude(SAME_DIAMETER, "in")
    near = [at for at, each in enumerate(sizes) if abs(each - size) <= same]
    if len(near) > 1:
        return NoRate(WhyNot.TWO_POINTS)
    if near:
        rate = per_total(track, points[near[0]].rule)
        return TrackRate(rate, rate, (near[0],))
    return _between(track, points, sizes, size)


def per_total(track: Track, rule: Quantity) -> Quantity:
    """Convert a rule as stated to one for each unit of total split."""
    return rule / 2 if track.split == "half" else rule


def total_of(track: Track, split: Quantity) -> Quantity:
    """Convert a split measured as the specification says to a total split."""
    return split * 2 if track.split == "half" else split


def _between(
    track: Track, points: tuple[TrackPoint, ...], sizes: list[Fraction], size: Fraction
) -> TrackRate | NoRate:
    for small, large in pairwise(sorted(range(len(points)), key=sizes.__getitem__)):
        low, high = sizes[small], sizes[large]
        if low < size < high:
            if not track.interpolate:
                return NoRate(WhyNot.NOT_ALLOWED)
            if measures(points[small].rule) != measures(points[large].rule):
                return NoRate(WhyNot.TWO_KINDS)
            first, second = per_total(track, points[small].rule), per_total(track, points[large].rule)
            rate: Quantity = first + (second - first) * ((size - low) / (high - low))
            return TrackRate(rate, min(first, second), (small, large))
    return NoRate(WhyNot.OUTSIDE)
