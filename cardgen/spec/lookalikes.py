"""Characters that look like one on every keyboard and are another: their names, and the one that is meant.

Word processors, PDFs and telephones put them in by themselves, so whoever copies a value never sees them.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from types import MappingProxyType

_MEANT = {
    "-": "‐‑‒–—−",
    '"': "“”„″",
    "'": "‘’‚′´`",
    " ": "\t\u00a0\u2007\u2009\u202f",
    "/": "⁄∕",
    "x": "×",
    ",": "，",
    "=": "＝",
}
#: Each look-alike, and the plain character it is taken for.
LOOKALIKES: Mapping[str, str] = MappingProxyType(
    {character: meant for meant, characters in _MEANT.items() for character in characters}
)
_PLAIN = str.maketrans(dict(LOOKALIKES))

#: What the others are called in Unicode says enough to a keeper.
_CALLED = dict.fromkeys("“”„‘’‚", "a curly quote") | {
    "\t": "a tab",
    "‐": "a hyphen of another kind",
    "−": "a minus sign of another kind",
}
_SPOKEN = {
    "-": "the hyphen -",
    '"': 'the straight quote "',
    "'": "the straight quote '",
    " ": "a plain space",
    "/": "the slash /",
    "x": "the letter x",
    ",": "a plain comma",
    "=": "a plain equals sign",
}


def straightened(text: str) -> str:
    """Put the plain character in the place of every look-alike."""
    return text.translate(_PLAIN)


def first_lookalike(text: str) -> str | None:
    """Find the first look-alike of a text, or none."""
    return next((character for character in text if character in LOOKALIKES), None)


def named(character: str) -> str:
    """Name a look-alike with its code: ``an en dash (U+2013)``."""
    name = unicodedata.name(character, "").lower()
    article = "an" if name[:1] in {"a", "e", "i", "o"} else "a"
    return f"{_CALLED.get(character, f'{article} {name}')} (U+{ord(character):04X})"


def plain_one(character: str) -> str:
    """Say which key to press instead of a look-alike: ``the hyphen -``."""
    return _SPOKEN[LOOKALIKES[character]]
