"""Everything a register holds, as one value for JSON, also from a damaged file."""

from __future__ import annotations

import errno
import json
import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from pathlib import Path
from typing import Any

from cardgen.plain_file import NotPlainError, is_odd, read_plain
from cardgen.register.errors import RegisterTrouble, trouble_of_sqlite, trouble_of_system
from cardgen.register.location import store_path
from cardgen.register.migrations import VERSIONS
from cardgen.register.store import Store

_TABLES = (
    *("decks", "files", "places", "withdrawals", "entries", "readings", "issued_on"),
    *("identity", "corrections", "events", "seal"),
)
#: Tables that a register of an earlier version has not got.
_SINCE = {"readings": 2, "issued_on": 2, "identity": 3, "corrections": 3}
_KEYS = {"files": ("deck", "name"), "places": ("deck", "edition", "number")}

#: What a damaged file may do to whoever reads it.
_DAMAGE = (sqlite3.Error, ValueError, TypeError, OverflowError, MemoryError)

#: What a kept description tells of its deck.
_TOLD = ("set_id", "revision", "code", "issued", "use_until")
#: Length of a database file's header, and how much of a file may be missing, in bytes.
_HEAD, _MOST_MISSING = 100, 1 << 28


def export_file(path: Path) -> dict[str, Any] | RegisterTrouble:
    """Read all that can be read of a register file and of the files it kept, or say why nothing can be.

    What is told under ``kept`` comes from the descriptions in the store: it names every deck that
    was ever built for issue, even where nothing of the register itself is left.
    """
    unread: list[str] = []
    kept = list(_descriptions(path, unread))
    try:
        if is_odd(path):
            raise NotPlainError(errno.EINVAL, "this is no ordinary file", str(path))
        with _held(path):
            content = b"" if kept and not path.exists() else read_plain(path)
    except OSError as error:
        if not kept:
            return trouble_of_system(error, path)
        unread.append(f"the register itself: {error.strerror or type(error).__name__}")
        content = b""
    connection = sqlite3.connect(":memory:", isolation_level=None)
    try:
        found = _opened(connection, content)
        if found is None:
            told = export(connection)
            told["unread"] += [*_cut_off(content), *_unfinished(path), *unread]
            return {**told, "kept": kept}
        if not kept:
            known = found if isinstance(found, sqlite3.Error) else sqlite3.DatabaseError(str(found))
            return trouble_of_sqlite(known, path)
    finally:
        connection.close()
    empty: dict[str, Any] = {table: [] for table in _TABLES}
    unread = [f"the register itself: {found}", *unread]
    return {"register": len(VERSIONS), **empty, "unread": unread, "kept": kept}


@contextmanager
def _held(path: Path) -> Iterator[None]:
    """Keep others from entering anything while the file is read; a damaged register is read all the same."""
    with ExitStack() as stack:
        # What cannot be held is read as it stands, and what cannot be read is told.
        with suppress(*_DAMAGE):
            connection = stack.enter_context(closing(_reader(path)))
            connection.execute("BEGIN")
            connection.execute("SELECT COUNT(*) FROM sqlite_master").fetchone()
        yield


def _reader(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True, isolation_level=None)


def _unfinished(path: Path) -> list[str]:
    journal = path.with_name(f"{path.name}-journal")
    if not journal.exists() or not journal.stat().st_size:
        return []
    return ["an unfinished change stands beside the register; `register list` takes it back, then export again"]


def _opened(connection: sqlite3.Connection, content: bytes) -> Exception | None:
    """Load a file into memory, what is missing of it as empty pages, or give what stands against it."""
    # A damaged text is better shown with marks than not at all.
    connection.text_factory = lambda raw: raw.decode("utf-8", "replace")
    try:
        if not content:
            raise sqlite3.DatabaseError("there is nothing in it")
        connection.deserialize(content.ljust(min(stated_size(content), len(content) + _MOST_MISSING), b"\0"))
        connection.execute("PRAGMA trusted_schema = OFF")
        connection.execute("SELECT COUNT(*) FROM sqlite_master").fetchone()
    except _DAMAGE as error:
        return error
    return None


def stated_size(content: bytes) -> int:
    """Give the size that a database file says it has, in bytes; 0 where it is no database.

    From the file's header: the size of a page at byte 16, their number at byte 28 (SQLite
    documentation, "Database File Format", 1.3).
    """
    if len(content) < _HEAD or not content.startswith(b"SQLite format 3\0"):
        return 0
    page = int.from_bytes(content[16:18], "big")
    return (65536 if page == 1 else page) * int.from_bytes(content[28:32], "big")


def _descriptions(path: Path, unread: list[str]) -> Iterator[dict[str, Any]]:
    """Tell every deck by its kept description; kept files that cannot be read are told under ``unread``."""
    store, names = Store(store_path(path)), list[str]()
    try:
        names.extend(store.names())
    except OSError as error:
        unread.append(f"the kept files: {error.strerror or type(error).__name__}")
    for name in names:
        content = store.read(name)
        if isinstance(content, RegisterTrouble):
            unread.append(f"kept file {name}: {content.why}")
        elif content.startswith(b"{"):
            # The bytes are those that were kept; what does not tell of a deck is another file of one.
            with suppress(ValueError, KeyError, TypeError, RecursionError):
                told = json.loads(content)
                yield {"sha256": name, **{key: told[key] for key in _TOLD}}


def export(connection: sqlite3.Connection) -> dict[str, Any]:
    """Read every row that can be read; what cannot is told under ``unread``. Never raises for damage."""
    unread: list[str] = []
    content: dict[str, Any] = {"register": len(VERSIONS)}
    version = _version(connection, unread)
    for table in _TABLES:
        there = version >= _SINCE.get(table, 0)
        content[table] = list(_rows(connection, table, unread)) if there else []
    content["unread"] = unread
    return content


def _cut_off(content: bytes) -> Iterator[str]:
    """Say that the end of the file is gone: what is read of a page that is there in part looks whole."""
    stated = stated_size(content)
    if len(content) < stated:
        yield f"the register was cut off: {len(content)} of {stated} bytes are there"


def _version(connection: sqlite3.Connection, unread: list[str]) -> int:
    """Read the version of the tables; the newest where that cannot be read, so that all are looked for."""
    try:
        return int(connection.execute("PRAGMA user_version").fetchone()[0]) or len(VERSIONS)
    except _DAMAGE as error:
        unread.append(f"the version of the tables: {error}")
        return len(VERSIONS)


def _rows(connection: sqlite3.Connection, table: str, unread: list[str]) -> Iterator[dict[str, Any]]:
    """Walk a table forwards; where it breaks, walk backwards from its end to the same place."""
    order = ", ".join(_KEYS.get(table, ("rowid",)))
    seen: set[tuple[Any, ...]] = set()
    broken = False
    for direction in ("ASC", "DESC"):
        keys = ", ".join(f"{key} {direction}" for key in order.split(", "))
        try:
            cursor = connection.execute(f"SELECT * FROM {table} ORDER BY {keys}")
            names = [column[0] for column in cursor.description]
            for row in cursor:
                if row not in seen:
                    seen.add(row)
                    yield dict(zip(names, map(_plain, row), strict=True))
        except _DAMAGE as error:
            unread.append(f"{table}, {'from its start' if direction == 'ASC' else 'from its end'}: {error}")
            broken = True
        if not broken:
            return


def _plain(value: object) -> object:
    return value.hex() if isinstance(value, bytes) else value
