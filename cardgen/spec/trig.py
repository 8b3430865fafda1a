"""Sine, cosine and tangent of an exact angle, as fractions.

Where an angle has a rational cosine (0, 60, 90 degrees and so on) the value is exact. Elsewhere it
is good to forty decimals, far beyond any scale a hand can read, and the same on every machine.
"""

from __future__ import annotations

from fractions import Fraction

from cardgen.spec.units import Quantity, magnitude

#: The ratio of a circle to its diameter, good to 49 decimals.
PI = Fraction(31415926535897932384626433832795028841971693993751, 10**49)
_GRID = 10**45

# The only cosines of whole fractions of a turn that are rational (Niven's theorem).
_EXACT = {0: Fraction(1), 60: Fraction(1, 2), 90: Fraction(0), 120: Fraction(-1, 2), 180: Fraction(-1)}


def cosine(angle: Quantity) -> Fraction:
    """Give the cosine of an angle."""
    degrees = abs(magnitude(angle, "deg")) % 360
    degrees = min(degrees, 360 - degrees)
    exact = _EXACT.get(int(degrees)) if degrees.denominator == 1 else None
    return _series(degrees * PI / 180) if exact is None else exact


def sine(angle: Quantity) -> Fraction:
    """Give the sine of an angle between -90 and 90 degrees."""
    degrees = magnitude(angle, "deg")
    complement = abs(90 - abs(degrees))
    exact = _EXACT.get(int(complement)) if complement.denominator == 1 else None
    size = _series(complement * PI / 180) if exact is None else exact
    return size if degrees >= 0 else -size


def tangent(angle: Quantity) -> Fraction:
    """Give the tangent of an angle between -90 and 90 degrees, both left out."""
    return sine(angle) / cosine(angle)


def _series(radians: Fraction) -> Fraction:
    square = _cut(radians * radians)
    total = term = Fraction(1)
    count = 0
    while abs(term) > Fraction(1, _GRID):
        count += 2
        term = _cut(-term * square / (count * (count - 1)))
        total += term
    return total


def _cut(value: Fraction) -> Fraction:
    # Fractions would grow without end; five more decimals than are promised are kept.
    return Fraction(round(value * _GRID), _GRID)
