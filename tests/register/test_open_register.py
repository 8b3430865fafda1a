"""Opening the register: what is no register, a newer one, a busy one, a missing one."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from cardgen.register.errors import RegisterTrouble
from cardgen.register.location import register_path
from cardgen.register.migrations import APPLICATION_ID, VERSIONS
from cardgen.register.open_register import Mode, open_register
from tests.issuing.decks import issued, opened


def trouble_with(path: Path, mode: Mode = "read") -> RegisterTrouble:
    found = open_register(path, mode, busy_seconds=0.05)
    assert isinstance(found, RegisterTrouble), found
    assert found.why and found.write and found.file == str(path)
    return found


def test_the_path_given_outweighs_the_environment_and_that_the_data_folder() -> None:
    given = Path("/srv/club.sqlite")
    environment = {"CARDGEN_REGISTER": "/srv/other.sqlite", "XDG_DATA_HOME": "/data", "HOME": "/home/k"}
    assert register_path(given, environment) == given
    assert register_path(None, environment) == Path("/srv/other.sqlite")
    assert register_path(None, {"XDG_DATA_HOME": "/data"}) == Path("/data/cardgen/register.sqlite")
    usual = Path("/home/k/.local/share/cardgen/register.sqlite")
    # XDG Base Directory Specification 0.8: a relative path is invalid and is ignored.
    for ignored in ("", "relative/path"):
        assert register_path(None, {"XDG_DATA_HOME": ignored, "HOME": "/home/k"}) == usual


@pytest.mark.parametrize("mode", ["read", "write"])
def test_reading_or_writing_makes_no_register(tmp_path: Path, mode: Mode) -> None:
    path = tmp_path / "none.sqlite"
    assert trouble_with(path, mode).kind == "missing"
    assert not path.exists()


def test_a_register_is_made_with_its_folders_and_full_syncs(tmp_path: Path) -> None:
    path = tmp_path / "a #1 100%?" / "club.sqlite"
    with opened(path) as register:
        # SQLite documentation, "PRAGMA synchronous": 3 is EXTRA.
        settings = [
            register.connection.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("journal_mode", "synchronous", "foreign_keys", "user_version", "application_id")
        ]
        assert settings == ["delete", 3, 1, len(VERSIONS), APPLICATION_ID]
    assert path.exists()


def test_a_register_that_is_gone_while_its_files_are_there_is_never_started_again(tmp_path: Path) -> None:
    path = tmp_path / "club.sqlite"
    with opened(path) as register:
        issued(register, tmp_path / "out")
    for ruin in (lambda: path.unlink(), lambda: path.write_bytes(b"")):
        ruin()
        assert trouble_with(path, "create").kind == "missing"


def test_an_empty_file_left_by_a_program_that_was_cut_off_becomes_a_register(tmp_path: Path) -> None:
    path = tmp_path / "club.sqlite"
    path.write_bytes(b"")
    with opened(path) as register:
        assert issued(register, tmp_path / "out").deck.revision == 1


@pytest.mark.parametrize(
    "content", [b"not a database, and long enough to be looked at" * 40, b"SQLite", b"\0" * 5000]
)
def test_a_file_that_is_no_register_is_called_damaged_and_left_alone(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "club.sqlite"
    path.write_bytes(content)
    assert trouble_with(path, "create").kind == "damaged"
    assert path.read_bytes() == content


def test_a_database_of_another_program_is_not_taken_over(tmp_path: Path) -> None:
    path = tmp_path / "other.sqlite"
    with sqlite3.connect(path) as connection:
        connection.execute("CREATE TABLE decks (id)")
    connection.close()
    assert trouble_with(path, "create").kind == "damaged"


def test_a_register_of_a_newer_version_is_left_alone_and_says_so(tmp_path: Path) -> None:
    path = tmp_path / "club.sqlite"
    newer = (*VERSIONS, "CREATE TABLE later (id INTEGER PRIMARY KEY) STRICT")
    made = open_register(path, "create", newer)
    assert not isinstance(made, RegisterTrouble)
    made.close()
    before = path.read_bytes()
    assert trouble_with(path, "create").kind == "newer version"
    assert path.read_bytes() == before


def test_an_older_register_is_brought_up_and_keeps_its_decks(tmp_path: Path) -> None:
    path = tmp_path / "club.sqlite"
    with opened(path) as register:
        deck = issued(register, tmp_path / "out").deck
    newer = (*VERSIONS, "CREATE TABLE later (id INTEGER PRIMARY KEY) STRICT; INSERT INTO later VALUES (1)")
    read_only = open_register(path, "read", newer)
    assert isinstance(read_only, RegisterTrouble)
    with_more = open_register(path, "write", newer)
    assert not isinstance(with_more, RegisterTrouble)
    with with_more as register:
        assert register.by_code(deck.code) == deck
        assert register.connection.execute("SELECT id FROM later").fetchall() == [(1,)]


def test_a_register_that_another_program_holds_is_busy_and_not_damaged(tmp_path: Path) -> None:
    path = tmp_path / "club.sqlite"
    opened(path).close()
    holder = sqlite3.connect(path, isolation_level=None)
    holder.execute("BEGIN EXCLUSIVE")
    try:
        assert trouble_with(path).kind == "busy"
    finally:
        holder.close()


def test_a_folder_is_no_register(tmp_path: Path) -> None:
    assert trouble_with(tmp_path, "create").kind == "missing"


def test_a_register_on_a_read_only_disk_can_be_read_and_refuses_to_be_written(tmp_path: Path) -> None:
    """Asked of a program without the right to write, since the test itself may run as root."""
    path = tmp_path / "club.sqlite"
    with opened(path) as register:
        code = issued(register, tmp_path / "out").deck.code
    program = f"""
import os, sys
sys.path.insert(0, {str(Path(__file__).parents[2])!r})
from datetime import date
from pathlib import Path
from cardgen.register.code import Code
from cardgen.register.open_register import open_register
from cardgen.register.currency import verify_code
if os.getuid() == 0:
    os.setgroups([]); os.setgid(65534); os.setuid(65534)
path = Path({str(path)!r})
with open_register(path, "read") as register:
    print(verify_code(register, Code({str(code)!r}), date(2026, 4, 2)).state)
    try:
        register.add_withdrawal(register.by_code(Code({str(code)!r})), date(2026, 4, 2), "x")
    except Exception as error:
        print(type(error).__name__)
print(open_register(path, "create").kind)
"""
    if os.getuid() == 0:
        for folder in tmp_path.parents:
            if folder.is_relative_to(Path(tempfile.gettempdir()) / "pytest-of-root"):
                folder.chmod(0o755)
    path.chmod(0o444)
    tmp_path.chmod(0o555)
    try:
        done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    finally:
        tmp_path.chmod(0o755)
    assert done.stdout.split() == ["current", "OperationalError", "read-only"], done.stderr
