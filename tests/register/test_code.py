"""The set code, its check character, and how it is read back.

The alphabet and the reading of O, I and L follow a base 32 that is widely published for codes which
people copy by hand (from memory); the check character is our own and is tried out in full here.
"""

from __future__ import annotations

import random
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardgen.register.code import (
    ALPHABET,
    LENGTH,
    Code,
    CodeIdentity,
    Mistyped,
    check_character,
    code_of,
    read_code,
    set_code,
)

NUMBERS = (0, 2**40 - 1, *random.Random(7).sample(range(2**40), 3))
CODES = tuple(code_of(number) for number in NUMBERS)
IDENTITY: dict[str, Any] = {
    "set_id": "RB-2041",
    "revision": 3,
    "issued": date(2026, 4, 2),
    "spec": {"rotor": {"set_id": "RB-2041"}, "wrenches": [{"error": Decimal("4.5")}]},
    "figures": {"track.row.1.dial": "15 thou C"},
    "version": "0.1.0",
    "layouts": "ab" * 32,
    "register": "register 0000-0000-0000-0000, entry 1, chain 0000000000000000",
    "printed": "ab" * 32,
}


def plain(code: str) -> str:
    return code.replace("-", "")


def test_the_alphabet_leaves_out_the_letters_that_are_misread() -> None:
    assert len(set(ALPHABET)) == 32
    assert not set(ALPHABET) & set("ILOU")


def test_a_code_is_printed_in_groups_of_four_with_its_check_character() -> None:
    for code in CODES:
        assert [len(group) for group in code.split("-")] == [4, 4, 1]


@pytest.mark.parametrize("code", CODES)
def test_every_single_wrong_character_is_found(code: Code) -> None:
    right = plain(code)
    for place in range(LENGTH):
        for character in ALPHABET:
            if character != right[place]:
                wrong = right[:place] + character + right[place + 1 :]
                assert isinstance(read_code(wrong), Mistyped), wrong


def test_every_pair_of_neighbours_that_change_places_is_found() -> None:
    # All 32 times 32 pairs at each of the eight places, check character included.
    for place in range(LENGTH - 1):
        for first in ALPHABET:
            for second in ALPHABET:
                if first == second:
                    continue
                right = completed(place, first, second)
                wrong = right[:place] + right[place + 1] + right[place] + right[place + 2 :]
                assert isinstance(read_code(right), Code)
                assert isinstance(read_code(wrong), Mistyped), wrong


def completed(place: int, first: str, second: str) -> str:
    """Find a right code with these two characters at this place, trying others elsewhere."""
    characters = list("7KM29QXD")
    characters[place : place + 2] = [first, second] if place < LENGTH - 2 else [first]
    for other in ALPHABET:
        characters[(place + 4) % 8] = other
        code = "".join(characters) + check_character("".join(characters))
        if code[place : place + 2] == first + second:
            return code
    raise AssertionError("no right code with these characters")


def test_any_two_characters_that_change_places_are_found_too() -> None:
    for code in CODES:
        right = plain(code)
        for first in range(LENGTH):
            for second in range(first + 1, LENGTH):
                if right[first] != right[second]:
                    wrong = list(right)
                    wrong[first], wrong[second] = wrong[second], wrong[first]
                    assert isinstance(read_code("".join(wrong)), Mistyped)


@given(st.integers(0, 2**40 - 1), st.sampled_from(["", " ", "-", "\u2011", "\u00a0"]), st.booleans())
@settings(max_examples=60)
def test_a_code_is_understood_as_people_type_it(number: int, between: str, small: bool) -> None:
    code = code_of(number)
    typed = between.join(plain(code).replace("0", "O").replace("1", "l"))
    assert read_code(typed.lower() if small else typed) == code


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        ("", "0 were read"),
        ("7KM2-9QX", "7 were read"),
        ("7KM2-9QXD-PP", "10 were read"),
        ("7KM2-9UXD-P", "U is never used"),
        ("7KM2-9QX!-P", "'!' is never used"),
        ("7KM2-9QX\x1b-P", "is never used"),
        # str.upper() would turn these two into I and S.
        ("\u0131KM2-9QXD-P", "is never used"),
        ("\u017fKM2-9QXD-P", "is never used"),
        ("7" * 10_000, "far longer"),
    ],
)
def test_what_cannot_be_a_code_is_told_apart_with_the_reason(typed: str, why: str) -> None:
    read = read_code(typed)
    assert isinstance(read, Mistyped)
    assert why in read.why
    assert "\x1b" not in read.why


def test_the_same_deck_has_the_same_code_for_ever() -> None:
    """Worked out once with the standard library's own SHA-256 over the JSON written by hand."""
    import hashlib

    text = (
        '{"figures":{"track.row.1.dial":"15 thou C"},"issued":"2026-04-02","layouts":"'
        + "ab" * 32
        + '","printed":"'
        + "ab" * 32
        + '","register":"register 0000-0000-0000-0000, entry 1, chain 0000000000000000",'
        '"revision":3,"set_id":"RB-2041","spec":{"rotor":{"set_id":"RB-2041"},'
        '"wrenches":[{"error":"4.5"}]},"tie":0,"version":"0.1.0"}'
    )
    number = int(hashlib.sha256(text.encode()).hexdigest()[:10], 16)
    assert set_code(CodeIdentity(**IDENTITY)) == code_of(number)


@pytest.mark.parametrize(
    ("part", "other"),
    [
        ("set_id", "RB-2042"),
        ("revision", 4),
        ("issued", date(2026, 4, 3)),
        ("spec", {"rotor": {"set_id": "RB-2041"}}),
        ("figures", {"track.row.1.dial": "16 thou C"}),
        ("version", "0.1.1"),
        ("layouts", "cd" * 32),
        ("register", "register 1111-1111-1111-1111, entry 1, chain 0000000000000000"),
        ("printed", "cd" * 32),
    ],
)
def test_anything_that_makes_another_deck_makes_another_code(part: str, other: object) -> None:
    assert set_code(CodeIdentity(**IDENTITY)) != set_code(CodeIdentity(**{**IDENTITY, part: other}))


def test_a_tie_is_broken_by_counting() -> None:
    assert len({set_code(CodeIdentity(**IDENTITY), tie) for tie in range(20)}) == 20


def test_the_order_of_keys_does_not_matter_and_floats_are_refused() -> None:
    turned = {**IDENTITY, "spec": dict(reversed(IDENTITY["spec"].items()))}
    assert set_code(CodeIdentity(**turned)) == set_code(CodeIdentity(**IDENTITY))
    with pytest.raises(TypeError, match="float"):
        set_code(CodeIdentity(**{**IDENTITY, "spec": {"a": 0.5}}))


def test_a_code_carries_forty_bits_and_no_more() -> None:
    assert code_of(0) == "0000-0000-0"
    assert code_of((1 << 40) - 1)[:9] == "ZZZZ-ZZZZ"
    for number in (-1, 1 << 40):
        with pytest.raises(ValueError, match="40 bits"):
            code_of(number)


def test_a_code_may_stand_in_as_much_as_anybody_types_round_it() -> None:
    code = code_of(7)
    assert read_code(code.ljust(64)) == code
    far = read_code(code.ljust(65))
    assert isinstance(far, Mistyped)
    assert len(far.read) == 64
