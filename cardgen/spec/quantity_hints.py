"""From a quantity outside the grammar to the text that was probably meant, for a message only.

Nothing made here is ever used as a value. A step changes how a number is written, never which
number it is; where two readings are possible, such as a comma before three digits, no text is made.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from cardgen.spec.lookalikes import first_lookalike, named, straightened

_FORM = "quantity-form"
_NUMBER = r"(?:\d+\+\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)"
_BETWEEN = r"(?:-|\.\.\.?|…|to|up to|±|\+/-|\+-)"
_RANGE = re.compile(
    rf"(-?{_NUMBER}) ?(?P<unit>[^\d\s+-][^\s+]*)? ?{_BETWEEN} ?(-?{_NUMBER})(?: ?[^\d\s][^\d]*)?", re.ASCII
)
_MIXED = re.compile(r"(?<![\d./+,-])(\d+)(?: ?[+-] ?| )(\d+/\d+)(?![\d/.,])", re.ASCII)
_COMMA = re.compile(r"(?<![\d.,])(?:(\d+),(\d{1,2}|\d{4,6})|(0),(\d{3}))(?![\d.,])", re.ASCII)
_GLUED = re.compile(r"(?<=\d)(?=[^\W\d_]|[°'\"·])")
_SEPARATORS = re.compile(r"[\s.\-*·⋅∙‧]+")
_AND = r"(?:\+|and|,|&)?"
_SUMS = (
    (
        ("ft", "in"),
        rf"(\d+) ?(?:feet|foot|ft\.?|') ?{_AND} ?({_NUMBER}) ?(?:inches|inch|in\.?|\"|'')",
    ),
    (
        ("deg", "arcmin"),
        rf"(\d+) ?(?:degrees?|deg\.?|[°º˚]) ?{_AND} ?({_NUMBER}) ?(?:arcmin|minutes?|min\.?|')",
    ),
)

#: What keepers write by habit for a unit, in small letters and with one kind of separator, and what is meant.
_HABITS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "N·m": ("nm", "n·m", "newton·metre", "newton·metres", "newton·meter", "newton·meters"),
        "in·lbf": (
            *("in·lb", "in·lbs", "inlb", "inlbs", "lb·in", "lbs·in", "lbf·in", "inlbf", "in·lbf"),
            *("inch·lb", "inch·lbs", "inch·pound", "inch·pounds"),
        ),
        "ft·lbf": (
            *("ft·lb", "ft·lbs", "ftlb", "ftlbs", "lb·ft", "lbs·ft", "lbf·ft", "ftlbf", "ft·lbf"),
            *("foot·lb", "foot·lbs", "foot·pound", "foot·pounds"),
        ),
        "thou": ("mil", "mils", "thous", "thousandth", "thousandths"),
        "in": ("inch", "inches", '"', "''"),
        "ft": ("feet", "foot", "'"),
        "m": ("metre", "metres", "meter", "meters"),
        "mm": ("millimetre", "millimetres", "millimeter", "millimeters"),
        "lb": ("lbs", "pound", "pounds"),
        "oz": ("ounce", "ounces"),
        "kg": ("kgs", "kilo", "kilos", "kilogram", "kilograms"),
        "g": ("gr", "gram", "grams", "gramme", "grammes"),
        "deg": ("degree", "degrees"),
        "arcmin": ("minute", "minutes", "'"),
        "h": ("hour", "hours", "hr", "hrs"),
        "kt": ("knot", "knots", "kn", "kts"),
        "rpm": ("r·p·m", "rev/min", "revs/min"),
        "°C": ("c", "celsius", "degrees·celsius", "deg·c"),
    }
)


@dataclass(frozen=True)
class Mended:
    """A text that was probably meant, and the rule and reason of the first thing that was changed."""

    rule: str
    why: str
    text: str


@dataclass(frozen=True)
class _Step:
    rule: str
    why: str
    mend: Callable[[str, tuple[str, ...]], str]


def is_range(text: str) -> bool:
    """Whether a text holds two values, from one to the other, or one with a tolerance."""
    return _RANGE.fullmatch(_joined(_spaced(straightened(text), ()), ())) is not None


def mended(text: str, units: tuple[str, ...]) -> Mended | None:
    """Write a quantity the way the grammar has it, as far as that is beyond doubt; the caller tries it.

    Give nothing where there is nothing to change.
    """
    first: tuple[str, str] | None = None
    for step in (_lookalike(text), *_STEPS):
        after = step.mend(text, units)
        if after != text:
            first = first or (step.rule, step.why.format(unit=text.partition(" ")[2]))
            text = after
    return Mended(*first, text) if first else None


def _lookalike(text: str) -> _Step:
    character = first_lookalike(text)
    said = f"{named(character)} stands in it, which only looks like what is needed" if character else ""
    return _Step(_FORM, said, lambda words, _: straightened(words))


def _spaced(text: str, _: tuple[str, ...]) -> str:
    return " ".join(text.split())


def _in_digits(text: str, _: tuple[str, ...]) -> str:
    """Write a fraction that is one character, such as one half, with digits and a slash."""
    written = ""
    for character in text:
        digits = straightened(unicodedata.normalize("NFKC", character))
        if "/" in digits and character != "/" and digits[:1].isdigit() and digits[-1:].isdigit():
            written = f"{written.rstrip(' ')}+" if written.rstrip(" ")[-1:].isdigit() else written
            written += digits
        else:
            written += character
    return written


def _joined(text: str, _: tuple[str, ...]) -> str:
    return _MIXED.sub(r"\1+\2", text)


def _pointed(text: str, _: tuple[str, ...]) -> str:
    if text.count(",") != 1:
        return text
    return _COMMA.sub(lambda found: f"{found[1] or found[3]}.{found[2] or found[4]}", text)


def _led(text: str, _: tuple[str, ...]) -> str:
    return re.sub(r"(?<![\d.])\.(?=\d)", "0.", text)


def _unsigned(text: str, _: tuple[str, ...]) -> str:
    return re.sub(r"^\+ ?(?=\d)", "", text)


def _added(text: str, units: tuple[str, ...]) -> str:
    for (first, second), form in _SUMS:
        if {first, second} <= set(units) and (found := re.fullmatch(form, text, re.ASCII | re.IGNORECASE)):
            return f"{found[1]} {first} + {found[2]} {second}"
    return text


def _parted(text: str, _: tuple[str, ...]) -> str:
    return _GLUED.sub(" ", text, count=1) if " " not in text.split("/")[0] else text


def _known_unit(text: str, units: tuple[str, ...]) -> str:
    number, space, name = text.partition(" ")
    meant = _unit(name, units) if space else None
    return f"{number} {meant}" if meant else text


def _unit(name: str, units: tuple[str, ...]) -> str | None:
    spoken = re.sub(r"(?i) per | ?/ ?", "/", name)
    if spoken in units:
        return spoken
    for unit in units:
        parts, wanted = spoken.split("/"), unit.split("/")
        if len(parts) == len(wanted) and all(map(_means, parts, wanted)):
            return unit
    return next((unit for unit in units if _means(spoken, unit)), None)


def _means(name: str, unit: str) -> bool:
    spoken = _SEPARATORS.sub("·", name.strip(" .")).lower()
    return spoken == unit.lower() or spoken in _HABITS.get(unit, ())


_PARTED = "number and unit are parted by one space"
_STEPS = (
    _Step(_FORM, f"{_PARTED}, and no other space stands in or around them", _spaced),
    _Step(_FORM, "a fraction is written in digits with a slash", _in_digits),
    _Step(_FORM, "a whole number and its fraction are joined by a plus sign without spaces", _joined),
    _Step("quantity-comma", "a comma is a decimal point to some and a thousands mark to others", _pointed),
    _Step(_FORM, "a number begins with a digit; a point in front is easily overlooked", _led),
    _Step(_FORM, "a number has no plus sign in front", _unsigned),
    _Step(_FORM, "two parts of one measurement have a unit each and a plus sign between them", _added),
    _Step(_FORM, _PARTED, _parted),
    _Step("quantity-unit-unknown", '"{unit}" is not how this file writes a unit', _known_unit),
)
