"""The set code: nine characters that stand on every side and say which deck it belongs to.

Eight characters carry 40 bits of a hash over everything that makes the deck; the ninth checks
them. The code shows that two things are the same deck. It approves nothing.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from cardgen.spec.canonical import canonical
from cardgen.spec.code_letters import (
    ALPHABET,
    LENGTH,
    NoLetters,
    check_character,
    count_letters,
    letters_of,
    read_letters,
)

__all__ = [
    "ALPHABET",
    "LENGTH",
    "Code",
    "CodeIdentity",
    "Mistyped",
    "check_character",
    "code_of",
    "has_nine",
    "read_code",
    "set_code",
]


class Code(str):
    """A well-formed set code in the form that is printed: ``7KM2-9QXD-P``."""

    __slots__ = ()


@dataclass(frozen=True)
class Mistyped:
    """What cannot be a set code, why, and what to do."""

    read: str
    why: str
    write: str


@dataclass(frozen=True)
class CodeIdentity:
    """Everything that makes a deck this deck and no other.

    ``spec`` is the parsed specification, ``figures`` the printed text by figure id, ``version``
    the program's version, ``layouts`` a hash over the folder of layouts. ``register`` says in which
    register it is entered and where that one's chain ended, ``printed`` is a hash over all that its cards say.
    """

    set_id: str
    revision: int
    issued: date
    spec: Mapping[str, object]
    figures: Mapping[str, str]
    version: str
    layouts: str
    register: str
    printed: str


def set_code(identity: CodeIdentity, tie: int = 0) -> Code:
    """Make the code of a deck; ``tie`` counts up when another deck already has the code."""
    content = canonical(
        {
            "set_id": identity.set_id,
            "revision": identity.revision,
            "issued": identity.issued,
            "spec": identity.spec,
            "figures": identity.figures,
            "version": identity.version,
            "layouts": identity.layouts,
            "register": identity.register,
            "printed": identity.printed,
            "tie": tie,
        }
    )
    return code_of(int.from_bytes(hashlib.sha256(content).digest()[:5], "big"))


def code_of(number: int) -> Code:
    """Spell a number of 40 bits as a code with its check character. Raises `ValueError` outside them."""
    if not 0 <= number < 1 << 40:
        raise ValueError("a code carries 40 bits")
    body = letters_of(number)
    return _grouped(body + check_character(body))


def read_code(text: str) -> Code | Mistyped:
    """Read a code as people type it: small letters, spaces, hyphens, O for 0, I and L for 1."""
    read = read_letters(text)
    if isinstance(read, NoLetters):
        return Mistyped(read.read, read.why, _FORM)
    if check_character(read[:-1]) != read[-1]:
        why = "the last character does not fit the others: a character is wrong or two have changed places"
        return Mistyped(text, why, "the code again, character by character, from the foot of the card")
    return _grouped(read)


def has_nine(text: str) -> bool:
    """Whether a text has as many characters as a code, spaces and hyphens aside, whatever they are."""
    return count_letters(text) == LENGTH


_FORM = "the code from the foot of the card: nine characters in groups of 4, 4 and 1"


def _grouped(characters: str) -> Code:
    return Code(f"{characters[:4]}-{characters[4:8]}-{characters[8:]}")
