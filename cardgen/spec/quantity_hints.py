"""From a quantity outside the grammar to the text that was probably meant, for a message only.

Nothing made here is ever used as a value. A step changes how a number is written, never which
number it is; where two readings are possible, such as a comma before three digits, no text is made.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from cardgen.spec.spellings import names_of

_NUMBER = r"(?:\d+\+\d+/\d+|\d+/\d+|\d+(?:\.\d+)?|\.\d+)"
_BETWEEN = r"(?:-|\.\.\.?|…|to|up to|±|\+/-|\+-)"
_RANGE = re.compile(
    rf"(-?{_NUMBER}) ?(?P<unit>[^\d\s+-][^\s+]*)? ?{_BETWEEN} ?(-?{_NUMBER})(?: ?[^\d\s][^\d]*)?", re.ASCII
)
#: The digit where a pound has its letter, as in in-1b.
_ONE_FOR_L = re.compile(r"(?<=[A-Za-z][ .·-])1(?=bf?s?\b)", re.ASCII)
_MIXED = re.compile(r"(?<![\d./+,-])([1-9]\d*)(?: ?\+ ?|[- ])(\d+/\d+)(?![\d/.,])", re.ASCII)
_COMMA = re.compile(r"(?<![\d.,])(?:(\d+),(\d{1,2}|\d{4,6})|(0),(\d{3}))(?![\d.,])", re.ASCII)

#: What keepers write for a unit by habit and is not read: it has another meaning elsewhere, or is slang.
_HABITS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "thou": ("mils?",),
        "thou/in": ("mils?/(in|inch)",),
        "kg": ("kilos?",),
        "rpm": ("r[.]p[.]m",),
        "in·lbf": ("in ?/ ?lbs?",),
        "ft·lbf": ("ft ?/ ?lbs?",),
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
    """Whether a plain text holds two values, from one to the other, or one with a tolerance."""
    if _ONE_FOR_L.search(text):
        return False
    return _RANGE.fullmatch(_MIXED.sub(r"\1+\2", text)) is not None


def mended(text: str, units: tuple[str, ...]) -> Mended | None:
    """Write a quantity so that the grammar may read it, as far as that is beyond doubt; the caller tries it.

    Give nothing where there is nothing to change.
    """
    first: tuple[str, str] | None = None
    for step in _STEPS:
        after = step.mend(text, units)
        if after != text:
            first = first or (step.rule, step.why.format(unit=_parts(text)[1]))
            text = after
    return Mended(*first, text) if first else None


def _pointed(text: str, _: tuple[str, ...]) -> str:
    if text.count(",") != 1:
        return text
    return _COMMA.sub(lambda found: f"{found[1] or found[3]}.{found[2] or found[4]}", text)


def _lettered(text: str, _: tuple[str, ...]) -> str:
    return _ONE_FOR_L.sub("l", text)


def _unsigned(text: str, _: tuple[str, ...]) -> str:
    return re.sub(r"^\+ ?(?=[\d.])", "", text)


def _closed(text: str, _: tuple[str, ...]) -> str:
    return re.sub(r"(?<=\d)\.(?!\d)", "", text)


def _added(text: str, _: tuple[str, ...]) -> str:
    return re.sub(r"(?<=[^\d\s]) ?(?:, ?|and |& ?)(?=\d)", " + ", text)


def _known_unit(text: str, units: tuple[str, ...]) -> str:
    number, name = _parts(text)
    meant = _unit(name.removesuffix("."), units)
    return f"{number} {meant}" if meant else text


def _parts(text: str) -> tuple[str, str]:
    """Take a text apart into its number and what stands behind it."""
    found = re.fullmatch(r"(.*\d) ?(\D*)", text, re.ASCII)
    return (found[1], found[2]) if found else (text, "")


def _unit(name: str, units: tuple[str, ...]) -> str | None:
    return next(
        (unit for unit in units if names_of(unit, *_HABITS.get(unit, ()), any_case=True).fullmatch(name)), None
    )


_FORM = "quantity-form"
_STEPS = (
    _Step(_FORM, "the digit 1 stands there in place of the letter l", _lettered),
    _Step("quantity-comma", "a comma is a decimal point to some and a thousands mark to others", _pointed),
    _Step(_FORM, "a number has no plus sign in front", _unsigned),
    _Step(_FORM, "a number does not end with a point", _closed),
    _Step(
        _FORM, "two parts of one measurement have a unit each and a plus sign or nothing between them", _added
    ),
    _Step("quantity-unit-unknown", '"{unit}" is not how this file writes a unit', _known_unit),
)
