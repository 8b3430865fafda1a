"""A second reading of a specification's numbers: floats in SI units, from the text alone.

Written apart from the grammar and the units that the cards are computed with, and sharing nothing
with them, so that one mistake cannot hide in both. It reads only what the first reading accepted.
"""

from __future__ import annotations

import re
import tomllib
import unicodedata
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
    "kgf·cm": 9.80665 / 100,
    "kgf·m": 9.80665,
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
    "in/in": 1.0,
    "mm/mm": 1.0,
    "mm/m": 0.001,
    "deg/in": pi / 180 / INCH,
    "flats/in": pi / 3 / INCH,
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
#: Keys whose value is an angle: there a single stroke behind a number is a minute, elsewhere a foot.
ANGLES = frozenset({"angle", "change", "max_difference", "teeter_angle", "tolerance"})

_ALIKE = str.maketrans(
    {
        **dict.fromkeys("⋅∙‧•", "·"),
        **dict.fromkeys("º˚", "°"),
        **dict.fromkeys("‐‑‒–—―−﹣－", "-"),
        **dict.fromkeys("⁄∕", "/"),
        **dict.fromkeys("′´`‘’‚‛", "'"),
        **dict.fromkeys("″“”„‟＂", '"'),
        **dict.fromkeys("\t\u00a0\u2007\u2009\u202f\u3000", " "),
        "×": "x",
    }
)
_VULGAR = re.compile("[¼-¾⅐-⅞]")
_PIECE = re.compile(r"((?:\d+(?: *\+ *|[ -]))?\d+/\d+|\d*\.?\d+) *([^\d]*)", re.ASCII)

# The words that units are made of, and the shortest way to write each.
_ATOMS = {
    **dict.fromkeys(("inches", "inch", "in", '"', "''"), "in"),
    **dict.fromkeys(("feet", "foot", "ft"), "ft"),
    **dict.fromkeys(("thousandths", "thousandth", "thous", "thou"), "thou"),
    **dict.fromkeys(("millimetres", "millimetre", "millimeters", "millimeter", "mm"), "mm"),
    **dict.fromkeys(("metres", "metre", "meters", "meter", "m"), "m"),
    "cm": "cm",
    "lbf": "lbf",
    **dict.fromkeys(("pounds", "pound", "lbs", "lb"), "lb"),
    **dict.fromkeys(("newtons", "newton", "n"), "N"),
    "kgf": "kgf",
    **dict.fromkeys(("kilogrammes", "kilogramme", "kilograms", "kilogram", "kgs", "kg"), "kg"),
    **dict.fromkeys(("grammes", "gramme", "grams", "gram", "g"), "g"),
    **dict.fromkeys(("ounces", "ounce", "oz"), "oz"),
    **dict.fromkeys(("revs", "rev", "r"), "rev"),
    "rpm": "rpm",
    **dict.fromkeys(("arcminutes", "arcminute", "arcmin", "minutes", "minute", "min"), "min"),
    **dict.fromkeys(("degrees", "degree", "degs", "deg", "°"), "deg"),
    **dict.fromkeys(("celsius", "c"), "C"),
    **dict.fromkeys(("hours", "hour", "hrs", "hr", "h"), "h"),
    **dict.fromkeys(("knots", "knot", "kts", "kt", "kn"), "kt"),
    **dict.fromkeys(("flats", "flat"), "flats"),
}
# The longest first, but lbft is a pound and a foot.
_ATOM = re.compile("|".join(sorted(_ATOMS, key=len, reverse=True)).replace("lbf", "lbf(?!t)"))
# What the words of a unit come to, put together in the order of the alphabet.
_TOGETHER = {
    **dict.fromkeys(("in·lb", "in·lbf"), "in·lbf"),
    **dict.fromkeys(("ft·lb", "ft·lbf"), "ft·lbf"),
    **dict.fromkeys(("cm·kg", "cm·kgf"), "kgf·cm"),
    **dict.fromkeys(("kg·m", "kgf·m"), "kgf·m"),
    **dict.fromkeys(("C", "C·deg"), "°C"),
    "rev/min": "rpm",
    "min": "arcmin",
}


def number(text: str) -> float:
    """Read a plain number, a fraction, or a whole with a fraction behind it."""
    whole, _, fraction = re.sub(r" *\+ *|[ -]", "+", text).rpartition("+")
    return sum(_simple(part) for part in (whole, fraction) if part)


def quantity(text: str, angle: bool = False) -> tuple[float, str]:
    """Read a quantity to (value in SI units, its last unit by its printed name).

    A sign before it is that of all its parts.
    """
    total, unit = 0.0, ""
    text = _VULGAR.sub(lambda found: f"+{unicodedata.normalize('NFKC', found[0])}", text).translate(_ALIKE)
    for digits, name in _PIECE.findall(text.removeprefix("-")):
        unit = _unit(name.strip(" +-"), angle)
        total += number(digits) * SI[unit]
    return -total if text.startswith("-") else total, unit


def _unit(name: str, angle: bool) -> str:
    """Name a unit as it is printed, from the words it is made of."""
    if name in SI:
        return name
    name = re.sub("[ .·*-]", "", name.lower().replace(" of an inch", "").replace(" per ", "/"))
    if name == "'":
        return "arcmin" if angle else "ft"
    sides = ["·".join(sorted(_ATOMS[atom] for atom in _ATOM.findall(side))) for side in name.split("/")]
    together = "/".join(sides)
    return _TOGETHER.get(together, together)


def quantity_at(key: str, text: str) -> tuple[float, str]:
    """Read the quantity that stands at a key, such as ``pitch.angle``."""
    return quantity(text, key.rpartition(".")[2] in ANGLES)


def si(text: str | None, angle: bool = False) -> float | None:
    """Read a quantity's value in SI units; nothing stays nothing."""
    return None if text is None else quantity(text, angle)[0]


def thread_pitch(text: str) -> float:
    """Read a screw thread's pitch in metres: behind the x in millimetres, behind the hyphen to the inch."""
    plain = text.translate(_ALIKE).replace(" ", "").upper()
    if plain.startswith("M"):
        return float(plain.partition("X")[2]) / 1000
    return INCH / float(re.findall(r"-(\d+)", plain)[0])


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
