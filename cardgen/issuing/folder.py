"""A deck's files in a folder of their own: all of them under one name, or none.

A folder that exists is never touched, unless it holds a draft and another draft takes its place.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from cardgen.placing import StagedFolder, stage_folder
from cardgen.plain_file import read_plain
from cardgen.register.errors import RegisterTrouble, trouble, trouble_of_system


@dataclass(frozen=True)
class Staged:
    """A deck's files, written and synced, waiting for their folder's name."""

    files: StagedFolder

    def publish(self) -> Path | RegisterTrouble:
        """Give the folder its name, if nothing has it."""
        final = self.files.final
        try:
            self.files.publish()
        except FileExistsError:
            return _exists(final)
        except OSError as error:
            return trouble_of_system(error, final)
        return final

    def discard(self) -> None:
        """Remove what was staged and not published."""
        self.files.discard()


def stage(out: Path, name: str, files: Mapping[str, bytes]) -> Staged | RegisterTrouble:
    """Write a deck's files under a temporary name inside ``out``, ready to be published as ``name``."""
    final = out / name
    if os.path.lexists(final):
        return _exists(final)
    written = _written(out, final, files)
    return written if isinstance(written, RegisterTrouble) else Staged(written)


def place_draft(out: Path, name: str, files: Mapping[str, bytes]) -> Path | RegisterTrouble:
    """Place a draft's folder whole, in place of an earlier draft of that name, which stays where this fails."""
    final = out / name
    if os.path.lexists(final) and not _holds_a_draft_alone(final):
        why = "a folder or file of this name is there, and it holds something else than a draft"
        return trouble("exists", final, why, "another --out, or move the old one away")
    written = _written(out, final, files)
    if isinstance(written, RegisterTrouble):
        return written
    try:
        written.publish_over()
    except OSError as error:
        return trouble_of_system(error, final)
    finally:
        written.discard()
    return final


def is_draft(folder: Path) -> bool:
    """Whether a folder says of itself that it holds a draft."""
    # What cannot be read says nothing of itself, and a folder that is no draft stays as it is.
    with suppress(OSError, ValueError):
        told = json.loads(read_plain(folder / "deck.json"))
        return isinstance(told, dict) and told.get("draft") is True
    return False


def _holds_a_draft_alone(folder: Path) -> bool:
    try:
        files_alone = not any(each.is_dir() and not each.is_symlink() for each in folder.iterdir())
    except OSError:
        # A file, or a folder that cannot be looked into: it stays as it is.
        return False
    return files_alone and not folder.is_symlink() and is_draft(folder)


def _written(out: Path, final: Path, files: Mapping[str, bytes]) -> StagedFolder | RegisterTrouble:
    if os.path.lexists(out) and not out.is_dir():
        return trouble("missing", out, "this is a file, not a folder", "the path of a folder, which may be new")
    try:
        return stage_folder(final, files)
    except OSError as error:
        return trouble_of_system(error, final)


def _exists(final: Path) -> RegisterTrouble:
    why = "a folder or file of this name is there already, and issued files are never overwritten"
    return trouble("exists", final, why, "another --out, or move the old one away")
