"""The track rule against what the blades' air forces and inertia make of it.

The estimate is an order of magnitude. It catches a lever of another dimension, a basis or a
split taken for another, a unit slip; it supplies nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from cardgen.spec import physics
from cardgen.spec.model.identity import Blades, Rotor
from cardgen.spec.model.track import Track, TrackPoint
from cardgen.spec.physics import Blade, metres
from cardgen.spec.rate import TrackRate, measures, per_total, rate_at, track_rate
from cardgen.spec.rules.rule import Doubt, Doubts, rule, typed
from cardgen.spec.rules.track_marks import TURNBUCKLE
from cardgen.spec.units import Quantity, magnitude, quantity, unit_of
from cardgen.spec.unjudged import Unjudged

#: A rule this many times the estimate, or this part of it, is not that of such a rotor.
_FACTOR = 3
#: Two readings of a rule agree with the estimate when neither is twice the other.
_CLOSE = 1.5
#: Real rotors differ from the estimate by four tenths either way; more begins to look like a factor of two.
_UNLIKE = 1.67
_SHOWN = {"a length": "thou", "an angle": "deg", "flats": "flats"}
_BASES = ("one blade", "total of both", "amount on each", "whole bar")
#: What the comparison is made of.
_COMPARED = (
    "track: method, split, basis, rule_reads, interpolate, lever, dial_lever, adjuster_thread, "
    f"points[].diameter, points[].chord, points[].rule, {TURNBUCKLE}",
    "rotor: diameter",
    "blades: chord, mass",
)


@dataclass(frozen=True)
class _Compared:
    """A stated rule beside its estimate, both in thou an inch of total split, at one place."""

    point: int
    stated: float
    one_blade: float
    per_unit: float = 1.0
    unit: str = "thou"

    def shown(self, thou: float, figures: int = 3) -> str:
        """Write an amount in what the rule states: thousandths, degrees or flats."""
        return f"{thou / self.per_unit:.{figures}g} {self.unit}"


@rule("track-rule-physics", *_COMPARED, "draft", kind="flag")
def track_rule_physics(track: Track, rotor: Rotor, blades: Blades, draft: Unjudged) -> Doubts:
    """The track rule is more than three times, or less than a third of, what physics makes one expect."""
    for found in _compared(track, rotor, blades):
        estimate = _expected(found, str(track.basis))
        ratio = found.stated / estimate
        if not 1 / _FACTOR <= ratio <= _FACTOR:
            shown = typed(draft, "track", "points", found.point, "rule")
            why = (
                f"{shown}, measured as this file says, is {found.shown(found.stated)} for each inch from "
                f"tip to tip, and the blades' mass and chord make one expect something like "
                f"{found.shown(estimate, 2)}. {_would_agree(found, track)}"
            )
            write = "rule, basis, split, rule_reads and the levers again from the maker's document"
            yield Doubt(("points", found.point, "rule"), why, write)


@rule("track-rule-unlike", *_COMPARED, kind="warning")
def track_rule_unlike(track: Track, rotor: Rotor, blades: Blades) -> Doubts:
    """The track rule is about twice, or about half, what physics makes one expect."""
    for found in _compared(track, rotor, blades):
        ratio = found.stated / _expected(found, str(track.basis))
        if 1 / _FACTOR <= ratio < 1 / _UNLIKE or _UNLIKE < ratio <= _FACTOR:
            why = (
                f"this is {ratio:.2g} times what the blades' mass and chord make one expect, as if a "
                "basis, a split "
                f"or a lever were taken for another. {_would_agree(found, track)}"
            )
            write = "nothing, if the maker's document bears out rule, basis, split and levers"
            yield Doubt(("points", found.point, "rule"), why, write)


@rule("track-physics-impossible", "blades: mass", "track: method, points", kind="warning")
def track_physics_impossible(blades: Blades, track: Track) -> Doubts:
    """The track rule cannot be compared with physics: the mass of a blade or a lever is not given."""
    if track.method == "adjuster" and track.points and blades.mass is None:
        why = "without the mass of a blade the track rule could not be compared with physics"
        yield Doubt(("mass",), why, "the mass of one blade, if it is known")


@rule(
    "track-physics-impossible",
    f"track: method, split, rule_reads, lever, dial_lever, adjuster_thread, points[].rule, {TURNBUCKLE}",
    kind="warning",
)
def track_lever_unknown(track: Track) -> Doubts:
    """The track rule cannot be compared with physics: the mass of a blade or a lever is not given."""
    points = track.points if track.method == "adjuster" else None
    if points and _at(track, points[0].rule) is None and track.lever is None:
        why = "without the lever of the adjuster the track rule could not be compared with physics"
        yield Doubt(("lever",), why, "the distance from the pitch pivot line to the adjuster, if it is known")


def _compared(track: Track, rotor: Rotor, blades: Blades) -> Iterator[_Compared]:
    """Compare every point that this rotor's rule is taken from, each with its own rotor."""
    rate = track_rate(track, rotor.diameter)
    if blades.mass is None or track.basis is None or not isinstance(rate, TrackRate):
        return
    for place in rate.points:
        point = (track.points or ())[place]
        at = _at(track, point.rule)
        if at is not None:
            stated, lever, per_unit = at
            blade = _blade_of(point, rotor, blades, blades.mass)
            expected = 1000 * physics.track_rate(blade, metres(lever), "one blade")
            unit = _SHOWN[measures(point.rule)]
            yield _Compared(place, float(magnitude(stated, "thou/in")), expected, per_unit, unit)


