"""What the register takes in: the next revision and no other, one entry once, and rows that are decks."""

from __future__ import annotations

from pathlib import Path

import pytest

from cardgen.register.code import code_of
from cardgen.register.database import Register
from cardgen.register.errors import DamagedRowError
from cardgen.register.rows import DeckRow, NewDeck
from cardgen.register.trust import confirm
from tests.issuing.decks import PLACES, TODAY, USE_UNTIL, issued


def new(revision: int, code: int = 7, set_id: str = "RB-2041") -> NewDeck:
    return NewDeck(
        set_id, revision, code_of(code), TODAY, USE_UNTIL, "inspector", "again", "0" * 64, "1", (), PLACES
    )


def test_only_the_next_revision_of_a_rotor_is_entered(register: Register, tmp_path: Path) -> None:
    for revision in (0, 2, 3):
        assert register.add_deck(new(revision)) == "revision"
    first = register.add_deck(new(1))
    assert isinstance(first, DeckRow)
    for revision in (1, 3):
        assert register.add_deck(new(revision, code=8)) == "revision"
    second = register.add_deck(new(2, code=8))
    assert isinstance(second, DeckRow)
    assert [deck.revision for deck in register.decks()] == [1, 2]
    assert isinstance(register.add_deck(new(1, code=9, set_id="RB-1")), DeckRow)


def test_a_code_stands_for_one_deck(register: Register) -> None:
    assert isinstance(register.add_deck(new(1)), DeckRow)
    assert register.add_deck(new(2)) == "code"
    assert register.add_deck(new(1, set_id="RB-1")) == "code"


def test_the_same_entry_is_kept_once_and_another_beside_it(register: Register, tmp_path: Path) -> None:
    deck = issued(register, tmp_path).deck
    first = register.add_entry(deck, "track", TODAY, "{}")
    assert register.add_entry(deck, "track", TODAY, "{}") == first
    other = register.add_entry(deck, "track", TODAY, "[]")
    assert [each.id for each in register.entries(deck.id)] == [first.id, other.id]


@pytest.mark.parametrize("code", ["lower(code)", "'nothing'", "replace(code, '-', '')"])
def test_a_row_whose_code_is_not_as_it_is_printed_is_damaged(
    register: Register, tmp_path: Path, code: str
) -> None:
    issued(register, tmp_path)
    register.connection.execute(f"UPDATE decks SET code = {code}")
    with pytest.raises(DamagedRowError):
        list(register.decks())


def test_a_deck_is_confirmed_only_while_every_revision_is_there(register: Register, tmp_path: Path) -> None:
    first = issued(register, tmp_path).deck
    second = issued(register, tmp_path).deck
    confirm(register, first)
    confirm(register, second)
    register.connection.execute("PRAGMA foreign_keys = OFF")
    register.connection.execute("DELETE FROM decks WHERE revision = 2")
    with pytest.raises(DamagedRowError, match="revisions of RB-2041 are gone"):
        confirm(register, first)
