"""Putting finished files into a folder: all of them or none, and never half of one."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from pathlib import Path

from cardgen.cli.errors import Trouble, reason


def place(folder: Path, files: Mapping[str, bytes], instead_of: Iterable[str] = ()) -> None:
    """Write every file under a temporary name, sync, and only then give each its own name.

    The folder is made if it is not there. The files named in ``instead_of`` go once all that is new is
    on the disk. Raises `Trouble` in the keeper's words where the disk is full, the folder cannot be
    written, or a file stands in its place; then no new file has a name that could be taken for a
    finished card.
    """
    if folder.is_file():
        raise Trouble(f"{folder} cannot take the files: it is a file itself. Name a folder. No card was made.")
    written: list[tuple[Path, Path]] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in files.items():
            temporary = folder / f".{name}.{os.getpid()}.part"
            written.append((temporary, folder / name))
            _write(temporary, content)
        for name in instead_of:
            (folder / name).unlink(missing_ok=True)
        for temporary, final in written:
            temporary.replace(final)
        _sync_folder(folder)
    except OSError as error:
        raise Trouble(f"{folder} cannot take the files: {reason(error)}. No card was made.") from error
    finally:
        for temporary, _ in written:
            _forget(temporary)


def new(path: Path, content: bytes) -> None:
    """Write a file that must not exist yet. Raises `Trouble` where it does or cannot be written."""
    try:
        with path.open("xb") as file:
            file.write(content)
    except FileExistsError as error:
        raise Trouble(f"{path} exists already and stays as it is. Choose another name.") from error
    except OSError as error:
        raise Trouble(f"{path} cannot be written: {reason(error)}.") from error


def _write(path: Path, content: bytes) -> None:
    with path.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _sync_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _forget(path: Path) -> None:
    try:
        path.unlink(missing_ok=True)
    except OSError:
        # It keeps a name that nobody takes for a card; why the files were not placed is told.
        return
