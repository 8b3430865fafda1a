"""Everyday words for the choices of a specification."""

from __future__ import annotations

from datetime import date
from typing import Any, Literal, get_args, get_origin

import pytest

from cardgen.spec.everyday_words import EVERYDAY, our_word
from cardgen.spec.fields import KeyMeaning, expected
from cardgen.spec.load import load_bytes
from cardgen.spec.model import RotorSpec
from tests.editing import edited

#: Keys whose words are factors: what one of them means depends on the document.
FACTORS = (("track", "split"), ("track", "basis"), ("track", "rule_reads"), ("fasteners", 0, "drag"))


# Two names each for one thing in British and American workshops.
@pytest.mark.parametrize(
    ("key", "typed", "ours"),
    [
        ("fasteners[1].locking", "split pin", "cotter pin"),
        ("fasteners[1].locking", "Cotter", "cotter pin"),
        ("fasteners[3].locking", "safety wire", "lock wire"),
        ("fasteners[3].locking", "lock tab", "tab washer"),
        ("rotor.rotation", "anticlockwise", "counter-clockwise"),
        ("rotor.rotation", "CCW", "counter-clockwise"),
        ("rotor.alignment", "self-centering", "self-centring"),
    ],
)
def test_another_word_for_a_choice_is_that_choice(
    shape_text: str, today: date, key: str, typed: str, ours: str
) -> None:
    other = load_bytes(_with(shape_text, key, typed), "rotor.toml", today)
    strict = load_bytes(_with(shape_text, key, ours), "rotor.toml", today)
    assert [(found.rule, found.key) for found in other.problems] == [
        (found.rule, found.key) for found in strict.problems
    ]
    assert "word-unknown" not in {found.rule for found in other.problems}
    if strict.spec is not None:
        assert other.spec is not None
        for group in RotorSpec.model_fields:
            assert getattr(other.spec, group) == getattr(strict.spec, group)


def test_an_american_spelling_is_read_in_a_list_of_groups_too(shape_text: str, today: date) -> None:
    loaded = load_bytes(shape_text.replace('"centre mark"', '"center mark"').encode(), "rotor.toml", today)
    assert loaded.spec is not None and loaded.spec.string is not None
    assert loaded.spec.string.checks[-1].method == "centre mark"


def _with(text: str, key: str, word: str) -> bytes:
    return edited(text, key, f'"{word}"').encode()


@pytest.mark.parametrize("typed", ["nyloc", "loctite", "castle nut", "pin", ""])
def test_a_brand_or_a_word_for_more_than_one_thing_is_refused(shape_text: str, today: date, typed: str) -> None:
    loaded = load_bytes(_with(shape_text, "fasteners[1].locking", typed), "rotor.toml", today)
    assert "word-unknown" in {found.rule for found in loaded.problems}


def test_every_word_of_ours_is_a_choice_and_no_other_word_means_two() -> None:
    choices = set(_choices(RotorSpec))
    assert set(EVERYDAY) <= choices
    others = [word for words in EVERYDAY.values() for word in words]
    assert len(others) == len(set(others))
    assert not set(others) & choices
    assert all(word == word.lower() for word in others)


@pytest.mark.parametrize("path", FACTORS)
def test_a_word_that_stands_for_a_factor_has_no_other(path: tuple[str | int, ...]) -> None:
    place = expected(path)
    assert place is not None and place.words
    assert not set(place.words) & set(EVERYDAY)


def test_a_word_is_found_among_the_choices_of_its_key_alone() -> None:
    assert our_word("split pin", ("cotter pin", "lock wire")) == "cotter pin"
    assert our_word("split pin", ("clockwise",)) is None


def _choices(kind: Any) -> list[str]:
    place = KeyMeaning(kind)
    if place.group:
        return [word for field in kind.model_fields.values() for word in _choices(field.annotation)]
    if get_origin(kind) is Literal:
        return [str(word) for word in get_args(kind)]
    return [word for part in get_args(kind) for word in _choices(part)]
