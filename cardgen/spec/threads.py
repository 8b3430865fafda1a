"""Screw threads by their usual names: Unified (3/8-24, 10-32) and ISO metric (M8x1)."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from cardgen.spec.units import Quantity, quantity

_UNIFIED = re.compile(r"(?P<size>\d{1,2}|\d{1,2}/\d{1,2})-(?P<per_inch>\d{1,2})", re.ASCII)
_METRIC = re.compile(r"M(?P<size>\d{1,2}(?:\.\d)?)x(?P<pitch>\d(?:\.\d{1,2})?)", re.ASCII)

# Machine-screw numbers of ASME B1.1: the major diameter is 0.060 in + 0.013 in for each number.
_NUMBERED = range(13)
_LARGEST_INCH = 1


@dataclass(frozen=True)
class Thread:
    """A screw thread: its designation, its series, its pitch and its nominal diameter, both exact."""

    name: str
    unified: bool
    pitch: Quantity
    diameter: Quantity


def read_thread(text: str) -> Thread | None:
    """Read a thread's name, or give nothing where it names no thread that could exist."""
    if match := _UNIFIED.fullmatch(text):
        return _unified(text, match["size"], int(match["per_inch"]))
    if match := _METRIC.fullmatch(text):
        return _metric(text, Fraction(match["size"]), Fraction(match["pitch"]))
    return None


def _unified(name: str, size: str, per_inch: int) -> Thread | None:
    diameter = _unified_diameter(size)
    # Finer than 80 to the inch or coarser than a third of the diameter is no Unified thread.
    if diameter is None or not 8 <= per_inch <= 80 or Fraction(1, per_inch) > diameter / 3:
        return None
    return Thread(name, True, quantity(Fraction(1, per_inch), "in"), quantity(diameter, "in"))


def _unified_diameter(size: str) -> Fraction | None:
    if "/" in size:
        top, bottom = map(int, size.split("/"))
        if bottom == 0 or not 0 < Fraction(top, bottom) <= _LARGEST_INCH:
            return None
        return Fraction(top, bottom)
    if int(size) in _NUMBERED:
        return Fraction(60 + 13 * int(size), 1000)
    return None


def _metric(name: str, diameter: Fraction, pitch: Fraction) -> Thread | None:
    if not 2 <= diameter <= 30 or not Fraction(1, 5) <= pitch <= diameter / 3:
        return None
    return Thread(name, False, quantity(pitch, "mm"), quantity(diameter, "mm"))
