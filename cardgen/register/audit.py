"""Everything that is wrong with a register and its kept files, found without changing anything."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

from cardgen.register import chain
from cardgen.register.database import Register
from cardgen.register.errors import DamagedRowError, RegisterTrouble
from cardgen.register.linked import content_of
from cardgen.register.migrations import NO_HASH, VERSIONS, expected_tables, tables
from cardgen.register.rows import EventKind, EventRow
from cardgen.register.trust import against_note

Level: TypeAlias = Literal["fault", "note"]

_MOST_MESSAGES = 100


@dataclass(frozen=True)
class Found:
    """One thing that the check found: a fault, or a note that asks for nothing."""

    level: Level
    what: str


@dataclass(frozen=True)
class Checked:
    """What a check looked at and found."""

    decks: int
    files: int
    found: tuple[Found, ...]

    @property
    def is_sound(self) -> bool:
        """Whether there is no fault."""
        return all(each.level != "fault" for each in self.found)


def check(register: Register, *, read_files: bool = True) -> Checked:
    """Check the database file, the chain, and every kept file. Never raises for damage."""
    found: list[Found] = []
    counts = {"decks": 0, "files": 0}
    wanted: dict[str, str] = {}
    # Decks that others enter meanwhile are not seen, or their links would seem to be missing.
    with register.reading():
        for part in (_structure, _tables, _chain, _seal, _note):
            _collect(found, part.__doc__ or "", part, register)
        _collect(found, "the list of kept files", lambda it: _wanted(it, wanted, counts), register)
    if read_files:
        _collect(found, "the kept files", lambda it: _kept(it, wanted), register)
    return Checked(counts["decks"], counts["files"], tuple(found))


def _collect(
    found: list[Found], what: str, part: Callable[[Register], Iterator[Found]], register: Register
) -> None:
    try:
        found.extend(part(register))
    except (sqlite3.Error, DamagedRowError, OSError, ValueError, TypeError) as error:
        found.append(Found("fault", f"{what.rstrip('.')} cannot be read to its end: {error}"))


def _structure(register: Register) -> Iterator[Found]:
    """The database file."""
    for (message,) in register.connection.execute(f"PRAGMA integrity_check({_MOST_MESSAGES})"):
        if message != "ok":
            yield Found("fault", f"the database file is damaged: {message}")
    for table, row, parent, _ in register.connection.execute("PRAGMA foreign_key_check"):
        yield Found("fault", f"row {row} of {table} belongs to nothing in {parent}")


def _tables(register: Register) -> Iterator[Found]:
    """The list of tables."""
    (version,) = register.connection.execute("PRAGMA user_version").fetchone()
    present, expected = tables(register.connection), expected_tables(VERSIONS[:version])
    for name in sorted({*present, *expected}):
        if present.get(name) != expected.get(name):
            yield Found("fault", f"table or index {name!a} is not as this program makes it")


def _chain(register: Register) -> Iterator[Found]:
    """The chain of entries."""
    previous, number = NO_HASH, 0
    linked: set[tuple[str, int]] = set()
    query = "SELECT id, kind, subject, set_id, previous, hash FROM events ORDER BY id"
    for row in register.connection.execute(query):
        event = EventRow(*row)
        number += 1
        if event.id != number:
            yield Found("fault", f"chain: links {number} to {event.id - 1} are gone")
            number = event.id
        if event.previous != previous:
            yield Found("fault", f"chain: link {event.id} does not follow the one before it")
        previous = event.hash
        linked.add((event.kind, event.subject))
        content = content_of(register, event)
        name = f"{event.kind} {event.subject} ({ascii(event.set_id)[1:-1]})"
        if content is None:
            yield Found("fault", f"chain: {name}, entered by link {event.id}, is gone")
        elif event.hash != chain.link_hash(event.id, event.kind, event.set_id, content, event.previous):
            yield Found("fault", f"chain: {name} is not what link {event.id} was made over")
    yield from _unlinked(register, linked)


def _unlinked(register: Register, linked: set[tuple[str, int]]) -> Iterator[Found]:
    sources = [("deck", "id", "decks"), ("withdrawal", "deck", "withdrawals"), ("entry", "id", "entries")]
    later: list[tuple[EventKind, str, str]] = [
        ("reading", "id", "readings"),
        ("correction", "id", "corrections"),
        ("identity", "one", "identity"),
    ]
    sources += [source for source in later if register.has(source[0])]
    for kind, key, table in sources:
        for (number,) in register.connection.execute(f"SELECT {key} FROM {table}"):
            if (kind, number) not in linked:
                yield Found("fault", f"chain: {kind} {number} was put in without a link")


def _seal(register: Register) -> Iterator[Found]:
    """The seal of the chain."""
    seal = register.connection.execute("SELECT length, hash FROM seal").fetchall()
    last = register.connection.execute("SELECT id, hash FROM events ORDER BY id DESC LIMIT 1").fetchone()
    if seal != [last or (0, NO_HASH)]:
        yield Found("fault", "chain: the last links are gone, or the seal was changed")


def _note(register: Register) -> Iterator[Found]:
    """The store's note of the chain's end."""
    if found := against_note(register, register.head()):
        yield Found("fault", found.why)


def _wanted(register: Register, wanted: dict[str, str], counts: dict[str, int]) -> Iterator[Found]:
    for deck in register.decks():
        counts["decks"] += 1
        wanted.setdefault(deck.spec_sha256, f"the specification of {deck.folder}")
        for file in register.files(deck.id):
            counts["files"] += 1
            wanted.setdefault(file.sha256, f"{file.name} of {deck.folder}")
    yield from ()


def _kept(register: Register, wanted: dict[str, str]) -> Iterator[Found]:
    for name, what in wanted.items():
        content = register.store.read(name)
        if isinstance(content, RegisterTrouble):
            yield Found("fault", f"{ascii(what)[1:-1]}: {content.why} ({content.file})")
    spare = sum(name not in wanted for name in register.store.names())
    if spare:
        why = "left by an issue that did not finish, or the register is older than its store"
        yield Found("note", f"{spare} kept files belong to no deck: {why}")