def _blade_of(point: TrackPoint, rotor: Rotor, blades: Blades, mass: Quantity) -> Blade:
    """Give the blade of a point's rotor: as heavy for each foot of radius as this rotor's own."""
    own = Blade.of(rotor.diameter, blades.chord, mass)
    radius = metres(point.diameter) / 2
    return Blade(radius, metres(point.chord), own.mass * radius / own.radius)


def _at(track: Track, rule_: Quantity) -> tuple[Quantity, Quantity, float] | None:
    """Give a rule as a length per length at an arm, the arm, and the thousandths of one of its own units there.

    A rule read on the dial and the estimate at the dial differ from those at the adjuster by the same
    ratio of arms, so that the comparison is that at the adjuster even where its arm is not given. An
    angle is the same at any arm.
    """
    stated = per_total(track, rule_)
    kind, any_arm = measures(rule_), quantity(1, "in")
    made: Quantity | None = stated
    arm = track.dial_lever if track.rule_reads == "dial" else track.lever
    if kind == "an angle":
        arm, made = any_arm, rate_at(track.model_copy(update={"lever": any_arm}), stated).adjuster
    elif kind == "flats":
        arm, made = track.lever, rate_at(track, stated).adjuster
    if arm is None or made is None:
        return None
    unit = "thou/in" if kind == "a length" else unit_of(stated).shown
    return made, arm, float(magnitude(made, "thou/in") / magnitude(stated, unit))


def _expected(found: _Compared, basis: str) -> float:
    return found.one_blade if basis in _BASES[:2] else found.one_blade / 2


def _would_agree(found: _Compared, track: Track) -> str:
    """Name what alone would bring the figure near the estimate, if it were read otherwise; choose nothing."""
    bases = [basis for basis in _BASES if basis != track.basis and _close(found.stated, found, basis)]
    if bases:
        named = " or ".join(f'"{basis}"' for basis in bases)
        return f"The two would agree if the basis were {named}, and only the maker's document can tell"
    other, change = ("half", Fraction(1, 2)) if track.split == "total" else ("total", Fraction(2))
    if _close(found.stated * float(change), found, str(track.basis)):
        return f'The two would agree if the split were "{other}", and only the maker\'s document can tell'
    return "No other basis or split would bring the two together, so look at units and levers"


def _close(stated: float, found: _Compared, basis: str) -> bool:
    return 1 / _CLOSE <= stated / _expected(found, basis) <= _CLOSE
