"""What the register holds, row by row."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal, TypeAlias

from cardgen.register.code import Code

#: The file in which a deck describes itself, and that decks are compared by.
DESCRIPTION = "deck.json"

EventKind: TypeAlias = Literal["deck", "withdrawal", "entry", "reading", "identity", "correction"]


@dataclass(frozen=True)
class FileRow:
    """One issued file: its name in the deck's folder, the hash of its bytes, its size in bytes."""

    name: str
    sha256: str
    size: int


@dataclass(frozen=True)
class PlaceRow:
    """One printed copy: which edition, its number within that edition, and where it hangs."""

    edition: str
    number: int
    place: str


@dataclass(frozen=True)
class NewDeck:
    """A deck about to be entered, with the number of the reading that it was issued on."""

    set_id: str
    revision: int
    code: Code
    issued: date
    use_until: date
    approved_by: str
    reason: str
    spec_sha256: str
    version: str
    files: tuple[FileRow, ...]
    places: tuple[PlaceRow, ...]
    reading: int | None = None


@dataclass(frozen=True)
class DeckRow:
    """An issued deck as the register holds it; its files and places are read on their own."""

    id: int
    set_id: str
    revision: int
    code: Code
    issued: date
    use_until: date
    approved_by: str
    reason: str
    spec_sha256: str
    version: str

    @property
    def folder(self) -> str:
        """Name of the deck's output folder."""
        return f"{self.set_id}-r{self.revision}"


@dataclass(frozen=True)
class WithdrawalRow:
    """A deck taken out of use."""

    deck: int
    day: date
    reason: str


@dataclass(frozen=True)
class EntryRow:
    """A log entry kept for a deck: the card it was written on, the day it came in, its JSON."""

    id: int
    deck: int
    card: str
    day: date
    content: str


@dataclass(frozen=True)
class ReadingRow:
    """A specification read against its papers: whose rotor's, by whom, on which day, with which check."""

    id: int
    set_id: str
    read_by: str
    day: date
    check: str


@dataclass(frozen=True)
class CorrectionRow:
    """Somebody's word that whatever was entered before carries no later day than this one."""

    id: int
    day: date
    said_by: str
    reason: str


@dataclass(frozen=True)
class EventRow:
    """One link of the chain: what was entered, and the hashes that bind it to the one before.

    ``subject`` is the deck's number for a deck or its withdrawal, their own for any other.
    """

    id: int
    kind: str
    subject: int
    set_id: str
    previous: str
    hash: str
