"""Rounding to the safe side, exactly, on the grid of whatever the hand will read.

A window of allowed values is rounded inward: its low end up, its high end down, so that every
printed value lies inside the exact window. No floating point is involved.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor
from typing import Literal, TypeAlias

#: Up for the low end of a window, down for its high end, nearest for what bounds nothing.
Way: TypeAlias = Literal["up", "down", "nearest"]


def on_grid(value: Fraction, step: Fraction, way: Way) -> Fraction:
    """Round to a whole number of steps; a half is rounded away from zero when ``nearest``."""
    steps = value / step
    if way == "up":
        return ceil(steps) * step
    if way == "down":
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


def printed(value: Fraction, decimals: int, way: Way) -> str:
    """Round to a number of decimals the given way and write it out."""
    return decimal_text(on_grid(value, Fraction(1, 10**decimals), way), decimals)


def decimals_of(value: Fraction, most: int = 6) -> int | None:
    """Count the decimals a value needs to be written exactly, or nothing where ``most`` do not do."""
    return next((count for count in range(most + 1) if (value * 10**count).denominator == 1), None)
