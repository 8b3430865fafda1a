"""The chain: every entry of the register carries a hash over itself and the one before it.

A changed, removed or reordered row breaks the chain at that row; the seal, which holds the
number of links and the last hash, shows that the last rows are still there.
"""

from __future__ import annotations

import sqlite3

from cardgen.register.migrations import NO_HASH
from cardgen.register.rows import (
    CorrectionRow,
    DeckRow,
    EntryRow,
    EventKind,
    EventRow,
    FileRow,
    PlaceRow,
    ReadingRow,
    WithdrawalRow,
)
from cardgen.spec.canonical import canonical, sha256


def deck_content(
    deck: DeckRow, files: tuple[FileRow, ...], places: tuple[PlaceRow, ...], reading: ReadingRow | None
) -> list[object]:
    """Everything the register says about a deck as it was issued, for hashing.

    Decks of a time before readings were kept have none, and nothing stands in its place.
    """
    return [
        deck.id,
        deck.set_id,
        deck.revision,
        deck.code,
        deck.issued,
        deck.use_until,
        deck.approved_by,
        deck.reason,
        deck.spec_sha256,
        deck.version,
        [[file.name, file.sha256, file.size] for file in files],
        [[place.edition, place.number, place.place] for place in places],
        *([reading.id] if reading else []),
    ]


def withdrawal_content(row: WithdrawalRow) -> list[object]:
    """Everything the register says about a withdrawal, for hashing."""
    return [row.deck, row.day, row.reason]


def entry_content(row: EntryRow) -> list[object]:
    """Everything the register says about a log entry, for hashing."""
    return [row.id, row.deck, row.card, row.day, row.content]


def reading_content(row: ReadingRow) -> list[object]:
    """Everything the register says about a reading, for hashing."""
    return [row.id, row.set_id, row.read_by, row.day, row.check]


def correction_content(row: CorrectionRow) -> list[object]:
    """Everything the register says about a correction, for hashing."""
    return [row.id, row.day, row.said_by, row.reason]


def link_hash(number: int, kind: str, set_id: str, content: list[object], previous: str) -> str:
    """Hash one link over its number, kind, rotor and content and the hash of the link before it."""
    return sha256(canonical([number, kind, set_id, content, previous]))


def add_link(
    connection: sqlite3.Connection, kind: EventKind, subject: int, set_id: str, content: list[object]
) -> None:
    """Add a link to the chain and renew the seal, inside the caller's transaction."""
    length, previous = connection.execute("SELECT length, hash FROM seal").fetchone()
    number = length + 1
    digest = link_hash(number, kind, set_id, content, previous)
    connection.execute(
        "INSERT INTO events (id, kind, subject, set_id, previous, hash) VALUES (?, ?, ?, ?, ?, ?)",
        (number, kind, subject, set_id, previous, digest),
    )
    connection.execute("UPDATE seal SET length = ?, hash = ? WHERE one = 1", (number, digest))


def event_of(connection: sqlite3.Connection, kind: EventKind, subject: int) -> EventRow | None:
    """Find the link that was made when a row was entered."""
    row = connection.execute(
        "SELECT id, kind, subject, set_id, previous, hash FROM events WHERE kind = ? AND subject = ?",
        (kind, subject),
    ).fetchone()
    return None if row is None else EventRow(*row)


def holds(event: EventRow | None, kind: EventKind, set_id: str, content: list[object]) -> bool:
    """Whether a row still is what its link was made over."""
    if event is None or (event.kind, event.set_id) != (kind, set_id):
        return False
    return event.hash == link_hash(event.id, kind, set_id, content, event.previous)


def is_unbroken(connection: sqlite3.Connection) -> bool:
    """Whether every link names the one before it, up to the end that the seal holds."""
    seal = connection.execute("SELECT length, hash FROM seal").fetchall()
    last = connection.execute("SELECT id, hash FROM events ORDER BY id DESC LIMIT 1").fetchone()
    if seal != [last or (0, NO_HASH)]:
        return False
    (broken,) = connection.execute(_BROKEN, (NO_HASH,)).fetchone()
    return not broken


_BROKEN = """
SELECT EXISTS (
  SELECT 1 FROM events AS later LEFT JOIN events AS earlier ON earlier.id = later.id - 1
  WHERE later.previous IS NOT COALESCE(earlier.hash, ?)
)
"""
