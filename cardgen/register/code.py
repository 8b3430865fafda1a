"""The set code: nine characters that stand on every side and say which deck it belongs to.

Eight characters carry 40 bits of a hash over everything that makes the deck; the ninth checks
them. The code shows that two things are the same deck. It approves nothing.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from cardgen.register.canonical import canonical

#: Base 32 without I, L, O and U, which are misread or misheard.
ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
LENGTH = 9

_VALUE = {character: value for value, character in enumerate(ALPHABET)}
_READ_ALIKE = {"O": "0", "I": "1", "L": "1"}
#: Spaces and hyphens as keyboards, phones and PDF readers give them.
_SEPARATORS = " \t\u00a0\u202f-\u00ad\u2010\u2011\u2012\u2013\u2014\u2212"
_LONGEST_INPUT = 64

# GF(32) by the primitive polynomial x^5 + x^2 + 1, so that the powers of x are 31 different weights.
_MODULUS = 0b100101


def _times(first: int, second: int) -> int:
    product = 0
    while second:
        if second & 1:
            product ^= first
        first <<= 1
        if first & 32:
            first ^= _MODULUS
        second >>= 1
    return product


def _weighted() -> tuple[tuple[int, ...], ...]:
    """Every value times the weight of its place: x for the first, x squared for the second, and so on."""
    weight, rows = 1, []
    for _ in range(LENGTH - 1):
        weight = _times(weight, 2)
        rows.append(tuple(_times(value, weight) for value in range(32)))
    return tuple(rows)


_WEIGHTED = _weighted()


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
    the program's version, ``layouts`` a hash over the folder of layouts.
    """

    set_id: str
    revision: int
    issued: date
    spec: Mapping[str, object]
    figures: Mapping[str, str]
    version: str
    layouts: str


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
            "tie": tie,
        }
    )
    return code_of(int.from_bytes(hashlib.sha256(content).digest()[:5], "big"))


def code_of(number: int) -> Code:
    """Spell a number of 40 bits as a code with its check character. Raises `ValueError` outside them."""
    if not 0 <= number < 1 << 40:
        raise ValueError("a code carries 40 bits")
    body = "".join(ALPHABET[number >> shift & 31] for shift in range(35, -5, -5))
    return _grouped(body + check_character(body))


def check_character(body: str) -> str:
    """Find the ninth character, which makes the weighted sum over GF(32) zero.

    Every place has its own weight, a different power of x. One wrong character changes the sum by
    weight times difference, an exchange by the difference of two weights times that of two
    characters; in a field neither product is zero, so both are always found.
    """
    total = 0
    for weighted, character in zip(_WEIGHTED, body, strict=True):
        total ^= weighted[_VALUE[character]]
    return ALPHABET[total]


def read_code(text: str) -> Code | Mistyped:
    """Read a code as people type it: small letters, spaces, hyphens, O for 0, I and L for 1."""
    if len(text) > _LONGEST_INPUT:
        return Mistyped(text[:_LONGEST_INPUT], "this is far longer than a code", _FORM)
    characters = [_read_character(character) for character in text if character not in _SEPARATORS]
    wrong = next((character for character in characters if character not in _VALUE), None)
    if wrong is not None:
        why = "U is never used in a code" if wrong == "U" else f"{wrong!a} is never used in a code"
        return Mistyped(text, why, _FORM)
    if len(characters) != LENGTH:
        why = f"a code has {LENGTH} characters, and {len(characters)} were read"
        return Mistyped(text, why, _FORM)
    body, check = "".join(characters[:-1]), characters[-1]
    if check_character(body) != check:
        why = "the last character does not fit the others: a character is wrong or two have changed places"
        return Mistyped(text, why, "the code again, character by character, from the foot of the card")
    return _grouped(body + check)


_FORM = "the code from the foot of the card: four characters, four, and one"


def _read_character(character: str) -> str:
    # Only ASCII letters are raised: str.upper() would turn foreign letters into ours.
    raised = character.upper() if character.isascii() else character
    return _READ_ALIKE.get(raised, raised)


def _grouped(characters: str) -> Code:
    return Code(f"{characters[:4]}-{characters[4:8]}-{characters[8:]}")
