"""What a fleet remembers beside its output, so that the next run can leave out what has not changed.

One line of JSON for each thing learned, added as soon as it is known: a program that is killed
loses at most its last line. Everything in it can be learned again from the specifications; what is
issued is asked of the register and of nothing else.
"""

from __future__ import annotations

import errno
import json
import os
import stat
from collections.abc import Iterable, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any, BinaryIO

from cardgen.issuing.fleet.rotor_facts import RotorFacts, facts_from
from cardgen.placing import place_file
from cardgen.plain_file import NotPlainError, read_plain

NAME = "fleet.jsonl"


class Memory:
    """Facts by the hash of a specification, and drafts by their folder, for one way of making decks."""

    def __init__(self, out: Path, made_with: str) -> None:
        self._path = out / NAME
        self._made_with = made_with
        self._facts: dict[str, RotorFacts] = {}
        self._days: dict[str, str] = {}
        self._drafts: dict[str, tuple[str, Mapping[str, int]]] = {}
        self._read()

    def facts(self, sha256: str, today: str) -> RotorFacts | None:
        """Give the facts of a specification that was clean, if it still is on this day."""
        facts = self._facts.get(sha256)
        if facts is None or not self._days[sha256] <= today <= facts.use_until.isoformat():
            return None
        return facts

    def has_draft(self, folder: Path, sha256: str) -> bool:
        """Whether a folder holds the draft of this specification, every file of its size."""
        known, files = self._drafts.get(folder.name, ("", {}))
        return known == sha256 and all(_size(folder / name) == size for name, size in files.items())

    def learn_facts(self, sha256: str, facts: RotorFacts, today: str) -> None:
        """Remember what a clean specification says."""
        self._take(self._add({"spec": sha256, "day": today, "facts": facts.as_data()}))

    def learn_draft(self, folder: str, sha256: str, files: Mapping[str, int]) -> None:
        """Remember which specification a folder's draft was made from."""
        self._take(self._add({"spec": sha256, "draft": folder, "files": dict(files)}))

    def tidy(self, keep: Iterable[str]) -> None:
        """Write the file anew, with only what belongs to these specifications."""
        wanted = set(keep)
        lines = [
            {"spec": each, "day": self._days[each], "facts": self._facts[each].as_data()}
            for each in self._facts
            if each in wanted
        ]
        lines += [
            {"spec": spec, "draft": folder, "files": dict(files)}
            for folder, (spec, files) in self._drafts.items()
            if spec in wanted
        ]
        with suppress(OSError):  # an untidy memory is as good
            place_file(self._path, "".join(map(self._line, lines)).encode(), sync=False)

    def _read(self) -> None:
        # A memory that is not there, or cannot be read, holds nothing: every rotor is looked at again.
        with suppress(OSError):
            for line in read_plain(self._path, follow=False).splitlines():
                # A line that was cut off, or that another version wrote, is nothing remembered.
                with suppress(ValueError, LookupError, TypeError, AttributeError):
                    told = json.loads(line)
                    if told["made_with"] == self._made_with:
                        self._take(told)

    def _take(self, told: Mapping[str, Any]) -> None:
        spec = str(told["spec"])
        if "draft" in told:
            self._drafts[str(told["draft"])] = (
                spec,
                {str(name): int(told["files"][name]) for name in told["files"]},
            )
        else:
            facts = facts_from(told["facts"])
            self._facts[spec], self._days[spec] = facts, str(told["day"])

    def _add(self, told: Mapping[str, Any]) -> Mapping[str, Any]:
        # A memory that cannot be written costs time the next time, and no deck.
        with suppress(OSError):
            self._path.parent.mkdir(parents=True, exist_ok=True)
            with _appending(self._path) as file:
                # What was cut off before stays a line of its own.
                file.write(b"\n" * _is_cut_off(file) + self._line(told).encode())
        return told

    def _line(self, told: Mapping[str, Any]) -> str:
        return json.dumps({**told, "made_with": self._made_with}, ensure_ascii=False) + "\n"


def _appending(path: Path) -> BinaryIO:
    """Open the memory to add to it; raises `OSError` where its name is a link, a pipe or a device."""
    flags = os.O_RDWR | os.O_APPEND | os.O_CREAT | getattr(os, "O_BINARY", 0)
    handle = os.open(path, flags | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0), 0o666)
    file = os.fdopen(handle, "r+b")
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        file.close()
        raise NotPlainError(errno.EINVAL, "this is no ordinary file", str(path))
    return file


def _is_cut_off(file: BinaryIO) -> bool:
    if not file.seek(0, os.SEEK_END):
        return False
    file.seek(-1, os.SEEK_END)
    return file.read(1) != b"\n"


def _size(file: Path) -> int:
    try:
        return file.stat().st_size
    except OSError:
        # No file has this size, so whatever was to be there counts as not there.
        return -1
