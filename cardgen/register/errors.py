"""What can be wrong with the register or its kept files, as a value with a way out."""

from __future__ import annotations

import errno
import functools
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Concatenate, Literal, ParamSpec, Protocol, TypeAlias, TypeVar

Kind: TypeAlias = Literal[
    "newer version",
    "damaged",
    "older",
    "clock",
    "busy",
    "read-only",
    "disk full",
    "missing",
    "input/output",
    "exists",
]

P = ParamSpec("P")
T = TypeVar("T")


@dataclass(frozen=True)
class RegisterTrouble:
    """Why the register, its store or the output folder could not be used, and what to do."""

    kind: Kind
    file: str
    why: str
    write: str


class DamagedRowError(Exception):
    """A row that cannot be what was written; turned into a value before it leaves this package."""


class TroubleError(Exception):
    """A trouble on its way to whoever asked; turned into its value before it leaves this package."""

    def __init__(self, found: RegisterTrouble) -> None:
        super().__init__(found.why)
        self.trouble = found


class HasPath(Protocol):
    """Something that lives in a file."""

    @property
    def path(self) -> Path:
        """Where it lives."""


R = TypeVar("R", bound=HasPath)

#: The file has not even the beginning of a register.
NO_REGISTER = "the file is not a register"
_RESTORE = "bring back the last good copy; `register export` saves what can still be read"
#: For a file that may never have been a register.
OTHER_FILE = f"check the path that was given for the register; if it is the right one, {_RESTORE}"
_WAYS_OUT: dict[Kind, str] = {
    "busy": "try again in a moment; if it stays so, look for a program that holds the register open",
    "read-only": "check who may write to this file and its folder",
    "disk full": "free some space and try again",
    "damaged": _RESTORE,
    "input/output": "check the disk or the network drive, then run `register check`",
    "missing": "check the path, or name the register with --register",
}

# Primary result codes (SQLite documentation, "Result and Error Codes").
_KIND_OF_RESULT: dict[int, tuple[Kind, str]] = {
    sqlite3.SQLITE_BUSY: ("busy", "another program is writing to the register"),
    sqlite3.SQLITE_LOCKED: ("busy", "another program is writing to the register"),
    sqlite3.SQLITE_READONLY: ("read-only", "the register may not be written to"),
    sqlite3.SQLITE_PERM: ("read-only", "the register may not be written to"),
    sqlite3.SQLITE_AUTH: ("read-only", "the register may not be written to"),
    sqlite3.SQLITE_FULL: ("disk full", "the disk with the register is full"),
    sqlite3.SQLITE_CANTOPEN: ("read-only", "the register or its journal cannot be opened"),
    sqlite3.SQLITE_IOERR: ("input/output", "the disk with the register does not answer as it should"),
    sqlite3.SQLITE_NOTADB: ("damaged", NO_REGISTER),
}


def trouble(kind: Kind, path: Path, why: str, write: str = "") -> RegisterTrouble:
    """Make a trouble, with the usual way out where none is given."""
    return RegisterTrouble(kind, str(path), why, write or _WAYS_OUT[kind])


def trouble_of_sqlite(error: sqlite3.Error, path: Path) -> RegisterTrouble:
    """Tell what an error from SQLite means for the keeper."""
    result = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF
    kind, why = _KIND_OF_RESULT.get(result, ("damaged", f"the register cannot be read: {error}"))
    return trouble(kind, path, why, OTHER_FILE if why == NO_REGISTER else "")


def trouble_of_system(error: OSError, path: Path) -> RegisterTrouble:
    """Tell what an error from the operating system means for the keeper."""
    what = (error.strerror or "cannot be used").lower()
    if error.errno in {errno.ENOSPC, errno.EDQUOT}:
        return trouble("disk full", path, "the disk is full")
    if error.errno in {errno.EACCES, errno.EPERM, errno.EROFS}:
        return trouble("read-only", path, f"cannot be written or read: {what}")
    if error.errno in {errno.ENOENT, errno.ENOTDIR}:
        return trouble("missing", path, what)
    if error.errno in {errno.EEXIST, errno.ENOTEMPTY}:
        return trouble("exists", path, "is there already", "another folder, or move the old one away")
    return trouble("input/output", path, what)


def troubles_as_values(
    operation: Callable[Concatenate[R, P], T],
) -> Callable[Concatenate[R, P], T | RegisterTrouble]:
    """Let an operation on a register return its trouble instead of raising it."""

    @functools.wraps(operation)
    def guarded(register: R, /, *args: P.args, **kwargs: P.kwargs) -> T | RegisterTrouble:
        try:
            return operation(register, *args, **kwargs)
        except TroubleError as error:
            return error.trouble
        except DamagedRowError as error:
            return trouble("damaged", register.path, str(error))
        except sqlite3.Error as error:
            return trouble_of_sqlite(error, register.path)
        except UnicodeDecodeError:
            return trouble("damaged", register.path, "a text of the register is not text any more")

    return guarded
