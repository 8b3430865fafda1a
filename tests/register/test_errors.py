"""What errors of SQLite and of the system mean, by their published numbers."""

from __future__ import annotations

import errno
import sqlite3
from pathlib import Path

import pytest

from cardgen.register.errors import OTHER_FILE, trouble_of_sqlite, trouble_of_system

FILE = Path("club.sqlite")


@pytest.mark.parametrize(
    ("number", "kind"),
    # "Result and Error Codes": the low eight bits are the primary code, the rest say more.
    [
        (5, "busy"),
        (517, "busy"),  # SQLITE_BUSY_SNAPSHOT
        (6, "busy"),
        (8, "read-only"),
        (1544, "read-only"),  # SQLITE_READONLY_DIRECTORY
        (14, "read-only"),
        (13, "disk full"),
        (10, "input/output"),
        (266, "input/output"),  # SQLITE_IOERR_READ
        (26, "damaged"),
        (11, "damaged"),
        (1, "damaged"),
    ],
)
def test_a_result_of_sqlite_is_told_by_its_primary_code(number: int, kind: str) -> None:
    error = sqlite3.OperationalError("as it says")
    error.sqlite_errorcode = number
    found = trouble_of_sqlite(error, FILE)
    assert found.kind == kind
    assert (found.write == OTHER_FILE) is (number == 26)


@pytest.mark.parametrize(
    ("number", "kind"),
    [
        (errno.ENOSPC, "disk full"),
        (errno.EACCES, "read-only"),
        (errno.EROFS, "read-only"),
        (errno.ENOENT, "missing"),
        (errno.EEXIST, "exists"),
        (errno.EIO, "input/output"),
    ],
)
def test_an_error_of_the_system_is_told_by_its_number(number: int, kind: str) -> None:
    assert trouble_of_system(OSError(number, "as it says"), FILE).kind == kind
