"""Files land whole or not at all."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from cardgen.cli.errors import Trouble
from cardgen.cli.files import new, place

FILES = {"wall.pdf": b"w" * 5000, "pouch.pdf": b"p" * 5000, "deck.json": b"{}"}


def test_a_folder_is_made_and_filled(tmp_path: Path) -> None:
    place(tmp_path / "deep" / "out", FILES)
    assert {path.name: path.read_bytes() for path in (tmp_path / "deep" / "out").iterdir()} == FILES


def test_an_older_draft_is_replaced(tmp_path: Path) -> None:
    (tmp_path / "wall.pdf").write_bytes(b"old")
    place(tmp_path, FILES)
    assert (tmp_path / "wall.pdf").read_bytes() == FILES["wall.pdf"]


@pytest.mark.parametrize("failing", [1, 2, 3])
@pytest.mark.parametrize("call", ["fsync", "replace", "open"])
def test_when_the_disk_fails_no_part_of_a_file_stays(
    call: str, failing: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    owner: object = {"fsync": os, "replace": Path, "open": Path}[call]
    whole = getattr(owner, call)
    done = 0

    def fail(*arguments: object, **options: object) -> object:
        nonlocal done
        done += 1
        if done == failing:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return whole(*arguments, **options)

    monkeypatch.setattr(owner, call, fail)
    with pytest.raises(Trouble, match="no space left on device"):
        place(tmp_path, FILES)
    monkeypatch.undo()
    left = {path.name: path.read_bytes() for path in tmp_path.iterdir()}
    assert left == {name: FILES[name] for name in left}
    if call != "replace":
        assert left == {}


def test_a_file_in_the_place_of_the_folder_is_trouble(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("in the way", "utf-8")
    with pytest.raises(Trouble, match=r"out cannot take the files"):
        place(tmp_path / "out", FILES)


def test_a_new_file_never_takes_another_s_place(tmp_path: Path) -> None:
    new(tmp_path / "a", b"first")
    with pytest.raises(Trouble, match="exists already"):
        new(tmp_path / "a", b"second")
    assert (tmp_path / "a").read_bytes() == b"first"
