"""How people write units, signs and fractions, and the one way that is meant by it.

Only what has one meaning for its kind of measurement stands here: ``5'`` is five feet where a length is
asked for and five minutes where an angle is, while ``5"`` of an angle could be inches or seconds of arc
and is in no list. A ``mil``, ``MM``, a grain and a brand's own name are left out for the same reason.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from functools import cache
from types import MappingProxyType

from cardgen.spec.lookalikes import straightened
from cardgen.spec.units import UNITS, Unit

_POUNDS = "(lbf|lbs?|pounds?)"
_THOU = "(thous?|thousandths?)"

# Each unit by its printed name, and how it may be written: a regular expression of the plainest kind, in
# which a middle dot is whatever parts two words (space, hyphen, full stop, dot) or nothing. A pound or
# kilogram times a length can only be a torque; alone it is a mass.
_WRITTEN: Mapping[str, str] = MappingProxyType(
    {
        "in": "in|inch|inches|\"|''",
        "ft": "ft|foot|feet|'",
        "thou": f"{_THOU}|thousandths? of an inch",
        "mm": "mm|millimet(re|er)s?",
        "m": "m|met(re|er)s?",
        "in·lbf": f"(in|inch)·{_POUNDS}|{_POUNDS}·(in|inch|inches)",
        "ft·lbf": f"(ft|foot)·{_POUNDS}|{_POUNDS}·(ft|foot|feet)",
        "N·m": "N·m|newton·met(re|er)s?",
        "kgf·cm": "kgf?·cm|cm·kgf?",
        "kgf·m": "kgf?·m|m·kgf?",
        "lbf": "lbf",
        "N": "N|newtons?",
        "oz": "oz|ounces?",
        "lb": "lbs?|pounds?",
        "g": "g|grams?|grammes?",
        "kg": "kgs?|kilograms?|kilogrammes?",
        "rpm": "rpm|RPM|r/min|revs?/min",
        "deg": "°|deg|degs|DEG|degrees?",
        "arcmin": "arcmin|arc·minutes?|min|minutes?|'",
        "°C": "°·C|C|deg·C|degrees?·(C|Celsius|celsius)|Celsius|celsius",
        "h": "h|hrs?|hours?",
        "kt": "kt|kts|KT|KTS|kn|knots?",
        "thou/in": f"{_THOU}/(in|inch)",
        "in/in": "(in|inch|inches)/(in|inch)",
        "mm/mm": "(mm|millimet(re|er)s?)/(mm|millimet(re|er))",
        "mm/m": "(mm|millimet(re|er)s?)/(m|met(re|er))",
        "deg/in": "(°|deg|degrees?)/(in|inch)",
        "flats/in": "flats?/(in|inch)",
    }
)

_DOTS = str.maketrans({"⋅": "·", "∙": "·", "‧": "·", "•": "·", "º": "°", "˚": "°"})
_PARTING = "[ .·*-]{0,3}"


def plain(text: str) -> str:
    """Write a text with the signs of a plain keyboard, fractions in digits, and single spaces.

    Nothing changes but how it is written: a minus sign of another kind, a prime, a thin space, a
    fraction that is one character.
    """
    text = straightened(text if text.isascii() else _in_digits(text).translate(_DOTS))
    return re.sub(" +", " ", text).strip(" ")


def unit_named(name: str, units: Iterable[str]) -> Unit | None:
    """Find which of some units a plain text names, or none."""
    if name in units:
        return UNITS[name]
    name = re.sub(" ?/ ?| per ", "/", name.removesuffix("."))
    return next((UNITS[unit] for unit in units if names_of(unit).fullmatch(name)), None)


def written(unit: str) -> str:
    """Give the regular expression of every way to write a unit; a middle dot in it may be anything that parts.

    Inch papers are often in capitals throughout, which change nothing there; in the metric system they do.
    """
    forms = _WRITTEN[unit]
    return f"{forms}|{forms.upper()}" if UNITS[unit].system == "inch" else forms


@cache
def names_of(unit: str, *more: str, any_case: bool = False) -> re.Pattern[str]:
    """Compile the ways to write a unit, with ``more`` of the same kind, for a plain text."""
    forms = "|".join((written(unit), *more)).replace("·", _PARTING)
    return re.compile(forms, re.ASCII | (re.IGNORECASE if any_case else 0))


def _in_digits(text: str) -> str:
    """Write a fraction that is one character, such as one half, with digits, a slash and a plus sign before."""
    written = ""
    for character in text:
        digits = straightened(unicodedata.normalize("NFKC", character))
        if character != digits and re.fullmatch(r"\d/\d\d?", digits, re.ASCII):
            before = written.rstrip(" ")
            written = f"{before}+{digits}" if before[-1:].isdigit() else written + digits
        else:
            written += character
    return written
