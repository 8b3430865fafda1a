"""Putting a deck's files into their folder: all of them under one name, or none.

The files are written into a folder of a temporary name first; one rename makes them visible. A
folder that exists is never touched.
"""

from __future__ import annotations

import os
import secrets
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from cardgen.register.errors import RegisterTrouble, trouble, trouble_of_system
from cardgen.register.store import make_folder, remove_folder, sweep, sync_folder, write_synced


@dataclass(frozen=True)
class Staged:
    """A deck's files, written and synced, waiting for their folder's name."""

    temporary: Path
    final: Path

    def publish(self) -> Path | RegisterTrouble:
        """Give the folder its name, if nothing has it; sync the name to disk."""
        try:
            if os.path.lexists(self.final):
                return _exists(self.final)
            self.temporary.rename(self.final)
            sync_folder(self.final.parent)
        except OSError as error:
            return trouble_of_system(error, self.final)
        return self.final

    def discard(self) -> None:
        """Remove what was staged and not published."""
        # What is left has a temporary name, and a later issue sweeps it away.
        with suppress(OSError):
            remove_folder(self.temporary)


def stage(out: Path, name: str, files: Mapping[str, bytes]) -> Staged | RegisterTrouble:
    """Write a deck's files under a temporary name inside ``out``, ready to be published as ``name``."""
    final = out / name
    if os.path.lexists(out) and not out.is_dir():
        return trouble("missing", out, "this is a file, not a folder", "the path of a folder, which may be new")
    staged = Staged(out / f".{name}.{secrets.token_hex(6)}.part", final)
    try:
        make_folder(out.absolute())
        if os.path.lexists(final):
            return _exists(final)
        sweep(out, ".*.part")
        staged.temporary.mkdir()
        for file, content in sorted(files.items()):
            write_synced(staged.temporary / file, content)
        sync_folder(staged.temporary)
    except OSError as error:
        staged.discard()
        return trouble_of_system(error, final)
    except BaseException:
        staged.discard()
        raise
    return staged


def _exists(final: Path) -> RegisterTrouble:
    why = "a folder or file of this name is there already, and issued files are never overwritten"
    return trouble("exists", final, why, "another --out, or move the old one away")
