"""The heads and keys of a file that is not TOML yet, line by line, so that its faults can name their keys.

The syntax tree of a broken file cannot be relied on; heads and keys stand at the beginning of a
line, and that much is still to be seen.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from cardgen.spec.problem import Path

_NAME = r"[A-Za-z0-9_-]+(?:[ \t]*\.[ \t]*[A-Za-z0-9_-]+)*"
_HEAD = re.compile(rf"[ \t]*(\[\[?)[ \t]*({_NAME})[ \t]*\]\]?[ \t]*(?:#.*)?\Z")
_KEY = re.compile(rf"[ \t]*({_NAME})[ \t]*=[ \t]*(.*)", re.DOTALL)


@dataclass(frozen=True)
class Outlined:
    """One head or key: its line from 1, its path, what stands behind its equals sign, its brackets."""

    line: int
    path: Path
    value: str = ""
    brackets: str = ""

    @property
    def name(self) -> tuple[str, ...]:
        """The path without places in lists."""
        return tuple(part for part in self.path if isinstance(part, str))


class Outline:
    """The entries of a file, by line."""

    def __init__(self, lines: Sequence[str]) -> None:
        self._entries: dict[int, Outlined] = {}
        self._counts: dict[Path, int] = {}
        group: Path = ()
        # Inside a text of several lines anything may stand; nothing is said about such a file.
        whole = "\n".join(lines)
        for number, line in enumerate(() if '"""' in whole or "'''" in whole else lines, start=1):
            if found := _HEAD.match(line):
                group = self._group(found[2], doubled=found[1] == "[[")
                self._entries[number] = Outlined(number, group, brackets=found[1])
            elif found := _KEY.match(line):
                self._entries[number] = Outlined(number, (*group, *_parts(found[1])), value=found[2])

    def at(self, line: int) -> Outlined | None:
        """Give the head or key that stands on a line."""
        return self._entries.get(line)

    def heads(self, name: tuple[str, ...]) -> list[Outlined]:
        """Give the heads of a group and of what lies in it, in file order."""
        return [entry for entry in self._entries.values() if entry.brackets and entry.name[: len(name)] == name]

    def first_of(self, entry: Outlined) -> int | None:
        """Find the line on which something that now stands a second time stood first."""
        for other in self._entries.values():
            same = other.path == entry.path or (not other.brackets and _holds(other.path, entry.path))
            if same and other.line < entry.line:
                return other.line
        return None

    def _group(self, name: str, doubled: bool) -> Path:
        path: Path = ()
        parts = _parts(name)
        for depth, part in enumerate(parts, start=1):
            path = (*path, part)
            if doubled and depth == len(parts):
                self._counts[path] = self._counts.get(path, -1) + 1
            # A single bracket that names a list means the list, not a block of it.
            if path in self._counts and (doubled or depth < len(parts)):
                path = (*path, self._counts[path])
        return path


def _parts(name: str) -> list[str]:
    return [part.strip() for part in name.split(".")]


def _holds(outer: Path, inner: Path) -> bool:
    return len(outer) < len(inner) and inner[: len(outer)] == outer
