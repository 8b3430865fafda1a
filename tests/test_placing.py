"""Files and folders land whole or not at all, whichever call of the system fails."""

from __future__ import annotations

import errno
import os
import secrets
import stat
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from cardgen.placing import NotPutBackError, place_file, place_files, place_new, stage_folder
from tests.full_disk import full_disk

OLD = {"wall.pdf": b"old wall", "deck.json": b"old", "handout.pdf": b"old handout"}
NEW = {"wall.pdf": b"w" * 5000, "pouch.pdf": b"p" * 5000, "deck.json": b"{}"}


def held(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def filled(folder: Path, files: dict[str, bytes]) -> Path:
    folder.mkdir(parents=True)
    for name, content in files.items():
        (folder / name).write_bytes(content)
    return folder


@contextmanager
def failing(call: str, first: int, last: int | None = None, number: int = errno.ENOSPC) -> Iterator[list[int]]:
    """Let a system call fail from its first to its last time; gives a list that grows with each call."""
    real: Callable[..., object] = getattr(os, call)
    calls: list[int] = []

    def sometimes(*args: object, **kwargs: object) -> object:
        calls.append(1)
        if first <= len(calls) <= (first if last is None else last):
            raise OSError(number, os.strerror(number))
        return real(*args, **kwargs)

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(os, call, sometimes)
        yield calls


@pytest.mark.parametrize("call", ["open", "fsync", "rename"])
def test_whichever_call_fails_a_folder_holds_all_old_files_or_all_new_ones(call: str, tmp_path: Path) -> None:
    for number in range(1, 60):
        folder = filled(tmp_path / str(number), OLD)
        with failing(call, number) as calls:
            try:
                place_files(folder, NEW, ["handout.pdf"])
            except OSError as error:
                assert error.errno == errno.ENOSPC
                assert held(folder) == OLD
            else:
                assert len(calls) < number
                assert held(folder) == NEW
                return
    raise AssertionError("the files were never placed")


@pytest.mark.parametrize("call", ["open", "fsync", "rename", "mkdir", "utime"])
def test_whichever_call_fails_the_earlier_folder_stays_whole(call: str, tmp_path: Path) -> None:
    for number in range(1, 60):
        out = tmp_path / str(number)
        final = filled(out / "draft", OLD)
        with failing(call, number) as calls:
            try:
                staged = stage_folder(final, NEW)
                try:
                    staged.publish_over()
                finally:
                    staged.discard()
            except OSError:
                assert held(final) == OLD
                assert [path.name for path in out.iterdir()] == ["draft"]
            else:
                assert len(calls) < number
                assert held(final) == NEW
                assert [path.name for path in out.iterdir()] == ["draft"]
                return
    raise AssertionError("the folder was never placed")


def test_what_cannot_be_put_back_is_named(tmp_path: Path) -> None:
    folder = filled(tmp_path / "out", OLD)
    # The first two moves are those of the old wall sheet and the old description; then nothing works.
    with failing("rename", 3, 99), pytest.raises(NotPutBackError) as caught:
        place_files(folder, NEW)
    assert set(caught.value.names) == {"wall.pdf", "deck.json"}


@pytest.mark.parametrize("place", [place_file, place_new])
def test_on_a_full_disk_no_part_of_a_file_stays(place: Callable[[Path, bytes], None], tmp_path: Path) -> None:
    with full_disk(100), pytest.raises(OSError, match=os.strerror(errno.EFBIG)):
        place(tmp_path / "sheet.pdf", b"x" * 5000)
    assert held(tmp_path) == {}


def test_a_new_file_never_stands_empty_under_its_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """At every call that a kill could fall after, the name is not there or holds everything."""
    place, seen = tmp_path / "rotor.toml", set[bytes | None]()

    def watched(call: Callable[..., Any]) -> Callable[..., Any]:
        def called(*args: Any, **kwargs: Any) -> Any:
            seen.add(place.read_bytes() if place.exists() else None)
            done = call(*args, **kwargs)
            seen.add(place.read_bytes() if place.exists() else None)
            return done

        return called

    for name in ("open", "fsync", "link", "unlink"):
        monkeypatch.setattr(os, name, watched(getattr(os, name)))
    place_new(place, b"whole")
    assert seen == {None, b"whole"}


def test_on_a_full_disk_an_earlier_file_stays(tmp_path: Path) -> None:
    (tmp_path / "sheet.pdf").write_bytes(b"earlier")
    with full_disk(100), pytest.raises(OSError, match=os.strerror(errno.EFBIG)):
        place_file(tmp_path / "sheet.pdf", b"x" * 5000)
    assert held(tmp_path) == {"sheet.pdf": b"earlier"}


def test_a_folder_in_a_file_s_place_stops_all_files(tmp_path: Path) -> None:
    (tmp_path / "pouch.pdf").mkdir()
    with pytest.raises(IsADirectoryError, match=r"a folder has the name pouch\.pdf"):
        place_files(tmp_path, NEW)
    assert [path.name for path in tmp_path.iterdir()] == ["pouch.pdf"]


def place_one(folder: Path) -> None:
    place_file(folder / "a", b"new")


def place_several(folder: Path) -> None:
    place_files(folder, {"a": b"new"})


def place_a_folder(folder: Path) -> None:
    stage_folder(folder / "draft", {"a": b"new"}).publish()


WAYS = [place_one, place_several, place_a_folder]


@pytest.mark.parametrize("way", WAYS)
def test_a_planted_link_is_never_written_through(
    way: Callable[[Path], None], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    victim, out = tmp_path / "victim", tmp_path / "out"
    victim.write_bytes(b"precious")
    out.mkdir()
    # The random name is known here, as it cannot be outside.
    monkeypatch.setattr(secrets, "token_hex", lambda size: "0" * 2 * size)
    (out / f".{'0' * 16}.part").symlink_to(victim)
    with pytest.raises(FileExistsError):
        way(out)
    assert victim.read_bytes() == b"precious"


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("number", [errno.EINVAL, errno.ENOTSUP, errno.EBADF])
def test_a_file_system_that_cannot_sync_a_folder_is_no_failure(
    way: Callable[[Path], None], number: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = os.fsync

    def files_only(handle: int) -> None:
        if stat.S_ISDIR(os.fstat(handle).st_mode):
            raise OSError(number, os.strerror(number))
        real(handle)

    monkeypatch.setattr(os, "fsync", files_only)
    way(tmp_path)
    assert [path.read_bytes() for path in tmp_path.rglob("a")] == [b"new"]


def test_a_disk_that_fails_while_a_folder_is_synced_is_a_failure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = os.fsync

    def broken(handle: int) -> None:
        if stat.S_ISDIR(os.fstat(handle).st_mode):
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        real(handle)

    monkeypatch.setattr(os, "fsync", broken)
    with pytest.raises(OSError, match=os.strerror(errno.EIO)):
        place_files(tmp_path, NEW)
    assert held(tmp_path) == {}


def test_only_what_was_left_long_ago_under_an_unfinished_name_is_swept_away(tmp_path: Path) -> None:
    left, mine = tmp_path / f".{'0' * 16}.part", tmp_path / ".download.part"
    for path in (left, mine):
        path.write_bytes(b"half")
        os.utime(path, (0, 0))
    stage_folder(tmp_path / "draft", NEW).publish()
    assert sorted(path.name for path in tmp_path.iterdir()) == [".download.part", "draft"]
