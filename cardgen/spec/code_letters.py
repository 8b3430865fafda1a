"""The letters of printed codes: eight that carry 40 bits and a ninth that checks them.

They are read by eye, said over the telephone and typed by hand, so that no letter looks or sounds like
another, and one slip is always found.
"""

from __future__ import annotations

from dataclasses import dataclass

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


@dataclass(frozen=True)
class NoLetters:
    """A text that is not nine letters of a code, and why."""

    read: str
    why: str


def letters_of(number: int) -> str:
    """Spell a number of 40 bits with eight letters."""
    return "".join(ALPHABET[number >> shift & 31] for shift in range(35, -5, -5))


def check_character(body: str, kind: int = 0) -> str:
    """Find the ninth character, which makes the weighted sum over GF(32) zero.

    Every place has its own weight, a different power of x. One wrong character changes the sum by
    weight times difference, an exchange by the difference of two weights times that of two
    characters; in a field neither product is zero, so both are always found. Codes of another
    ``kind``, which is added to every sum, never pass for one another.
    """
    total = kind
    for weighted, character in zip(_WEIGHTED, body, strict=True):
        total ^= weighted[_VALUE[character]]
    return ALPHABET[total]


def read_letters(text: str, name: str = "a code") -> str | NoLetters:
    """Read nine letters as people type them: small ones, spaces, hyphens, O for 0, I and L for 1."""
    if len(text) > _LONGEST_INPUT:
        return NoLetters(text[:_LONGEST_INPUT], f"this is far longer than {name}")
    characters = [_read_character(character) for character in text if character not in _SEPARATORS]
    wrong = next((character for character in characters if character not in _VALUE), None)
    if wrong is not None:
        said = "U" if wrong == "U" else ascii(wrong)
        return NoLetters(text, f"{said} is never used in {name}")
    if len(characters) != LENGTH:
        return NoLetters(text, f"{name} has {LENGTH} characters, and {len(characters)} were read")
    return "".join(characters)


def count_letters(text: str) -> int:
    """Count the characters of a text, spaces and hyphens aside."""
    return sum(character not in _SEPARATORS for character in text)


def _read_character(character: str) -> str:
    # Only ASCII letters are raised: str.upper() would turn foreign letters into ours.
    raised = character.upper() if character.isascii() else character
    return _READ_ALIKE.get(raised, raised)
