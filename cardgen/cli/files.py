"""Placing finished files, and saying in the keeper's words why that cannot be done."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from cardgen.cli.errors import Trouble, reason
from cardgen.placing import NotPutBackError, place_files, place_new, stage_folder


def place(
    folder: Path, files: Mapping[str, bytes], instead_of: Iterable[str] = (), unmade: str = "No card was made."
) -> None:
    """Put all files into a folder, which is made if it is not there, or none of them.

    The files named in ``instead_of`` go. Raises `Trouble` where the disk is full, the folder cannot be
    written, or something else stands in its or a file's place; then everything is as it was before, which
    the message says in the words of ``unmade``, or it names what could not be put back.
    """
    if folder.is_file():
        raise Trouble(f"{folder} cannot take the files: it is a file itself. Name a folder. {unmade}")
    try:
        place_files(folder, files, instead_of)
    except NotPutBackError as error:
        names = ", ".join(error.names)
        raise Trouble(
            f"{folder} cannot take the files: {reason(error)}. What was there before could not be put back. "
            f"Do not use what stands there as {names}; name another folder."
        ) from error
    except OSError as error:
        raise Trouble(f"{folder} cannot take the files: {reason(error)}. {unmade}") from error


def swap(folder: Path, files: Mapping[str, bytes], unmade: str = "No card was made.") -> None:
    """Put a folder of these files in the place of another, which is there whole until then.

    Raises `Trouble`, as `place` does; then everything is as it was before.
    """
    try:
        staged = stage_folder(folder, files)
        try:
            staged.publish_over()
        finally:
            staged.discard()
    except NotPutBackError as error:
        raise Trouble(f"{folder} was moved away and could not be put back: {reason(error)}.") from error
    except OSError as error:
        raise Trouble(f"{folder} cannot take the files: {reason(error)}. {unmade}") from error


def new(path: Path, content: bytes) -> None:
    """Write a file that must not exist yet. Raises `Trouble` where it does or cannot be written."""
    try:
        place_new(path, content)
    except FileExistsError as error:
        raise Trouble(f"{path} exists already and stays as it is. Choose another name.") from error
    except OSError as error:
        raise Trouble(f"{path} cannot be written: {reason(error)}.") from error
