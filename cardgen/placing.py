"""Putting files where they belong: whole, on the disk, and never through somebody else's link.

Everything is written first into a new file of a random name beside its place, synced, and only then
given its own name; the folder's list of names is synced too. So a name holds all of its bytes or does
not change, also on a full disk or after a power cut. A folder of files, or several files in one
folder, are placed all or not at all. Everything here raises `OSError`.
"""

from __future__ import annotations

import errno
import os
import secrets
import time
from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

#: An unfinished file or folder older than this was left by a program that was cut off.
STALE_SECONDS = 3600.0
_UNFINISHED = f".{'[0-9a-f]' * 16}.part"

#: What a system says that cannot sync a folder at all (POSIX.1-2017, fsync: EINVAL), or does not let
#: this user open one.
_NO_SYNC = frozenset(
    {
        *(errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EBADF),
        *(errno.EACCES, errno.EPERM, errno.EISDIR),
    }
)
#: What a system says on a disk that knows no second names (POSIX.1-2017, link).
_NO_LINK = frozenset({errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.ENOSYS, errno.EMLINK, errno.EACCES})


class NotPutBackError(OSError):
    """Placing failed, and so did undoing it: these names are no longer what they were."""

    def __init__(self, error: OSError, names: Iterable[str]) -> None:
        super().__init__(error.errno, error.strerror or type(error).__name__)
        self.names = tuple(names)


def place_file(
    path: Path, content: bytes, *, mode: int = 0o666, by: Path | None = None, sync: bool = True
) -> None:
    """Put a file under its name, in place of one that is there.

    Until it is whole it stands beside that name, or in the folder ``by``. Without ``sync`` a power cut may
    lose it, as it may lose what can be made again.
    """
    temporary = _unfinished(by or path.parent)
    try:
        _write_new(temporary, content, mode, sync)
        temporary.replace(path)
    except BaseException:
        _forget(temporary)
        raise
    if sync:
        sync_folder(path.parent)


def place_new(path: Path, content: bytes) -> None:
    """Put a file under a name that nothing has yet; raises `FileExistsError` where something has.

    The name comes with all of its bytes, or not at all.
    """
    if os.path.lexists(path):
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(path))
    temporary = _unfinished(path.parent)
    try:
        _write_new(temporary, content)
        try:
            # A second name is refused where the first is taken; a new one given by moving is not.
            path.hardlink_to(temporary)
        except OSError as error:
            if isinstance(error, FileExistsError) or error.errno not in _NO_LINK:
                raise
            _write_new(path, content)
    finally:
        _forget(temporary)
    sync_folder(path.parent)


def place_files(folder: Path, files: Mapping[str, bytes], instead_of: Iterable[str] = ()) -> None:
    """Put files into a folder, made if it is not there, and take others out of it: all of this or nothing.

    Earlier files of these names give way; a folder of such a name does not, and nothing is placed. Raises
    `NotPutBackError` where it fails in the middle and what was there cannot be put back.
    """
    old = (*files, *instead_of)
    for name in old:
        if (folder / name).is_dir() and not (folder / name).is_symlink():
            raise IsADirectoryError(errno.EISDIR, f"a folder has the name {name}")
    make_folder(folder)
    written = {name: _unfinished(folder) for name in files}
    aside = {name: _unfinished(folder) for name in old if os.path.lexists(folder / name)}
    try:
        for name, content in files.items():
            _write_new(written[name], content)
        moves = [_Move(name, folder / name, away) for name, away in aside.items()]
        moves += [_Move(name, temporary, folder / name) for name, temporary in written.items()]
        _move_all(moves, folder)
    finally:
        for temporary in written.values():
            _forget(temporary)
    for away in aside.values():
        _forget(away)


class _Move(NamedTuple):
    """A change of name; ``name`` is the one that others know."""

    name: str
    start: Path
    end: Path


def _move_all(moves: Iterable[_Move], folder: Path) -> None:
    """Make all moves inside a folder and sync it, or move everything back."""
    begun: list[_Move] = []
    try:
        for move in moves:
            begun.append(move)
            move.start.rename(move.end)
        sync_folder(folder)
    except BaseException as error:
        lost = [move.name for move in reversed(begun) if not _moved_back(move)]
        if lost and isinstance(error, OSError):
            raise NotPutBackError(error, dict.fromkeys(lost)) from error
        raise


