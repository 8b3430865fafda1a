"""One rule of trust: whatever does not hold of the register or of a deck, nothing is called current."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest

from cardgen.issuing.correct_days import correct_days
from cardgen.issuing.issue_deck import issue
from cardgen.issuing.reprint_deck import reprint
from cardgen.issuing.withdraw_deck import withdraw
from cardgen.register.audit import check
from cardgen.register.currency import verify_code, verify_file
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.head import note_path
from cardgen.register.listing import listing, sheet_of
from cardgen.register.open_register import open_register
from cardgen.register.rows import CorrectionRow, DeckRow
from tests.issuing.decks import TODAY, Maker, issued, opened, request

Ask = Callable[[Register, DeckRow, Path, date], object]

#: Everything that calls a deck current, or not, asked in the same way.
ASKED: dict[str, Ask] = {
    "list": lambda register, deck, folder, today: listing(register, today),
    "sheet": lambda register, deck, folder, today: sheet_of(register, today),
    "verify a code": lambda register, deck, folder, today: verify_code(register, deck.code, today),
    "verify a file": lambda register, deck, folder, today: verify_file(
        register, folder / deck.folder / "wall.pdf", today
    ),
    "reprint": lambda register, deck, folder, today: reprint(register, deck.code, folder / "again", today),
}
by_each_way = pytest.mark.parametrize("ask", ASKED.values(), ids=ASKED)


def refused(found: object) -> RegisterTrouble:
    assert isinstance(found, RegisterTrouble), found
    return found


@by_each_way
def test_a_register_in_order_answers(ask: Ask, register: Register, tmp_path: Path) -> None:
    deck = issued(register, tmp_path).deck
    assert not isinstance(ask(register, deck, tmp_path, TODAY), RegisterTrouble)


@by_each_way
@pytest.mark.parametrize(
    "damage",
    [
        "UPDATE decks SET use_until = '2029-11-30'",
        "UPDATE decks SET set_id = 'RB-2040'",
        "UPDATE withdrawals SET deck = 2 WHERE deck = 1",
        "DELETE FROM withdrawals",
        "UPDATE events SET kind = 'entry', subject = 9 WHERE kind = 'withdrawal'",
        "UPDATE events SET previous = replace(previous, 'a', 'b') WHERE id = 4",
        "DELETE FROM events WHERE id = (SELECT MAX(id) FROM events)",
        "UPDATE identity SET name = '0000-0000-0000-0000'",
        "UPDATE seal SET length = length - 1",
    ],
)
def test_a_changed_row_or_link_is_never_answered_from(
    ask: Ask, damage: str, register: Register, tmp_path: Path
) -> None:
    """The list once called a withdrawn deck current after one such change."""
    deck = issued(register, tmp_path).deck
    withdraw(register, deck.code, "blade damaged", TODAY)
    register.connection.execute("PRAGMA foreign_keys = OFF")
    register.connection.execute(damage)
    found = ask(register, deck, tmp_path, TODAY)
    assert refused(found).kind == "damaged"


@by_each_way
@pytest.mark.parametrize("name", ["deck.json", "wall.pdf"])
def test_a_kept_file_that_is_gone_is_missed_by_every_way_of_asking(
    ask: Ask, name: str, register: Register, tmp_path: Path
) -> None:
    deck = issued(register, tmp_path).deck
    (row,) = (file for file in register.files(deck.id) if file.name == name)
    register.store.place(row.sha256).unlink()
    refused(ask(register, deck, tmp_path, TODAY))


@by_each_way
def test_an_old_copy_of_the_register_over_a_newer_store_is_refused(
    ask: Ask, register: Register, tmp_path: Path
) -> None:
    """After the copy was made the deck was withdrawn; in the copy it is current."""
    deck = issued(register, tmp_path).deck
    register.close()
    shutil.copy(register.path, tmp_path / "copy")
    with opened(register.path) as newer:
        withdraw(newer, deck.code, "blade damaged", TODAY)
    shutil.copy(tmp_path / "copy", register.path)
    with opened(register.path, "read") as older:
        assert refused(ask(older, deck, tmp_path, TODAY)).kind == "older"
        assert not check(older).is_sound


def test_nothing_is_issued_from_an_old_copy(register: Register, tmp_path: Path) -> None:
    issued(register, tmp_path)
    register.close()
    shutil.copy(register.path, tmp_path / "copy")
    with opened(register.path) as newer:
        issued(newer, tmp_path, Maker(torque="165"))
    shutil.copy(tmp_path / "copy", register.path)
    with opened(register.path) as older:
        found = issue(older, request(), Maker(torque="170"), tmp_path / "other")
        assert refused(found).kind == "older"


def test_another_register_in_the_place_of_this_one_is_refused(register: Register, tmp_path: Path) -> None:
    issued(register, tmp_path)
    register.close()
    with opened(tmp_path / "other.sqlite") as other:
        for torque in ("160", "165", "170"):
            issued(other, tmp_path / "other", Maker(torque=torque))
    shutil.copy(tmp_path / "other.sqlite", register.path)
    with opened(register.path) as exchanged:
        assert refused(listing(exchanged, TODAY)).kind == "older"


def test_a_store_without_a_note_and_a_register_ahead_of_it_are_in_order(
    register: Register, tmp_path: Path
) -> None:
    """As an earlier version left it, and as a power cut between commit and note does."""
    issued(register, tmp_path)
    note = note_path(register.store.path)
    early = note.read_bytes()
    issued(register, tmp_path, Maker(torque="165"))
    note.write_bytes(early)
    assert not isinstance(listing(register, TODAY), RegisterTrouble)
    note.unlink()
    assert not isinstance(listing(register, TODAY), RegisterTrouble)
    note.write_bytes(early[:-5])
    assert refused(listing(register, TODAY)).file == str(note)


@by_each_way
def test_a_clock_that_stopped_brings_no_old_card_back_to_life(
    ask: Ask, register: Register, tmp_path: Path
) -> None:
    deck = issued(register, tmp_path).deck
    found = refused(ask(register, deck, tmp_path, date(2000, 1, 1)))
    assert found.kind == "clock"
    assert "2000-01-01" in found.why and TODAY.isoformat() in found.why
    assert "register correct" in found.write


@pytest.mark.parametrize("entered", ["withdrawal", "entry", "reading"])
def test_every_kind_of_entry_tells_the_day(entered: str, register: Register, tmp_path: Path) -> None:
    deck, later = issued(register, tmp_path).deck, TODAY + timedelta(days=40)
    if entered == "withdrawal":
        register.add_withdrawal(deck, later, "blade damaged")
    elif entered == "entry":
        register.add_entry(deck, "track", later, "{}")
    else:
        register.add_reading("RB-2041", "somebody", later, "00000000T")
    assert refused(listing(register, TODAY)).kind == "clock"
    assert not isinstance(listing(register, later), RegisterTrouble)


def test_a_wrong_day_is_put_right_by_somebody_s_word_which_stays_in_the_chain(
    register: Register, tmp_path: Path
) -> None:
    ahead = date(2027, 4, 2)
    issued(register, tmp_path, on=ahead)
    assert refused(issue(register, request(), Maker(), tmp_path)).kind == "clock"
    assert correct_days(register, ahead, "keeper", "nothing is later than this") is None
    made = correct_days(register, TODAY, "keeper", "the clock ran a year ahead")
    assert isinstance(made, CorrectionRow)
    assert not isinstance(listing(register, TODAY), RegisterTrouble)
    assert issued(register, tmp_path, Maker(torque="165")).deck.revision == 2
    assert check(register).is_sound
    # A clock that stopped before the day of the correction is no better for it.
    assert refused(listing(register, TODAY - timedelta(days=1))).kind == "clock"
    register.connection.execute("UPDATE corrections SET said_by = 'nobody'")
    assert refused(listing(register, TODAY - timedelta(days=1))).kind == "damaged"
    assert not check(register).is_sound


def test_each_register_has_an_identity_of_its_own_that_its_chain_begins_with(tmp_path: Path) -> None:
    names = set()
    for number in range(4):
        with opened(tmp_path / f"{number}.sqlite") as register:
            names.add(register.identity)
            assert register.connection.execute("SELECT kind FROM events").fetchall() == [("identity",)]
    assert len(names) == 4
    again = open_register(tmp_path / "0.sqlite", "create")
    assert isinstance(again, Register)
    with again:
        assert again.identity in names
