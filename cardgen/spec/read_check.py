"""The check of what a specification says: who has read the paper with this check has read these very values.

It stands on the last page of the sheet that is read against the maker's paper. Comments, blank lines
and the order of keys do not matter for it; every value and every word does. It is spelled like a set
code, in three groups of three, and its last character fits no set code.
"""

from __future__ import annotations

import hashlib
import tomllib
from dataclasses import dataclass
from decimal import Decimal

from cardgen.spec.canonical import canonical
from cardgen.spec.code_letters import NoLetters, check_character, letters_of, read_letters

#: Set codes are of kind 0.
_KIND = 1
_FORM = "the check from the last page of copied.pdf: three characters, three, and three"


class ReadCheck(str):
    """A well-formed check in the form that is printed: ``7KM-29Q-XDP``."""

    __slots__ = ()


@dataclass(frozen=True)
class NoReadCheck:
    """What cannot be a check, why, and what to do."""

    read: str
    why: str
    write: str


def read_check(text: bytes) -> ReadCheck:
    """Make the check of a specification from its bytes: 40 bits of a hash over its parsed content.

    Raises `ValueError` for bytes that are no TOML.
    """
    content = {"read": tomllib.loads(text.decode(), parse_float=Decimal)}
    number = int.from_bytes(hashlib.sha256(canonical(content)).digest()[:5], "big")
    body = letters_of(number)
    return _apart(body + check_character(body, _KIND))


def typed_check(text: str) -> ReadCheck | NoReadCheck:
    """Read a check as people type it: small letters, spaces, hyphens, O for 0, I and L for 1."""
    read = read_letters(text, "a check")
    if isinstance(read, NoLetters):
        return NoReadCheck(read.read, read.why, _FORM)
    if read[-1] == check_character(read[:-1]):
        return NoReadCheck(text, "this is the code of a deck, and not the check of a specification", _FORM)
    if read[-1] != check_character(read[:-1], _KIND):
        why = "the last character does not fit the others: a character is wrong or two have changed places"
        return NoReadCheck(text, why, _FORM)
    return _apart(read)


def _apart(characters: str) -> ReadCheck:
    return ReadCheck(f"{characters[:3]}-{characters[3:6]}-{characters[6:]}")
