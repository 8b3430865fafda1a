"""Marks on the metal that can be drawn on a card: so many dots, grooves, bands or notches, or a letter."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal, TypeAlias, cast

MarkKind: TypeAlias = Literal["dots", "grooves", "bands", "notches", "letter"]

_COUNTED = re.compile(r"(dots|grooves|bands|notches) ([1-9])", re.ASCII)
_LETTER = re.compile(r"letter ([A-Z])", re.ASCII)


@dataclass(frozen=True)
class DrawnMark:
    """One mark: its kind, and how many of it there are or which letter it is."""

    kind: MarkKind
    count: int = 1
    letter: str = ""


def read_drawn(text: str) -> DrawnMark | None:
    """Read a mark such as ``dots 2`` or ``letter A``; nothing where it cannot be drawn."""
    if counted := _COUNTED.fullmatch(text):
        return DrawnMark(cast(MarkKind, counted[1]), int(counted[2]))
    if letter := _LETTER.fullmatch(text):
        return DrawnMark("letter", letter=letter[1])
    return None
