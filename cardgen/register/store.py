"""The kept files beside the register, each under the hash of its own bytes.

A name either holds exactly the bytes it promises or does not exist, also after a power cut
(`cardgen.placing`).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from cardgen.placing import make_folder, place_file, sweep, sync_folder
from cardgen.plain_file import read_plain
from cardgen.register.errors import RegisterTrouble, trouble, trouble_of_system
from cardgen.spec.canonical import sha256

_HASH = re.compile(r"[0-9a-f]{64}", re.ASCII)


@dataclass(frozen=True)
class Store:
    """A folder of kept files: ``ab/cdef…`` holds the bytes whose SHA-256 is ``abcdef…``."""

    folder: Path

    @property
    def path(self) -> Path:
        """The folder itself."""
        return self.folder

    @property
    def unfinished(self) -> Path:
        """Where files stand until they are whole."""
        return self.folder / "unfinished"

    def place(self, name: str) -> Path:
        """Where the bytes with this hash are kept. Raises `ValueError` if it is no SHA-256."""
        if not _HASH.fullmatch(name):
            raise ValueError("not a SHA-256 in small hexadecimal digits")
        return self.folder / name[:2] / name[2:]

    def keep(self, content: bytes) -> str | RegisterTrouble:
        """Keep bytes and return their hash; bytes already kept are left as they are.

        A file whose bytes no longer match its name is made whole again from the bytes in hand.
        """
        name = sha256(content)
        place = self.place(name)
        try:
            if not _holds(place, content):
                self._write(place, content)
            # Also for a file that was there: whoever wrote it may have been cut off before this.
            sync_folder(place.parent)
        except OSError as error:
            return trouble_of_system(error, place)
        return name

    def read(self, name: str) -> bytes | RegisterTrouble:
        """Give back kept bytes, or say that they are missing or no longer what they were."""
        try:
            place = self.place(name)
        except ValueError:
            return trouble("damaged", self.folder, "the register names a kept file by no hash")
        try:
            content = read_plain(place)
        except FileNotFoundError:
            return trouble("missing", place, "a kept file is gone", _RESTORE)
        except OSError as error:
            return trouble_of_system(error, place)
        if sha256(content) != name:
            return trouble("damaged", place, "a kept file is no longer what was issued", _RESTORE)
        return content

    def holds_size(self, name: str, size: int) -> bool:
        """Whether a kept file is there and has its size; its bytes are not read."""
        try:
            return self.place(name).stat().st_size == size
        except (OSError, ValueError):
            # What cannot be looked at is not there with its size, and the caller says so.
            return False

    def names(self) -> Iterator[str]:
        """Walk over the hashes that files are kept under, in order."""
        for shard in sorted(self.folder.glob("[0-9a-f][0-9a-f]")):
            # A file in a shard's place holds nothing that was kept.
            for file in sorted(shard.iterdir()) if shard.is_dir() else ():
                yield shard.name + file.name

    def is_empty(self) -> bool:
        """Whether nothing was ever kept here."""
        return next(self.names(), None) is None

    def sweep(self) -> None:
        """Remove unfinished files that nobody can still be writing."""
        sweep(self.unfinished, "*")

    def _write(self, place: Path, content: bytes) -> None:
        make_folder(self.unfinished)
        make_folder(place.parent)
        place_file(place, content, mode=0o444, by=self.unfinished)


_RESTORE = "bring the file back from a copy of the store; `register check` lists everything that is wrong"


def _holds(place: Path, content: bytes) -> bool:
    try:
        return read_plain(place) == content
    except FileNotFoundError:
        # A file that is not there holds nothing yet, and is written.
        return False
