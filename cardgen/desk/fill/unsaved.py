"""What was filled in and is not saved yet: kept in a hidden file beside the specification, change by change.

The hidden file holds the whole text and the hash of the file that it began from. So nothing is lost when
the desk is killed or the disk is full, and nothing that somebody else saved meanwhile is written over.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from hashlib import sha256
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from threading import Lock
from typing import Any

from cardgen.placing import place_file
from cardgen.plain_file import read_plain
from cardgen.spec.load import LARGEST

# Where a system has no such locks, only the windows of one desk wait for one another.
_locks: Any = import_module("fcntl") if find_spec("fcntl") else None


@dataclass(frozen=True)
class Unsaved:
    """A specification as it is being filled in.

    ``text`` is what will be saved, ``base`` the hash of the file that it began from, ``file`` what the file
    says now. ``source`` is the document and place that were typed last.
    """

    text: bytes
    base: str
    file: bytes
    source: str = ""

    @property
    def is_changed(self) -> bool:
        """Whether there is anything to save."""
        return self.text != self.file

    @property
    def is_overtaken(self) -> bool:
        """Whether somebody changed the file since, so that one of the two must be taken."""
        return self.is_changed and hash_of(self.file) != self.base


@dataclass(frozen=True)
class Keeper:
    """Keeps what is not saved yet; one change at a time, also among several desks on one folder."""

    _lock: Lock = field(default_factory=Lock)

    def opened(self, path: Path) -> Unsaved:
        """Read what is being filled in; the file itself where nothing was changed. Raises `OSError`."""
        file = read_plain(path, LARGEST)
        try:
            kept = json.loads(read_plain(hidden(path), 4 * LARGEST, follow=False))
            text, base, source = kept["text"].encode(), str(kept["base"]), str(kept["source"])
        except (OSError, ValueError, LookupError, AttributeError, TypeError):
            return Unsaved(file, hash_of(file), file)
        # Saved already, by a desk that was killed before it could tidy up.
        base = hash_of(file) if text == file else base
        return Unsaved(text, base, file, source)

    def change(self, path: Path, edit: Callable[[Unsaved], Unsaved]) -> Unsaved:
        """Change what is being filled in, and keep it. Raises `OSError`, and whatever ``edit`` raises."""
        with self._alone(path):
            made = edit(self.opened(path))
            self._keep(path, made)
            return made

    def save(self, path: Path) -> Unsaved:
        """Write the file, unless somebody has changed it since: then nothing is written. Raises `OSError`."""
        with self._alone(path):
            kept = self.opened(path)
            if kept.is_overtaken:
                return kept
            if kept.is_changed:
                place_file(path, kept.text, mode=path.stat().st_mode & 0o777)
            _forget(path)
            return Unsaved(kept.text, hash_of(kept.text), kept.text, kept.source)

    def take_mine(self, path: Path, seen: str) -> Unsaved:
        """Go on with what was filled in here, having seen a file of this hash. Raises `OSError`."""
        return self.change(path, lambda kept: replace(kept, base=seen))

    def drop(self, path: Path) -> None:
        """Go on with the file as it is. Raises `OSError`."""
        with self._alone(path):
            hidden(path).unlink(missing_ok=True)

    def _keep(self, path: Path, made: Unsaved) -> None:
        told = {"base": made.base, "source": made.source, "text": made.text.decode()}
        place_file(hidden(path), json.dumps(told, ensure_ascii=False).encode(), mode=0o600)

    @contextmanager
    def _alone(self, path: Path) -> Iterator[None]:
        with self._lock:
            if _locks is None:
                yield
                return
            handle = os.open(path.parent, os.O_RDONLY)
            try:
                # Given back by the system, too, when this program is killed.
                with suppress(OSError):
                    _locks.flock(handle, _locks.LOCK_EX)
                yield
            finally:
                os.close(handle)


def hidden(path: Path) -> Path:
    """Name the file that holds what is not saved yet."""
    return path.with_name(f".{path.name}.unsaved")


def hash_of(text: bytes) -> str:
    """Hash a file's bytes."""
    return sha256(text).hexdigest()


def _forget(path: Path) -> None:
    # Left lying it says the same as the file, and is not read.
    with suppress(OSError):
        hidden(path).unlink(missing_ok=True)
