"""What a keeper is told where files cannot be placed."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from cardgen.cli.errors import Trouble
from cardgen.cli.files import new, place
from tests.full_disk import full_disk

FILES = {"wall.pdf": b"w" * 5000, "pouch.pdf": b"p" * 5000, "deck.json": b"{}"}


def test_a_folder_is_made_and_filled(tmp_path: Path) -> None:
    place(tmp_path / "deep" / "out", FILES)
    assert {path.name: path.read_bytes() for path in (tmp_path / "deep" / "out").iterdir()} == FILES


def test_an_older_draft_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "wall.pdf").write_bytes(b"old")
    place(tmp_path, FILES)
    assert (tmp_path / "wall.pdf").read_bytes() == FILES["wall.pdf"]


def test_a_full_disk_is_told_and_nothing_was_made(tmp_path: Path) -> None:
    with full_disk(100), pytest.raises(Trouble, match=r"file too large\. No card was made\.$"):
        place(tmp_path, FILES)
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_cannot_be_put_back_is_named_and_not_to_be_used(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "wall.pdf").write_bytes(b"old")
    real, done = os.rename, 0

    def fail(*arguments: str) -> None:
        nonlocal done
        done += 1
        if done > 1:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        real(*arguments)

    monkeypatch.setattr(os, "rename", fail)
    with pytest.raises(Trouble, match=r"Do not use what stands there as wall\.pdf") as caught:
        place(tmp_path, FILES)
    assert "No card was made" not in caught.value.message


def test_a_link_planted_under_a_name_that_could_be_foreseen_is_not_written_through(tmp_path: Path) -> None:
    victim, out = tmp_path / "victim", tmp_path / "out"
    victim.write_bytes(b"precious")
    out.mkdir()
    (out / f".wall.pdf.{os.getpid()}.part").symlink_to(victim)
    place(out, FILES)
    assert victim.read_bytes() == b"precious"


def test_a_file_in_the_place_of_the_folder_is_trouble(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("in the way", "utf-8")
    with pytest.raises(Trouble, match=r"out cannot take the files"):
        place(tmp_path / "out", FILES)


def test_a_new_file_never_takes_another_s_place(tmp_path: Path) -> None:
    new(tmp_path / "a", b"first")
    with pytest.raises(Trouble, match="exists already"):
        new(tmp_path / "a", b"second")
    assert (tmp_path / "a").read_bytes() == b"first"
