"""What is left away, or said to be not given, never breaks a deck and always shows: one key at a time."""

from __future__ import annotations

from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from cardgen.deck.build import build_deck
from cardgen.deck.card import Card, Deck, Stamp
from cardgen.deck.letter import letters
from cardgen.figures import compute
from cardgen.press.html import to_html
from cardgen.proof.prove import sums_against
from cardgen.spec.load import load_bytes
from tests.deck.readable import readable
from tests.left_away import (
    as_toml,
    may_be_left_away,
    not_given,
    table_of,
    with_one_left_away,
    with_one_not_given,
)

ROOT = Path(__file__).parents[2]
FILES = ("tests/spec/complete.toml", "sample_inputs/nr-0306.toml", "sample_inputs/ft-7400.toml")
OPEN = "NOT GIVEN: STOP, ASK THE MAKER"
#: Keys that have a meaning only beside another, and go with it.
BESIDE = {"max_total": ("max_total_reads", "max_total_of"), "track_speeds": ("track_read_in",)}


@cache
def table(file: str) -> dict[str, Any]:
    return table_of((ROOT / file).read_text("utf-8"))


def deck_of(changed: dict[str, Any]) -> Deck | None:
    """Build a deck and compute its figures again; nothing where check refuses it."""
    loaded = load_bytes(as_toml(changed).encode(), "left.toml", date(2026, 7, 1))
    if loaded.spec is None:
        return None
    deck = build_deck(loaded.spec, compute(loaded.spec), loaded.warnings, Stamp())
    assert tuple(sums_against(deck)) == ()
    return deck


ALONE = list(with_one_left_away(table(FILES[0]), may_be_left_away))


@pytest.mark.parametrize(("what", "changed"), ALONE, ids=[what for what, _ in ALONE])
def test_a_specification_that_checks_clean_makes_a_deck(what: str, changed: dict[str, Any]) -> None:
    deck = deck_of(changed)
    if deck:
        cover = whole(tuple(card for card in deck.cards if card.id == "cover"))
        others = whole(tuple(card for card in deck.cards if card.id != "cover"))
        # Whatever a card asks the maker, the cover lists, and the letter asks.
        assert (OPEN in others) == (OPEN in cover) == bool(letters(deck.spec.table)), what


ASKED = [(what, changed) for what, changed in with_one_not_given(table(FILES[0]))]


def whole(cards: tuple[Card, ...]) -> str:
    return "\n".join(map(readable, cards))


@pytest.mark.parametrize(("what", "changed"), ASKED, ids=[what for what, _ in ASKED])
def test_what_is_not_given_is_said_at_its_place_and_on_the_cover(what: str, changed: dict[str, Any]) -> None:
    key = what.removesuffix(" not given").rpartition(".")[2]
    for beside in BESIDE.get(key, ()):
        changed[what.partition(".")[0]].pop(beside, None)
    deck = deck_of(changed)
    if deck is None:
        assert what in NEEDLESS
        return
    cover = [card for card in deck.cards if card.id == "cover"]
    others = [card for card in deck.cards if card.id != "cover"]
    assert OPEN in whole(tuple(cover)), what
    assert key.replace("_", " ") in whole(tuple(cover)), what
    assert OPEN in whole(tuple(others)), what


#: Of the complete rotor, what no card has a place for: check refuses the entry itself.
NEEDLESS = {
    "fasteners[2].pin_head not given",
    "fasteners[3].drag_max not given",
}


@pytest.mark.parametrize("file", FILES)
def test_all_that_was_left_open_at_once_still_makes_a_deck(file: str) -> None:
    held = table(file)
    both = (
        not_given(held, ("string", "mark_spacing"), ("string", "tip_support"))
        if "string" in held
        else not_given(held)
    )
    if "aircraft" in both:
        both["aircraft"].pop("mass", None)
    deck = deck_of(both)
    assert deck
    assert to_html(deck)


def test_a_card_asks_the_maker_of_nothing_that_the_cover_does_not_list() -> None:
    """A teeter bolt set by feel may have no washer: then neither cover nor card speaks of one."""
    path = ("fasteners", 2, "washer")
    changed = next(less for what, less in ALONE if what == "without fasteners[3].washer")
    deck = deck_of(changed)
    assert deck
    assert OPEN not in whole(deck.cards)
    listed = deck_of(not_given(changed, path))
    assert listed
    assert OPEN in whole(tuple(card for card in listed.cards if card.id == "install"))
