"""Everything a register holds, as one value for JSON, also from a damaged file."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from cardgen.register.migrations import VERSIONS
from cardgen.register.trouble import RegisterTrouble, trouble, trouble_of_sqlite

_TABLES = ("decks", "files", "places", "withdrawals", "entries", "events", "seal")
_KEYS = {"files": ("deck", "name"), "places": ("deck", "edition", "number")}


def export_file(path: Path) -> dict[str, Any] | RegisterTrouble:
    """Read all that can be read of a register file, or say why not even its head can be."""
    try:
        connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True, isolation_level=None)
    except sqlite3.Error as error:
        return trouble_of_sqlite(error, path)
    try:
        # A damaged text is better shown with marks than not at all.
        connection.text_factory = lambda raw: raw.decode("utf-8", "replace")
        connection.execute("SELECT COUNT(*) FROM sqlite_master").fetchone()
        return export(connection)
    except sqlite3.Error as error:
        return trouble_of_sqlite(error, path)
    except UnicodeDecodeError:
        return trouble("damaged", path, "the register's own table list is not text any more")
    finally:
        connection.close()


def export(connection: sqlite3.Connection) -> dict[str, Any]:
    """Read every row that can be read; what cannot is told under ``unread``. Never raises for damage."""
    unread: list[str] = []
    content: dict[str, Any] = {"register": len(VERSIONS)}
    for table in _TABLES:
        content[table] = list(_rows(connection, table, unread))
    content["unread"] = unread
    return content


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
        except (sqlite3.Error, UnicodeDecodeError) as error:
            unread.append(f"{table}, {'from its start' if direction == 'ASC' else 'from its end'}: {error}")
            broken = True
        if not broken:
            return


def _plain(value: object) -> object:
    return value.hex() if isinstance(value, bytes) else value
