"""How large a database file says it is, and what lies beside a register, for saving a damaged one."""

from __future__ import annotations

import json
import os
import random
from pathlib import Path

import pytest

from cardgen.register.database import Register
from cardgen.register.export import export_file, stated_size
from tests.issuing.decks import Maker, issued


def head(page: int, pages: int, length: int = 100) -> bytes:
    """A header as SQLite's documentation gives it: page size at byte 16, number of pages at byte 28."""
    content = bytearray(length)
    content[:16] = b"SQLite format 3\0"
    content[16:18] = page.to_bytes(2, "big")
    content[28:32] = pages.to_bytes(4, "big")
    return bytes(content)


@pytest.mark.parametrize(
    ("page", "pages", "size"),
    # "Database File Format", 1.3.2: the value 1 stands for a page of 65536 bytes.
    [(4096, 3, 12_288), (512, 7, 3_584), (1, 2, 131_072), (2, 2, 4), (4096, 70_000, 286_720_000)],
)
def test_a_file_says_its_size_as_pages_times_their_size(page: int, pages: int, size: int) -> None:
    assert stated_size(head(page, pages)) == size


def test_without_a_whole_head_nothing_is_said() -> None:
    assert stated_size(head(4096, 3)[:99]) == 0
    assert stated_size(b"x" * 100) == 0
    assert stated_size(head(4096, 3) + b"more") == 12_288


def test_a_true_register_says_its_own_size(register: Register, tmp_path: Path) -> None:
    issued(register, tmp_path)
    register.close()
    content = register.path.read_bytes()
    assert stated_size(content) == len(content)


def test_an_empty_journal_is_no_unfinished_change(register: Register, tmp_path: Path) -> None:
    issued(register, tmp_path)
    register.close()
    register.path.with_name(register.path.name + "-journal").write_bytes(b"")
    saved = export_file(register.path)
    assert isinstance(saved, dict)
    assert saved["unread"] == []


def test_no_damage_keeps_what_can_be_read_from_being_saved(register: Register, tmp_path: Path) -> None:
    """Bits turned, bytes overwritten and the end cut off, at places drawn by chance, the same each time."""
    for torque in ("160", "165"):
        issued(register, tmp_path, Maker(torque=torque))
    told = dict.fromkeys(("set_id", "revision", "code", "issued", "use_until"), "as a deck tells it")
    register.store.keep(json.dumps(told).encode())
    register.close()
    good, chance = register.path.read_bytes(), random.Random(14)
    for number in range(120):
        bad = bytearray(good)
        for _ in range(1 + number % 4):
            # Every third time in the header and the list of tables, where it hurts most.
            place = chance.randrange(400 if number % 3 == 0 else len(bad))
            bad[place : place + 1 + number % 9] = chance.randbytes(1 + number % 9)
        register.path.write_bytes(bad[: chance.randrange(len(bad))] if number % 10 == 0 else bad)
        saved = export_file(register.path)
        assert isinstance(saved, dict), number
        json.dumps(saved)
        assert len(saved["kept"]) == 1


def test_a_store_that_is_damaged_is_told_and_the_register_saved_all_the_same(
    register: Register, tmp_path: Path
) -> None:
    deck = issued(register, tmp_path).deck
    place = register.store.place(register.files(deck.id)[0].sha256)
    place.unlink()
    os.mkfifo(place)
    (register.store.path / "00").rmdir() if (register.store.path / "00").is_dir() else None
    (register.store.path / "00").write_bytes(b"a file where a folder should be")
    saved = export_file(register.path)
    assert isinstance(saved, dict)
    assert len(saved["decks"]) == 1
    assert any("kept file" in each for each in saved["unread"])


def test_nothing_at_all_is_told_as_a_trouble(tmp_path: Path) -> None:
    empty = tmp_path / "empty.sqlite"
    empty.write_bytes(b"")
    assert not isinstance(export_file(empty), dict)
    assert not isinstance(export_file(tmp_path / "none.sqlite"), dict)
