"""How large a database file says it is, and what lies beside a register, for saving a damaged one."""

from __future__ import annotations

from pathlib import Path

import pytest

from cardgen.register.database import Register
from cardgen.register.export import export_file, stated_size
from tests.issuing.decks import issued


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


def test_nothing_at_all_is_told_as_a_trouble(tmp_path: Path) -> None:
    empty = tmp_path / "empty.sqlite"
    empty.write_bytes(b"")
    assert not isinstance(export_file(empty), dict)
    assert not isinstance(export_file(tmp_path / "none.sqlite"), dict)
