"""Reading and writing the register's rows.

Methods raise `sqlite3.Error` or `DamagedRowError`; the operations built on them return such troubles
as values. A register is written with a rollback journal and full syncs, so that a commit that was
reported is on the disk.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any, Literal, TypeAlias

from cardgen.register import chain
from cardgen.register.code import Code, read_code
from cardgen.register.errors import DamagedRowError
from cardgen.register.location import store_path
from cardgen.register.rows import (
    DeckRow,
    EntryRow,
    EventKind,
    EventRow,
    FileRow,
    NewDeck,
    PlaceRow,
    WithdrawalRow,
)
from cardgen.register.store import Store

#: Which of a new deck's two names another deck has already.
Taken: TypeAlias = Literal["revision", "code"]

_DECK = "id, set_id, revision, code, issued, use_until, approved_by, reason, spec_sha256, version"


@dataclass(frozen=True)
class Register:
    """An open register. Use it as a context, or close it."""

    path: Path
    connection: sqlite3.Connection

    def __enter__(self) -> Register:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file."""
        self.connection.close()

    @property
    def store(self) -> Store:
        """The kept files of this register."""
        return Store(store_path(self.path))

    def by_code(self, code: Code) -> DeckRow | None:
        """Find the deck with this code."""
        return self._deck("code = ?", (code,))

    def by_number(self, number: int) -> DeckRow | None:
        """Find a deck by its number in the register."""
        return self._deck("id = ?", (number,))

    def newest(self, set_id: str) -> DeckRow | None:
        """Find the deck of a rotor with the highest revision."""
        return self._deck("set_id = ? ORDER BY revision DESC LIMIT 1", (set_id,))

    def revision(self, set_id: str, revision: int) -> DeckRow | None:
        """Find one revision of a rotor's deck."""
        return self._deck("set_id = ? AND revision = ?", (set_id, revision))

    def by_file(self, sha256: str) -> DeckRow | None:
        """Find the newest deck that a file with this hash was issued with."""
        return self._deck("id = (SELECT MAX(deck) FROM files WHERE sha256 = ?)", (sha256,))

    def decks(self) -> Iterator[DeckRow]:
        """Walk over all decks in the order of issue."""
        for row in self.connection.execute(f"SELECT {_DECK} FROM decks ORDER BY id"):
            yield _deck_of(row)

    def newest_decks(self) -> Iterator[DeckRow]:
        """Walk over the newest deck of every rotor, by set id."""
        query = f"SELECT {_DECK}, MAX(revision) FROM decks GROUP BY set_id ORDER BY set_id"
        for row in self.connection.execute(query):
            yield _deck_of(row[:-1])

    def files(self, deck: int) -> tuple[FileRow, ...]:
        """Files of a deck, by name."""
        query = "SELECT name, sha256, size FROM files WHERE deck = ? ORDER BY name"
        return tuple(FileRow(*row) for row in self.connection.execute(query, (deck,)))

    def places(self, deck: int) -> tuple[PlaceRow, ...]:
        """Copies of a deck, by edition and number."""
        query = "SELECT edition, number, place FROM places WHERE deck = ? ORDER BY edition, number"
        return tuple(PlaceRow(*row) for row in self.connection.execute(query, (deck,)))

    def withdrawal(self, deck: int) -> WithdrawalRow | None:
        """The withdrawal of a deck, if it was withdrawn."""
        query = "SELECT deck, day, reason FROM withdrawals WHERE deck = ?"
        row = self.connection.execute(query, (deck,)).fetchone()
        return None if row is None else WithdrawalRow(row[0], _day(row[1]), _text(row[2]))

    def entries(self, deck: int) -> tuple[EntryRow, ...]:
        """Log entries kept for a deck, in the order they came in."""
        query = "SELECT id, deck, card, day, content FROM entries WHERE deck = ? ORDER BY id"
        rows = self.connection.execute(query, (deck,))
        return tuple(_entry_of(row) for row in rows)

    def entry(self, number: int) -> EntryRow | None:
        """Find a log entry by its number in the register."""
        query = "SELECT id, deck, card, day, content FROM entries WHERE id = ?"
        row = self.connection.execute(query, (number,)).fetchone()
        return None if row is None else _entry_of(row)

    def confirm(self, deck: DeckRow) -> None:
        """Check that what decides over a deck still is what was entered: it, its withdrawal, its successors.

        Raises `DamagedRowError` if not. The whole register is checked by `check.check`.
        """
        with self.reading():
            self._confirm(deck)

    def _confirm(self, deck: DeckRow) -> None:
        name = f"{deck.set_id} revision {deck.revision}"
        content = chain.deck_content(deck, self.files(deck.id), self.places(deck.id))
        if not chain.holds(self._event("deck", deck.id), "deck", deck.set_id, content):
            raise DamagedRowError(f"the entry of {name} was changed later")
        withdrawal, event = self.withdrawal(deck.id), self._event("withdrawal", deck.id)
        if withdrawal is None and event is not None:
            raise DamagedRowError(f"{name} was withdrawn, and the entry of that is gone")
        if withdrawal is not None:
            content = chain.withdrawal_content(withdrawal)
            if not chain.holds(event, "withdrawal", deck.set_id, content):
                raise DamagedRowError(f"the withdrawal of {name} was changed later")
        query = "SELECT COUNT(*) FROM events WHERE set_id = ? AND kind = 'deck'"
        (count,) = self.connection.execute(query, (deck.set_id,)).fetchone()
        newest = self.newest(deck.set_id)
        if newest is None or newest.revision != count:
            raise DamagedRowError(f"revisions of {deck.set_id} are gone or were changed later")

    def _event(self, kind: EventKind, subject: int) -> EventRow | None:
        return chain.event_of(self.connection, kind, subject)

    @contextmanager
    def reading(self) -> Iterator[None]:
        """See the register as it is now until the block ends, whatever others enter meanwhile."""
        if self.connection.in_transaction:
            yield
            return
        self.connection.execute("BEGIN")
        try:
            yield
        finally:
            # Nothing was written, so there is nothing to lose.
            with suppress(sqlite3.Error):
                self.connection.execute("ROLLBACK")

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """Hold the register for writing; what is written counts when the block ends, or not at all."""
        self.connection.execute("BEGIN IMMEDIATE")
        try:
            yield self.connection
            self.connection.execute("COMMIT")
        except BaseException:
            # SQLite rolls back by itself when the disk is full or fails.
            if self.connection.in_transaction:
                # What went wrong first is told; closing the file takes back what is left.
                with suppress(sqlite3.Error):
                    self.connection.execute("ROLLBACK")
            raise

    def add_deck(self, new: NewDeck) -> DeckRow | Taken:
        """Enter a deck as its rotor's next revision, or say which of its names is taken."""
        with self.writing() as connection:
            newest = self.newest(new.set_id)
            if new.revision != (newest.revision if newest else 0) + 1:
                return "revision"
            if self.by_code(new.code):
                return "code"
            columns = (*_stored(new),)
            marks = ", ".join("?" * len(columns))
            names = _DECK.removeprefix("id, ")
            cursor = connection.execute(f"INSERT INTO decks ({names}) VALUES ({marks})", columns)
            number = cursor.lastrowid
            assert number is not None
            connection.executemany(
                "INSERT INTO files (deck, name, sha256, size) VALUES (?, ?, ?, ?)",
                [(number, file.name, file.sha256, file.size) for file in new.files],
            )
            connection.executemany(
                "INSERT INTO places (deck, edition, number, place) VALUES (?, ?, ?, ?)",
                [(number, place.edition, place.number, place.place) for place in new.places],
            )
            deck = _deck_of((number, *columns))
            content = chain.deck_content(deck, self.files(number), self.places(number))
            chain.add_link(connection, "deck", number, deck.set_id, content)
        return deck

    def add_withdrawal(self, deck: DeckRow, day: date, reason: str) -> WithdrawalRow:
        """Enter a withdrawal; a deck already withdrawn keeps its first one."""
        with self.writing() as connection:
            if earlier := self.withdrawal(deck.id):
                return earlier
            query = "INSERT INTO withdrawals (deck, day, reason) VALUES (?, ?, ?)"
            connection.execute(query, (deck.id, day.isoformat(), str(reason)))
            row = WithdrawalRow(deck.id, day, str(reason))
            chain.add_link(connection, "withdrawal", deck.id, deck.set_id, chain.withdrawal_content(row))
        return row

    def add_entry(self, deck: DeckRow, card: str, day: date, content: str) -> EntryRow:
        """Keep a log entry for a deck; the very same content is kept once, and its first row returned."""
        with self.writing() as connection:
            if earlier := next((each for each in self.entries(deck.id) if each.content == content), None):
                return earlier
            query = "INSERT INTO entries (deck, card, day, content) VALUES (?, ?, ?, ?)"
            cursor = connection.execute(query, (deck.id, str(card), day.isoformat(), str(content)))
            assert cursor.lastrowid is not None
            row = EntryRow(cursor.lastrowid, deck.id, str(card), day, str(content))
            chain.add_link(connection, "entry", row.id, deck.set_id, chain.entry_content(row))
        return row

    def _deck(self, condition: str, values: tuple[object, ...]) -> DeckRow | None:
        query = f"SELECT {_DECK} FROM decks WHERE {condition}"
        row = self.connection.execute(query, values).fetchone()
        return None if row is None else _deck_of(row)


