"""Blade angle by protractor: the window, the same in minutes, and why it cannot set the track.

    rise = lever x sine of the angle

A tenth of a degree on a short pitch lever is more than a whole track correction.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import sqrt

from cardgen.figures.figure import Figure, Parts, computed
from cardgen.figures.rounding import on_grid
from cardgen.spec.bound import Bound
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.bench import Pitch
from cardgen.spec.trig import sine
from cardgen.spec.units import Quantity, magnitude, quantity

_TENTH = quantity(Fraction(1, 10), "deg")


@dataclass(frozen=True)
class PitchFigures:
    """Lowest and highest angle, each also in degrees and minutes; the rise of a tenth of a degree.

    The four ends are missing where the tolerance is not given.
    """

    low: Figure | None
    high: Figure | None
    low_minutes: Figure | None
    high_minutes: Figure | None
    difference_minutes: Figure
    rise_per_tenth: Figure | None


def pitch_figures(spec: RotorSpec) -> PitchFigures | None:
    """Compute the pitch figures, or give nothing where no pitch is stated."""
    pitch = spec.pitch
    if pitch is None:
        return None
    low, low_minutes = _end(pitch, "low", Bound.AT_LEAST, "angle less tolerance")
    high, high_minutes = _end(pitch, "high", Bound.AT_MOST, "angle plus tolerance")
    return PitchFigures(
        low=low,
        high=high,
        low_minutes=low_minutes,
        high_minutes=high_minutes,
        difference_minutes=in_minutes(
            "pitch.difference_minutes", pitch.max_difference, Bound.AT_MOST, ("pitch.max_difference",)
        ),
        rise_per_tenth=_rise(spec),
    )


def _end(pitch: Pitch, end: str, bound: Bound, formula: str) -> tuple[Figure, Figure] | tuple[None, None]:
    if pitch.tolerance is None:
        return None, None
    most = bound is Bound.AT_MOST
    angle: Quantity = pitch.angle + pitch.tolerance if most else pitch.angle - pitch.tolerance
    name = f"pitch.{end}"
    decimal = _decimal(name, angle, bound, formula, ("pitch.angle", "pitch.tolerance"))
    return decimal, in_minutes(f"{name}_minutes", angle, bound, (name,))


def difference(first: tuple[Fraction, ...], second: tuple[Fraction, ...], u: float) -> tuple[Fraction, float]:
    """Give the difference of two blades' mean readings in degrees, and its standard uncertainty.

    ``u`` is that of one mean. The level of the bar cancels if the hub was not moved between.
    """
    means = [sum(readings, Fraction(0)) / len(readings) for readings in (first, second)]
    return means[0] - means[1], sqrt(2) * u


def in_minutes(name: str, angle: Quantity, bound: Bound, inputs: tuple[str, ...]) -> Figure:
    """Write an angle in degrees and whole minutes, rounded to the side that keeps the bound."""
    minutes = on_grid(magnitude(angle, "arcmin"), Fraction(1), bound)
    degrees, rest = divmod(abs(int(minutes)), 60)
    sign = "-" if minutes < 0 else ""
    number = f"{sign}{degrees} deg {rest}" if degrees else f"{sign}{rest}"
    base = computed(
        name,
        quantity(magnitude(angle, "arcmin"), "arcmin"),
        "arcmin",
        decimals=0,
        bound=bound,
        formula="the same angle in degrees and minutes, sixty minutes to the degree",
        inputs=inputs,
    )
    return replace(base, parts=Parts(number, "arcmin"))


def _decimal(name: str, angle: Quantity, bound: Bound, formula: str, inputs: tuple[str, ...]) -> Figure:
    return computed(
        name,
        quantity(magnitude(angle, "deg"), "deg"),
        "deg",
        decimals=2,
        bound=bound,
        formula=formula,
        inputs=inputs,
    )


def _rise(spec: RotorSpec) -> Figure | None:
    if spec.track.lever is None:
        return None
    rise = magnitude(spec.track.lever, "thou") * sine(_TENTH)
    return computed(
        "pitch.rise_per_tenth",
        quantity(rise, "thou"),
        "thou",
        decimals=1,
        formula="adjuster lever times the sine of a tenth of a degree",
        inputs=("track.lever",),
    )
