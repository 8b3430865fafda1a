"""From the register's columns to rows, and back; what cannot be what was written is damage."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from cardgen.register.code import Code, read_code
from cardgen.register.errors import DamagedRowError
from cardgen.register.rows import DeckRow, EntryRow, NewDeck, ReadingRow


def stored(new: NewDeck) -> tuple[str | int, ...]:
    """Give a new deck's columns as they are kept."""
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


def deck_of(row: Sequence[object]) -> DeckRow:
    """Read a deck. Raises `DamagedRowError`."""
    number, set_id, revision, code, issued, use_until, approved_by, reason, spec_sha256, version = row
    read = read_code(text_of(code))
    if (
        not isinstance(number, int)
        or not isinstance(revision, int)
        or not isinstance(read, Code)
        or read != code
    ):
        raise DamagedRowError(f"entry {number!r} of the register holds something that is no deck")
    return DeckRow(
        number,
        text_of(set_id),
        revision,
        read,
        day_of(issued),
        day_of(use_until),
        text_of(approved_by),
        text_of(reason),
        text_of(spec_sha256),
        text_of(version),
    )


def entry_of(row: Sequence[Any]) -> EntryRow:
    """Read a log entry. Raises `DamagedRowError`."""
    return EntryRow(row[0], row[1], text_of(row[2]), day_of(row[3]), text_of(row[4]))


def read_of(row: Sequence[Any]) -> ReadingRow:
    """Read a reading. Raises `DamagedRowError`."""
    return ReadingRow(row[0], text_of(row[1]), text_of(row[2]), day_of(row[3]), text_of(row[4]))


def text_of(value: object) -> str:
    """Read a text. Raises `DamagedRowError`."""
    if not isinstance(value, str):
        raise DamagedRowError("a text of the register is no text")
    return value


def day_of(value: object) -> date:
    """Read a day. Raises `DamagedRowError`."""
    try:
        return date.fromisoformat(text_of(value))
    except ValueError:
        raise DamagedRowError(f"a date of the register is no date: {value!a}") from None