def _stored(new: NewDeck) -> tuple[str | int, ...]:
    return (
        str(new.set_id),
        new.revision,
        str(new.code),
        new.issued.isoformat(),
        new.use_until.isoformat(),
        str(new.approved_by),
        str(new.reason),
        new.spec_sha256,
        new.version,
    )


def _deck_of(row: Sequence[object]) -> DeckRow:
    number, set_id, revision, code, issued, use_until, approved_by, reason, spec_sha256, version = row
    read = read_code(_text(code))
    if (
        not isinstance(number, int)
        or not isinstance(revision, int)
        or not isinstance(read, Code)
        or read != code
    ):
        raise DamagedRowError(f"entry {number!r} of the register holds something that is no deck")
    return DeckRow(
        number,
        _text(set_id),
        revision,
        read,
        _day(issued),
        _day(use_until),
        _text(approved_by),
        _text(reason),
        _text(spec_sha256),
        _text(version),
    )


def _entry_of(row: Sequence[Any]) -> EntryRow:
    return EntryRow(row[0], row[1], _text(row[2]), _day(row[3]), _text(row[4]))


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise DamagedRowError("a text of the register is no text")
    return value


def _day(value: object) -> date:
    try:
        return date.fromisoformat(_text(value))
    except ValueError:
        raise DamagedRowError(f"a date of the register is no date: {value!a}") from None
