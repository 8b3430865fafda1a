"""Reading and writing the register's rows.

Methods raise `sqlite3.Error` or `DamagedRowError`; the operations built on them return such troubles
as values. A register is written with a rollback journal and full syncs, so that a commit that was
reported is on the disk.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal, TypeAlias

from cardgen.register import chain
from cardgen.register.code import Code
from cardgen.register.columns import day_of, deck_of, entry_of, read_of, stored, text_of
from cardgen.register.head import Head, note
from cardgen.register.location import store_path
from cardgen.register.migrations import SINCE
from cardgen.register.rows import (
    CorrectionRow,
    DeckRow,
    EntryRow,
    EventKind,
    FileRow,
    NewDeck,
    PlaceRow,
    ReadingRow,
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
            yield deck_of(row)

    def newest_decks(self) -> Iterator[DeckRow]:
        """Walk over the newest deck of every rotor, by set id."""
        query = f"SELECT {_DECK}, MAX(revision) FROM decks GROUP BY set_id ORDER BY set_id"
        for row in self.connection.execute(query):
            yield deck_of(row[:-1])

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
        return None if row is None else WithdrawalRow(row[0], day_of(row[1]), text_of(row[2]))

    def readings(self, check: str) -> tuple[ReadingRow, ...]:
        """Readings of the specification with this check, in the order they came in."""
        return self._readings("read_check = ?", check)

    def reading_of(self, deck: int) -> ReadingRow | None:
        """The reading that a deck was issued on; none for a deck of a time before they were kept."""
        found = self._readings("id = (SELECT reading FROM issued_on WHERE deck = ?)", deck)
        return found[0] if found else None

    def reading_by_number(self, number: int) -> ReadingRow | None:
        """Find a reading by its number in the register."""
        found = self._readings("id = ?", number)
        return found[0] if found else None

    def has(self, kind: EventKind) -> bool:
        """Whether it has a table for this; one of an earlier version, opened only to be read, may not."""
        return bool(self.connection.execute("PRAGMA user_version").fetchone()[0] >= SINCE.get(kind, 1))

    @property
    def identity(self) -> str:
        """What tells this register from every other; nothing in one of a version that had none."""
        if not self.has("identity"):
            return ""
        row = self.connection.execute("SELECT name FROM identity").fetchone()
        return text_of(row[0]) if row else ""

    def head(self) -> Head:
        """Where the chain ends now."""
        links, digest = self.connection.execute("SELECT length, hash FROM seal").fetchone() or (0, "")
        return Head.of(self.identity, links, text_of(digest))

    def correction(self, number: int) -> CorrectionRow | None:
        """Find a correction by its number in the register."""
        query = "SELECT id, day, said_by, reason FROM corrections WHERE id = ?"
        row = self.connection.execute(query, (number,)).fetchone() if self.has("correction") else None
        return row and CorrectionRow(row[0], day_of(row[1]), text_of(row[2]), text_of(row[3]))

    def last_correction_link(self) -> int:
        """Give the number of the newest correction's link in the chain; 0 where there is none."""
        query = "SELECT COALESCE(MAX(id), 0) FROM events WHERE kind = 'correction'"
        return int(self.connection.execute(query).fetchone()[0])

    def _readings(self, condition: str, value: str | int) -> tuple[ReadingRow, ...]:
        if not self.has("reading"):
            return ()
        query = f"SELECT id, set_id, read_by, day, read_check FROM readings WHERE {condition} ORDER BY id"
        rows = self.connection.execute(query, (value,))
        return tuple(map(read_of, rows))

    def entries(self, deck: int) -> tuple[EntryRow, ...]:
        """Log entries kept for a deck, in the order they came in."""
        query = "SELECT id, deck, card, day, content FROM entries WHERE deck = ? ORDER BY id"
        rows = self.connection.execute(query, (deck,))
        return tuple(entry_of(row) for row in rows)

    def entry(self, number: int) -> EntryRow | None:
        """Find a log entry by its number in the register."""
        query = "SELECT id, deck, card, day, content FROM entries WHERE id = ?"
        row = self.connection.execute(query, (number,)).fetchone()
        return None if row is None else entry_of(row)

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
            head = self.head()
            self.connection.execute("COMMIT")
        except BaseException:
            # SQLite rolls back by itself when the disk is full or fails.
            if self.connection.in_transaction:
                # What went wrong first is told; closing the file takes back what is left.
                with suppress(sqlite3.Error):
                    self.connection.execute("ROLLBACK")
            raise
        note(self.store.path, head)

    def add_deck(self, new: NewDeck) -> DeckRow | Taken:
        """Enter a deck as its rotor's next revision, or say which of its names is taken."""
        with self.writing() as connection:
            newest = self.newest(new.set_id)
            if new.revision != (newest.revision if newest else 0) + 1:
                return "revision"
            if self.by_code(new.code):
                return "code"
            columns = (*stored(new),)
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
            if new.reading is not None:
                query = "INSERT INTO issued_on (deck, reading) VALUES (?, ?)"
                connection.execute(query, (number, new.reading))
            deck = deck_of((number, *columns))
            reading = self.reading_of(number)
            content = chain.deck_content(deck, self.files(number), self.places(number), reading)
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

    def add_reading(self, set_id: str, read_by: str, day: date, check: str) -> ReadingRow:
        """Keep a reading; the same person's reading of the same specification is kept once."""
        with self.writing() as connection:
            if earlier := next((each for each in self.readings(check) if each.read_by == read_by), None):
                return earlier
            query = "INSERT INTO readings (set_id, read_by, day, read_check) VALUES (?, ?, ?, ?)"
            cursor = connection.execute(query, (str(set_id), str(read_by), day.isoformat(), str(check)))
            assert cursor.lastrowid is not None
            row = ReadingRow(cursor.lastrowid, str(set_id), str(read_by), day, str(check))
            chain.add_link(connection, "reading", row.id, row.set_id, chain.reading_content(row))
        return row

    def add_correction(self, day: date, said_by: str, reason: str) -> CorrectionRow:
        """Enter that nothing entered before carries a later day than this one."""
        with self.writing() as connection:
            query = "INSERT INTO corrections (day, said_by, reason) VALUES (?, ?, ?)"
            cursor = connection.execute(query, (day.isoformat(), str(said_by), str(reason)))
            assert cursor.lastrowid is not None
            row = CorrectionRow(cursor.lastrowid, day, str(said_by), str(reason))
            chain.add_link(connection, "correction", row.id, "", chain.correction_content(row))
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
        return None if row is None else deck_of(row)
