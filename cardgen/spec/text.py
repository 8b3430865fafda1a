"""Words from the specification, fit to be printed exactly as they were written.

A name that a printer cannot draw, that runs right to left, or that hides a control character
would reach the card changed or not at all. Such text is refused; what passes is printed.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass
from itertools import chain

from cardgen.spec.lookalikes import LOOKALIKES, plain_one

MAX_LENGTH = 200


class Text(str):
    """One line of printable words, normalised (NFC), every character in the embedded type."""

    __slots__ = ()


@dataclass(frozen=True)
class Unprintable:
    """A text that cannot stand on a card, and why."""

    rule: str
    why: str
    write: str


# Ranges of the embedded type (Atkinson Hyperlegible, regular and bold alike), first and last.
# A test compares them with the type's own character map.
_GLYPHS = (
    "20-7e a1-ac ae-107 10a-113 116-11b 11e-123 126-127 12a-12b 12e-12f 131 136-137 13b-13e 141-148 150-155 "
    "158-15b 15e-165 16a-16b 16e-173 178-17e 192 218-21b 2c6-2c7 2d8-2dd 394 3a9 3bc 3c0 2013-2014 "
    "2018-201a 201c-201e 2020-2022 2026 2030 2039-203a 2044 2074 20ac 2113 2122 212e 2202 220f 2211-2212 "
    "2215 2219-221a 221e 222b 2248 2260 2264-2265 25ca"
)


def _spread(ranges: str) -> frozenset[str]:
    ends = [[int(end, 16) for end in part.split("-")] for part in ranges.split()]
    return frozenset(map(chr, chain.from_iterable(range(end[0], end[-1] + 1) for end in ends)))


#: Every visible character that the embedded type can draw by itself, and the plain space.
DRAWABLE = _spread(_GLYPHS)

_BIDI = {"R", "AL", "AN", "RLE", "RLO", "LRE", "LRO", "PDF", "RLI", "LRI", "FSI", "PDI"}


def read_text(raw: str, longest: int = MAX_LENGTH) -> Text | Unprintable:
    """Take a text for printing, or say which character or length stands against it."""
    text = unicodedata.normalize("NFC", raw)
    if not text.strip():
        return Unprintable("text-empty", "an empty text says nothing to the reader", "the words themselves")
    if text != text.strip():
        why = "a space at either end is lost on paper, and two serials would look alike"
        return Unprintable("text-spaces", why, f'"{text.strip()}"')
    if len(text) > longest:
        why = f"{len(text)} characters do not fit; at most {longest} do"
        return Unprintable("text-length", why, "a shorter text")
    for place, character in enumerate(text, start=1):
        if unprintable := _character(character, place):
            return unprintable
    return Text(text)


def _character(character: str, place: int) -> Unprintable | None:
    code = f"character {place}, {_called(character)},"
    remedy = plain_one(character) if character in LOOKALIKES else ""
    if unicodedata.category(character) in {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}:
        if unicodedata.bidirectional(character) in _BIDI or "MARK" in unicodedata.name(character, ""):
            return Unprintable("text-direction", f"{code} turns the direction of writing", "text without it")
        why = f"{code} is invisible and does not print"
        return Unprintable("text-control", why, remedy or "text without it")
    if unicodedata.bidirectional(character) in _BIDI:
        why = f"{code} is written right to left, which the cards cannot set"
        return Unprintable("text-direction", why, "letters that run left to right")
    if unicodedata.category(character) == "Zs" and character != " ":
        why = f"{code} is a space unlike the plain one; two serials would look alike"
        return Unprintable("text-spaces", why, "a plain space")
    if character not in DRAWABLE:
        why = f"{code} is not in the cards' type"
        return Unprintable("text-glyph", why, remedy or "a plain letter or word for it")
    return None


def _called(character: str) -> str:
    """Name a character in small letters, with its code: ``a tab (U+0009)``, ``rightwards arrow (U+2192)``."""
    code = f"U+{ord(character):04X}"
    name = LOOKALIKES[character][0] if character in LOOKALIKES else unicodedata.name(character, "").lower()
    return f"{name} ({code})" if name else code
