"""Rounding to the safe side, exactly, on the grid of whatever the hand will read.

A window of allowed values is rounded inward: what is allowed at least up, what is allowed at most
down, so that every printed value lies inside the exact window. No floating point is involved.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

from cardgen.spec.bound import Bound


def on_grid(value: Fraction, step: Fraction, bound: Bound = Bound.NEITHER) -> Fraction:
    """Round to a whole number of steps; what bounds nothing to the nearest, a half away from zero."""
    steps = value / step
    if bound is Bound.AT_LEAST:
        return ceil(steps) * step
    if bound is Bound.AT_MOST:
        return floor(steps) * step
    return (floor(steps + Fraction(1, 2)) if steps >= 0 else ceil(steps - Fraction(1, 2))) * step


def decimal_text(value: Fraction, decimals: int) -> str:
    """Write a value that lies on the decimal grid: 196.5 with one decimal, 60 with none."""
    scaled = value * 10**decimals
    if scaled.denominator != 1:
        raise ValueError(f"{value} has more than {decimals} decimals")
    whole, rest = divmod(abs(scaled.numerator), 10**decimals)
    sign = "-" if scaled < 0 else ""
    return f"{sign}{whole}.{rest:0{decimals}d}" if decimals else f"{sign}{whole}"


def printed(value: Fraction, decimals: int, bound: Bound = Bound.NEITHER) -> str:
    """Round to a number of decimals, to the side that keeps the bound, and write it out."""
    return decimal_text(on_grid(value, Fraction(1, 10**decimals), bound), decimals)


def decimals_of(value: Fraction, most: int = 6) -> int | None:
    """Count the decimals a value needs to be written exactly, or nothing where ``most`` do not do."""
    return next((count for count in range(most + 1) if (value * 10**count).denominator == 1), None)
