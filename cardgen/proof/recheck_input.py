"""A second reading of a specification's numbers: floats in SI units, from the text alone.

Written apart from the grammar and the units that the cards are computed with, and sharing nothing
with them, so that one mistake cannot hide in both. It reads only what the first reading accepted.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from math import pi
from typing import Any

INCH = 0.0254
POUND = 0.45359237
POUND_FORCE = POUND * 9.80665

#: What one of each unit is in SI units; temperatures are left as they are.
SI = {
    "in": INCH,
    "ft": 12 * INCH,
    "thou": INCH / 1000,
    "mm": 0.001,
    "m": 1.0,
    "in·lbf": POUND_FORCE * INCH,
    "ft·lbf": POUND_FORCE * INCH * 12,
    "N·m": 1.0,
    "lbf": POUND_FORCE,
    "N": 1.0,
    "oz": POUND / 16,
    "lb": POUND,
    "g": 0.001,
    "kg": 1.0,
    "rpm": 2 * pi / 60,
    "deg": pi / 180,
    "arcmin": pi / 10800,
    "°C": 1.0,
    "h": 3600.0,
    "kt": 1852 / 3600,
    "thou/in": 0.001,
    "mm/mm": 1.0,
    "flats": pi / 3,
    "m/s": 1.0,
    "ft/s": 12 * INCH,
    "J": 1.0,
    "N/g": 1000.0,
    "N/mm": 1000.0,
    "lbf/in": POUND_FORCE / INCH,
    "deg/thou": pi / 180 / (INCH / 1000),
    "deg/mm": pi / 180 / 0.001,
    "kg/m³": 1.0,
    "lbf/oz": POUND_FORCE / (POUND / 16),
    "kg/m²": 1.0,
    "lb/ft²": POUND / (12 * INCH) ** 2,
    "percent": 0.01,
    "": 1.0,
}
_SPELLINGS = {"in-lbf": "in·lbf", "ft-lbf": "ft·lbf", "N-m": "N·m", "°": "deg", "degC": "°C"}
_ALIKE = str.maketrans("⋅∙‧º˚", "···°°")
_NUMBER = r"\d+(?:\.\d+)?(?:[+-]\d+/\d+|/\d+)?"
_PART = re.compile(rf"({_NUMBER}) ?([^\d\s+-]\S*)?")


def number(text: str) -> float:
    """Read a plain number, a fraction, or a whole with a fraction, typed with + or printed with -."""
    whole, _, fraction = text.replace("-", "+").partition("+")
    return sum(_simple(part) for part in (whole, fraction) if part)


def quantity(text: str) -> tuple[float, str]:
    """Read a quantity to (value in SI units, its last unit); a sign before it is that of all its parts."""
    total, unit = 0.0, ""
    for found in _PART.finditer(text.removeprefix("-").translate(_ALIKE)):
        unit = _SPELLINGS.get(found[2] or "", found[2] or "")
        total += number(found[1]) * SI[unit]
    return -total if text.startswith("-") else total, unit


def si(text: str | None) -> float | None:
    """Read a quantity's value in SI units; nothing stays nothing."""
    return None if text is None else quantity(text)[0]


def thread_pitch(thread: str) -> float:
    """Read the pitch out of a thread's name, in metres: M8x1.25, or 24 to the inch in 3/8-24."""
    if thread.startswith("M"):
        return float(thread.partition("x")[2]) / 1000
    return INCH / float(thread.rpartition("-")[2])


def parsed(text: bytes) -> dict[str, Any]:
    """Parse the specification's text."""
    return tomllib.loads(text.decode("utf-8"))


def leaves(value: Any, key: str = "") -> Iterator[tuple[str, Any]]:
    """Walk to every value of the file, with its key as a keeper says it, counted from 1."""
    if isinstance(value, dict):
        for name, item in value.items():
            yield from leaves(item, f"{key}.{name}" if key else name)
    elif isinstance(value, list):
        for at, item in enumerate(value, 1):
            yield from leaves(item, f"{key}[{at}]")
    else:
        yield key, value


def _simple(text: str) -> float:
    top, _, bottom = text.partition("/")
    return float(top) / float(bottom or 1)
