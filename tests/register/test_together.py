"""Looking at a register while somebody else enters decks: what is seen is one moment of it."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from cardgen.register.audit import check
from cardgen.register.currency import UnknownCode, verify_code
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.export import export_file
from cardgen.register.listing import listing
from cardgen.register.open_register import open_register
from tests.issuing.decks import TODAY, Maker, issued, opened

_DECKS = 15


@contextmanager
def somebody_issuing(path: Path, out: Path) -> Iterator[threading.Event]:
    """Issue one rotor's decks from another thread; the event is set when that is over."""
    over = threading.Event()

    def work() -> None:
        try:
            with opened(path) as register:
                for number in range(_DECKS):
                    issued(register, out, Maker("RB-1", torque=str(160 + number)), set_id="RB-1")
        finally:
            over.set()

    thread = threading.Thread(target=work)
    thread.start()
    try:
        yield over
    finally:
        thread.join()


def test_a_check_meanwhile_finds_nothing_wrong(register: Register, tmp_path: Path) -> None:
    seen = []
    with somebody_issuing(register.path, tmp_path / "out") as over:
        while not over.is_set():
            checked = check(register)
            assert [each.what for each in checked.found if each.level == "fault"] == []
            seen.append(checked.decks)
    assert seen == sorted(seen)
    assert check(register).decks == _DECKS


def test_codes_lists_and_exports_meanwhile_hold_together(register: Register, tmp_path: Path) -> None:
    first = issued(register, tmp_path / "out", Maker("RB-1", torque="150"), set_id="RB-1").deck
    with somebody_issuing(register.path, tmp_path / "out") as over:
        while not over.is_set():
            assert not isinstance(verify_code(register, first.code, TODAY), RegisterTrouble | UnknownCode)
            rows = listing(register, TODAY, every=True)
            assert not isinstance(rows, RegisterTrouble)
            assert [row.deck.revision for row in rows] == list(range(1, len(rows) + 1))
            assert [row.state for row in rows[:-1]] == ["superseded"] * (len(rows) - 1)
            told = export_file(register.path)
            assert isinstance(told, dict)
            entered = len(told["decks"]) + len(told["readings"])
            # The chain begins with the register's own identity.
            assert 1 + entered == len(told["events"]) == told["seal"][0]["length"]
            assert [each for each in told["unread"] if "unfinished" not in each] == []


def test_nothing_is_entered_while_one_moment_is_read(register: Register, tmp_path: Path) -> None:
    issued(register, tmp_path / "out", Maker("RB-1"), set_id="RB-1")
    other = open_register(register.path, "write", busy_seconds=0.05)
    assert isinstance(other, Register)
    with other:
        with register.reading(), register.reading():
            assert register.newest("RB-1") is not None
            with pytest.raises(sqlite3.OperationalError, match="locked"), other.writing() as connection:
                connection.execute("UPDATE decks SET reason = 'another'")
        with other.writing() as connection:
            connection.execute("UPDATE decks SET reason = 'another'")
