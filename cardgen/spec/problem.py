"""What is wrong with a specification, said so that its keeper can mend it.

A problem is a value, not an exception: reading collects every one of them, and only the
command line decides how they are shown.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

#: Where something stands in the parsed file: group, position in a list, key.
Path: TypeAlias = tuple[str | int, ...]


def key_of(path: Path) -> str:
    """Write a path the way a keeper would say it: ``fasteners[1].torque_max``, counted from 1."""
    shown = ""
    for part in path:
        if isinstance(part, int):
            shown += f"[{part + 1}]"
        else:
            shown += f".{part}" if shown else part
    return shown


@dataclass(frozen=True)
class Finding:
    """Something refused or doubted, before its place in the file is known."""

    path: Path
    rule: str
    read: str
    why: str
    write: str


@dataclass(frozen=True)
class FileFault:
    """Something wrong with a file as text, at a line and column counted from 1; its key where that is known."""

    line: int
    column: int
    rule: str
    read: str
    why: str
    write: str
    key: str = ""


@dataclass(frozen=True, order=True)
class Problem:
    """A finding with its place: what was read, why it is refused, what to write instead.

    Problems sort in file order. ``line`` and ``column`` count from 1; both are 0 where the
    trouble is with the file as a whole. ``column`` counts characters, not bytes.
    """

    file: str
    line: int
    column: int
    key: str
    rule: str
    read: str
    why: str
    write: str
