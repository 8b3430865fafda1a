"""A draft's folder gives way to a newer draft alone, and only once that one is whole."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from cardgen.issuing.folder import place_draft
from cardgen.register.errors import RegisterTrouble
from tests.full_disk import full_disk

FIRST = {"deck.json": b'{"draft": true}', "pouch.pdf": b"first"}
SECOND = {"deck.json": b'{"draft": true}', "pouch.pdf": b"s" * 5000}


def test_an_old_draft_stays_where_the_disk_is_too_full_for_a_newer_one(tmp_path: Path) -> None:
    folder = place_draft(tmp_path, "RB-1-draft", FIRST)
    assert isinstance(folder, Path)
    # Far older than anything that is swept away as left by a program that was cut off.
    for path in (*folder.iterdir(), folder):
        os.utime(path, (0, 0))
    with full_disk(100):
        refused = place_draft(tmp_path, "RB-1-draft", SECOND)
    assert isinstance(refused, RegisterTrouble)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == FIRST
    assert [path.name for path in tmp_path.iterdir()] == ["RB-1-draft"]


def test_a_newer_draft_takes_the_place_of_an_old_one(tmp_path: Path) -> None:
    for files in (FIRST, SECOND):
        assert place_draft(tmp_path, "RB-1-draft", files) == tmp_path / "RB-1-draft"
    assert {path.name: path.read_bytes() for path in (tmp_path / "RB-1-draft").iterdir()} == SECOND


@pytest.mark.parametrize("other", ["issued", "folder in it", "link", "file"])
def test_what_is_no_draft_alone_stays_and_is_told(other: str, tmp_path: Path) -> None:
    final = tmp_path / "RB-1-draft"
    drafted = place_draft(tmp_path, "elsewhere", FIRST)
    assert isinstance(drafted, Path)
    if other == "link":
        final.symlink_to(drafted)
    elif other == "file":
        final.write_bytes(b"mine")
    else:
        drafted.rename(final)
        (final / "notes").mkdir()
        if other == "issued":
            (final / "notes").rmdir()
            (final / "deck.json").write_bytes(b'{"draft": false}')
    before = sorted(path.name for path in tmp_path.rglob("*"))
    refused = place_draft(tmp_path, "RB-1-draft", SECOND)
    assert isinstance(refused, RegisterTrouble)
    assert refused.kind == "exists"
    assert sorted(path.name for path in tmp_path.rglob("*")) == before