def _moved_back(move: _Move) -> bool:
    try:
        # A move that was not made has nothing to undo, whatever stands at its end.
        if os.path.lexists(move.end) and not os.path.lexists(move.start):
            move.end.rename(move.start)
    except OSError:
        # Whoever asked names it in `NotPutBackError`.
        return False
    return True


@dataclass(frozen=True)
class StagedFolder:
    """A folder's files, written and synced, waiting for their folder's name."""

    temporary: Path
    final: Path

    def publish(self) -> None:
        """Give the folder its name; raises `FileExistsError` where something has it."""
        if os.path.lexists(self.final):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(self.final))
        self.temporary.rename(self.final)
        sync_folder(self.final.parent)

    def publish_over(self) -> None:
        """Give the folder its name, in place of a folder of files that has it and stays where this fails."""
        if not os.path.lexists(self.final):
            self.publish()
            return
        earlier, name = _unfinished(self.final.parent), self.final.name
        # Whoever sweeps meanwhile must not take it for something left long ago.
        os.utime(self.final)
        moves = (_Move(name, self.final, earlier), _Move(name, self.temporary, self.final))
        _move_all(moves, self.final.parent)
        # What cannot be removed now is swept away later.
        with suppress(OSError):
            remove_folder(earlier)

    def discard(self) -> None:
        """Remove what was staged and not published."""
        # What is left has an unfinished name, and is swept away later.
        with suppress(OSError):
            remove_folder(self.temporary)


def stage_folder(final: Path, files: Mapping[str, bytes]) -> StagedFolder:
    """Write a folder's files under another name beside its own, ready to be published."""
    staged = StagedFolder(_unfinished(final.parent), final)
    make_folder(final.parent)
    sweep(final.parent)
    try:
        staged.temporary.mkdir()
        for name, content in sorted(files.items()):
            _write_new(staged.temporary / name, content)
        sync_folder(staged.temporary)
    except BaseException:
        staged.discard()
        raise
    return staged


def _unfinished(folder: Path) -> Path:
    """Make up a hidden name that nobody can know beforehand."""
    return folder / f".{secrets.token_hex(8)}.part"


def _write_new(path: Path, content: bytes, mode: int = 0o666, sync: bool = True) -> None:
    """Write a file that is not there yet: never another's, and never through a link."""
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), mode)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            if sync:
                os.fsync(file.fileno())
    except BaseException:
        _forget(path)
        raise


def sync_folder(folder: Path) -> None:
    """Sync a folder's list of names; nothing where the system or this folder does not allow it."""
    try:
        handle = os.open(folder, os.O_RDONLY | getattr(os, "O_DIRECTORY", 0))
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    except OSError as error:
        if error.errno not in _NO_SYNC:
            raise


def make_folder(folder: Path) -> None:
    """Make a folder and those above it, each synced into the one that holds it."""
    if folder.is_dir():
        return
    make_folder(folder.absolute().parent)
    folder.mkdir(exist_ok=True)
    sync_folder(folder.absolute().parent)


def sweep(folder: Path, pattern: str = _UNFINISHED) -> None:
    """Remove unfinished files and folders of files that are older than `STALE_SECONDS`."""
    for leftover in folder.glob(pattern):
        # Another program may sweep at the same time, and what may not be removed is left.
        with suppress(OSError):
            if time.time() - leftover.lstat().st_mtime < STALE_SECONDS:
                continue
            if leftover.is_dir() and not leftover.is_symlink():
                remove_folder(leftover)
            else:
                leftover.unlink()


def remove_folder(folder: Path) -> None:
    """Remove a folder of plain files; raises `OSError` where something else is in it."""
    for file in folder.iterdir():
        file.unlink()
    folder.rmdir()


def _forget(path: Path) -> None:
    # What cannot be removed is empty or has an unfinished name: nobody takes it for a card.
    with suppress(OSError):
        path.unlink(missing_ok=True)
