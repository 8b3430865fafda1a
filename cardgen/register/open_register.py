"""Opening the register: the right file, of a version this program knows, with full syncs.

Every commit is synced to the disk before it is reported (SQLite documentation, "PRAGMA
synchronous": EXTRA also syncs the folder once the rollback journal is gone).
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Sequence
from pathlib import Path
from typing import Literal, TypeAlias

from cardgen.placing import make_folder
from cardgen.plain_file import is_odd
from cardgen.register.database import Register
from cardgen.register.errors import OTHER_FILE, RegisterTrouble, trouble, trouble_of_sqlite, trouble_of_system
from cardgen.register.export import stated_size
from cardgen.register.head import note_path
from cardgen.register.identity import name_register
from cardgen.register.location import store_path
from cardgen.register.migrations import APPLICATION_ID, VERSIONS, migrate
from cardgen.register.store import Store

BUSY_SECONDS = 30.0
#: Names of what SQLite keeps beside a database (SQLite documentation, "Temporary Files Used By SQLite").
_BESIDE = ("-journal", "-wal", "-shm")

Mode: TypeAlias = Literal["read", "write", "create"]


def open_register(
    path: Path, mode: Mode, versions: Sequence[str] = VERSIONS, busy_seconds: float = BUSY_SECONDS
) -> Register | RegisterTrouble:
    """Open the register to read or write it; ``create`` also makes a new one.

    A register is never made anew where kept files show that there was one: its revisions would
    start again at 1 while old cards hang on the wall.
    """
    try:
        problem = _missing(path, mode)
    except OSError as error:
        return trouble_of_system(error, path)
    if problem:
        return problem
    connection: sqlite3.Connection | None = None
    try:
        connection = _connect(path, mode, busy_seconds)
        problem = _prepare(connection, path, mode, versions)
    except sqlite3.Error as error:
        problem = _cut_off(path) or trouble_of_sqlite(error, path)
    except UnicodeDecodeError:
        problem = trouble("damaged", path, "the register's own table list is not text any more")
    except OSError as error:
        problem = trouble_of_system(error, path)
    if problem or connection is None:
        if connection:
            connection.close()
        return problem or trouble("input/output", path, "cannot be opened")
    return Register(path, connection)


def _missing(path: Path, mode: Mode) -> RegisterTrouble | None:
    if path.is_dir():
        return trouble("missing", path, "this is a folder, not a register", "the path of a file")
    if is_odd(path):
        return trouble("missing", path, "this is no ordinary file, and no register", "the path of a file")
    for beside in (Path(f"{os.path.realpath(path)}{end}") for end in _BESIDE):
        if is_odd(beside):
            # The database would wait for ever for somebody at the other end of a pipe.
            why = "this is no ordinary file, and stands where the register keeps its unfinished work"
            return trouble("missing", beside, why, "find out who put it there, and remove it")
    if path.exists() and path.stat().st_nlink > 1:
        # Each name would have a journal and a store of its own (SQLite, "How To Corrupt An SQLite Database").
        why = "this file has a second name, a hard link, and each of the two would have kept files of its own"
        return trouble("missing", path, why, "remove the other name; a symbolic link does no harm")
    if path.exists() and path.stat().st_size:
        return None
    store = Store(store_path(path))
    if not store.is_empty() or note_path(store.path).exists():
        why = "the register is gone or empty, but the files it kept are still beside it"
        return trouble("missing", path, why, "bring back the last good copy of the register")
    if mode == "create":
        make_folder(path.absolute().parent)
        return None
    return trouble("missing", path, "there is no register here")


def _cut_off(path: Path) -> RegisterTrouble | None:
    """Tell a file that is shorter than it says from one that is damaged otherwise."""
    try:
        with path.open("rb") as file:
            stated, there = stated_size(file.read(100)), path.stat().st_size
    except OSError:
        # Then it is damaged otherwise, and the caller tells how.
        return None
    if there >= stated:
        return None
    return trouble("damaged", path, f"the register was cut off: {there} of {stated} bytes are there")


def _connect(path: Path, mode: Mode, busy_seconds: float) -> sqlite3.Connection:
    address = path.absolute().as_uri()
    ways = {"read": ("rw", "ro"), "write": ("rw",), "create": ("rwc",)}[mode]
    # Reading, too, may have to roll back what a cut-off program left; a read-only file cannot.
    for way in ways:
        connection = sqlite3.connect(
            f"{address}?mode={way}", uri=True, timeout=busy_seconds, isolation_level=None
        )
        try:
            for setting in ("trusted_schema = OFF", "foreign_keys = ON", "cell_size_check = ON"):
                connection.execute(f"PRAGMA {setting}")
            if mode != "read":
                connection.execute("PRAGMA journal_mode = DELETE")
                connection.execute("PRAGMA synchronous = EXTRA")
            connection.execute("SELECT COUNT(*) FROM sqlite_master").fetchone()
        except sqlite3.OperationalError as error:
            connection.close()
            if way == ways[-1] or error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_CANTOPEN:
                raise
        except BaseException:
            connection.close()
            raise
        else:
            return connection
    raise AssertionError("unreachable")


def _prepare(
    connection: sqlite3.Connection, path: Path, mode: Mode, versions: Sequence[str]
) -> RegisterTrouble | None:
    found = _version(connection)
    if found == (0, 0) and _is_blank(connection):
        if mode != "create":
            return trouble("missing", path, "the register is empty")
        return _bring_up(connection, path, versions)
    version, application = found
    if application != APPLICATION_ID or version < 1:
        return trouble("damaged", path, "the file is not a register, or its head is damaged", OTHER_FILE)
    if version > len(versions):
        why = f"the register was written by a newer version of this program (tables {version})"
        return trouble("newer version", path, why, "use the newer version of this program")
    if version < len(versions):
        # Whoever only reads leaves an older register as it is: what it has not got is read as not there.
        return None if mode == "read" else _bring_up(connection, path, versions)
    if mode != "read":
        # SQLite opens a file that may not be written for reading; better told now than after a build.
        connection.execute("BEGIN IMMEDIATE")
        connection.execute(f"PRAGMA user_version = {version}")
        connection.execute("ROLLBACK")
    return None


def _bring_up(connection: sqlite3.Connection, path: Path, versions: Sequence[str]) -> RegisterTrouble | None:
    connection.execute("BEGIN IMMEDIATE")
    try:
        # Another program may have done it while this one waited.
        if _version(connection)[0] < len(versions):
            migrate(connection, versions)
            name_register(connection)
        connection.execute("COMMIT")
    except sqlite3.Error as error:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        return trouble_of_sqlite(error, path)
    return None


def _version(connection: sqlite3.Connection) -> tuple[int, int]:
    (version,) = connection.execute("PRAGMA user_version").fetchone()
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    return version, application


def _is_blank(connection: sqlite3.Connection) -> bool:
    (count,) = connection.execute("SELECT COUNT(*) FROM sqlite_master").fetchone()
    return bool(count == 0)
