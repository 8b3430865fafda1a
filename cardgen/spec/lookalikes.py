"""Characters that look like one on every keyboard and are another: their names, and the one that is meant.

Word processors, PDFs and telephones put them in by themselves, so whoever copies a value never sees them.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

_DASHES = {
    "‐": "a hyphen of another kind",
    "‑": "a hyphen that does not break",
    "‒": "a figure dash",
    "–": "an en dash",
    "—": "an em dash",
    "―": "a horizontal bar",
    "−": "a minus sign of another kind",
    "﹣": "a small hyphen",
    "－": "a wide hyphen",
}
_DOUBLE = dict.fromkeys("“”„‟", "a curly quote") | {"″": "a double prime", "＂": "a wide quote"}
_SINGLE = dict.fromkeys("‘’‚‛", "a curly quote") | {
    "′": "a prime",
    "´": "an accent",
    "`": "an accent",
}
_SPACES = {
    "\t": "a tab",
    "\u00a0": "a no-break space",
    "\u202f": "a narrow no-break space",
    "\u2007": "a figure space",
    "\u2009": "a thin space",
    "\u3000": "a wide space",
}
_OTHERS = {
    "⁄": ("a fraction slash", "/"),
    "∕": ("a division slash", "/"),
    "×": ("a multiplication sign", "x"),
    "，": ("a wide comma", ","),
    "＝": ("a wide equals sign", "="),
}

#: Each look-alike, what it is called, and the plain character it is taken for.
LOOKALIKES: Mapping[str, tuple[str, str]] = MappingProxyType(
    {character: (name, "-") for character, name in _DASHES.items()}
    | {character: (name, '"') for character, name in _DOUBLE.items()}
    | {character: (name, "'") for character, name in _SINGLE.items()}
    | {character: (name, " ") for character, name in _SPACES.items()}
    | _OTHERS
)
_PLAIN = str.maketrans({character: meant for character, (_, meant) in LOOKALIKES.items()})
_SPOKEN = MappingProxyType(
    {
        "-": "the hyphen -",
        '"': 'the straight quote "',
        "'": "the straight quote '",
        " ": "a plain space",
        "/": "the slash /",
        "x": "the letter x",
        ",": "a plain comma",
        "=": "a plain equals sign",
    }
)


def straightened(text: str) -> str:
    """Put the plain character in the place of every look-alike."""
    return text.translate(_PLAIN)


def first_lookalike(text: str) -> str | None:
    """Find the first look-alike of a text, or none."""
    return next((character for character in text if character in LOOKALIKES), None)


def named(character: str) -> str:
    """Name a look-alike with its code: ``an en dash (U+2013)``."""
    return f"{LOOKALIKES[character][0]} (U+{ord(character):04X})"


def plain_one(character: str) -> str:
    """Say which key to press instead of a look-alike: ``the hyphen -``."""
    return _SPOKEN[LOOKALIKES[character][1]]
