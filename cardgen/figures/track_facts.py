"""What a track table says beside its rows: the rate, the limits, a dial's false reading."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from cardgen.figures.figure import Figure, computed, source_and_origin, stated
from cardgen.figures.track_verdict import DIFFERENT, smallest_first_split
from cardgen.spec.bound import Bound
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.track import Track
from cardgen.spec.rate import ROW_STEP, TrackRate, total_of
from cardgen.spec.trig import tangent
from cardgen.spec.units import Quantity, magnitude, quantity, unit_of


@dataclass(frozen=True)
class Scale:
    """What a table is ruled and read in: its length units, row spacing, and the finest mark."""

    split: str
    row: Fraction
    thin: str
    decimals: int
    mark: Fraction


#: One standard deviation of a split reading in inches: to a quarter inch by eye, to a sixteenth on
#: a picture with a ruler of known height in it. Common practice, no source.
READING: Mapping[str, Fraction] = {"by eye": Fraction(1, 4), "video": Fraction(1, 16)}

#: Decimals that a rate is printed with, by its unit.
_RATE_DECIMALS = {"thou/in": 2, "in/in": 5, "mm/mm": 5, "mm/m": 2, "deg/in": 3, "flats/in": 2}

INCH = Scale("in", magnitude(ROW_STEP["inch"], "in"), "thou", 1, Fraction(1, 2))
METRIC = Scale("mm", magnitude(ROW_STEP["metric"], "mm"), "mm", 2, Fraction(1, 100))


def rate_figure(spec: RotorSpec, found: TrackRate) -> Figure:
    """Give the rate for each unit of total split; as typed where a point states just that."""
    halved = spec.track.split == "half"
    if not found.interpolated and not halved:
        return _renamed(stated(spec, ("track", "points", found.points[0], "rule")), "track.rate")
    steps = []
    if halved:
        steps.append("half the rule for each unit of half split, so that it counts total split")
    if found.interpolated:
        steps.append("on the straight line between the two points next to this diameter")
    return _rate_figure("track.rate", found.rate, " and ".join(steps), spec, found)


def first_rate_figure(spec: RotorSpec, found: TrackRate) -> Figure:
    """Give the smaller end value of an interpolation, for the first step."""
    formula = "the smaller of the two rates interpolated between"
    return _rate_figure("track.rate_first_step", found.first_step, formula, spec, found)


def _rate_figure(name: str, rate: Quantity, formula: str, spec: RotorSpec, found: TrackRate) -> Figure:
    unit = unit_of(rate).shown
    keys = tuple(f"track.points[{at + 1}].rule" for at in found.points)
    sizes = tuple(f"track.points[{at + 1}].diameter" for at in found.points)
    return computed(
        name,
        rate,
        unit,
        decimals=_RATE_DECIMALS[unit],
        bound=Bound.AT_MOST,
        formula=formula,
        inputs=(*keys, *sizes, "rotor.diameter") if found.interpolated else keys,
        reference=rule_sources(spec, found),
    )


def max_split_figure(spec: RotorSpec, most: Quantity) -> Figure:
    """Give the largest split as a total split."""
    path = ("track", "max_split")
    if spec.track.split != "half":
        return stated(spec, path)
    source, _ = source_and_origin(spec, path)
    return computed(
        "track.max_split",
        most,
        unit_of(most).shown,
        decimals=3,
        bound=Bound.AT_MOST,
        formula="twice the largest half split, so that it is a total split",
        inputs=("track.max_split_stated",),
        reference=source,
    )


def max_split_as_stated(spec: RotorSpec) -> Figure | None:
    """Give the largest split as typed where that is half a split, else nothing."""
    if spec.track.split != "half":
        return None
    return _renamed(stated(spec, ("track", "max_split")), "track.max_split_stated")


def good_enough_figure(spec: RotorSpec) -> Figure | None:
    """Give the split at which the work is done, as a total split; nothing where it is not given."""
    stated_as = spec.track.good_enough
    if stated_as is None:
        return None
    path = ("track", "good_enough")
    if spec.track.split != "half":
        return stated(spec, path)
    source, origin = source_and_origin(spec, path)
    doubled = total_of(spec.track, stated_as)
    return computed(
        "track.good_enough_total",
        doubled,
        unit_of(doubled).shown,
        decimals=3,
        bound=Bound.AT_MOST,
        formula="twice the half split at which the work is done, so that it is a total split",
        inputs=("track.good_enough",),
        reference=source,
        origin=origin,
    )


def false_reading(track: Track, scale: Scale, name: str, degrees: Fraction) -> Figure | None:
    """Give what a dial off the teeter axis shows when the bar teeters; the larger way round."""
    if track.dial_offset is None:
        return None
    shown = magnitude(track.dial_offset, scale.thin) * tangent(quantity(degrees, "deg"))
    return computed(
        f"track.false_reading.{name}",
        quantity(shown, scale.thin),
        scale.thin,
        decimals=scale.decimals,
        bound=Bound.AT_LEAST,
        formula="dial offset times the tangent of the angle the bar teeters",
        inputs=("track.dial_offset",),
    )


def judged_figure(scale: Scale, method: str, name: str, found: TrackRate) -> Figure:
    """Give the smallest first split after which a second reading tells anything.

    A first step between two points is smaller than the rate asks for, so its split must be larger.
    """
    unit = unit_of(found.rate).shown
    weaker = magnitude(found.rate, unit) / magnitude(found.first_step, unit)
    least = quantity(smallest_first_split(READING[method]) * weaker, "in")
    formula = f"spread of one reading {name.replace('_', ' ')}, times 1.65, over a quarter"
    return computed(
        f"track.judged.{name}",
        quantity(magnitude(least, scale.split), scale.split),
        scale.split,
        decimals=2 if scale.split == "in" else 0,
        bound=Bound.AT_LEAST,
        formula=f"{formula}, times the rate over that of the first step" if found.interpolated else formula,
        inputs=("track.rate", "track.rate_first_step") if found.interpolated else (),
    )


def differs_figure(scale: Scale, method: str, name: str) -> Figure:
    """Give how far two readings of one split must be apart before they differ beyond chance.

    By chance two readings are further apart once in twenty: 1.96 times the root of two, about 2.8.
    """
    apart = quantity(DIFFERENT * READING[method], "in")
    return computed(
        f"track.differs.{name}",
        quantity(magnitude(apart, scale.split), scale.split),
        scale.split,
        decimals=2 if scale.split == "in" else 1,
        formula=f"spread of one reading {name.replace('_', ' ')}, times 2.8",
        inputs=(),
    )


def rule_sources(spec: RotorSpec, found: TrackRate) -> str:
    """Name the sources of the points that a rate was taken from."""
    sources = [source_and_origin(spec, ("track", "points", at, "rule"))[0] for at in found.points]
    return ", ".join(dict.fromkeys(sources))


def _renamed(figure: Figure, name: str) -> Figure:
    return replace(figure, id=name, formula="as stated", inputs=(figure.id,), bound=Bound.AT_MOST)
