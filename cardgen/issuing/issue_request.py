"""What an issue is asked for, and what comes of it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import TypeAlias

from cardgen.register.code import Code
from cardgen.register.errors import RegisterTrouble
from cardgen.register.head import Head
from cardgen.register.rows import DeckRow, PlaceRow, ReadingRow, WithdrawalRow
from cardgen.spec.problem import Problem
from cardgen.spec.read_check import ReadCheck, read_check
from cardgen.spec.text import Unprintable, read_text

_SET_ID = re.compile(r"[A-Z0-9](?:[A-Z0-9-]{0,14}[A-Z0-9])?", re.ASCII)
_FILE_NAME = re.compile(r"[a-z0-9](?:[a-z0-9._-]{0,60}[a-z0-9])?", re.ASCII)


@dataclass(frozen=True)
class Request:
    """A deck to be issued: for which rotor, by whose word, why, and where its copies will hang.

    ``read_by`` and ``typed_check`` tell of a reading that is still to be kept; both are empty where one
    is in the register already. ``only_changed`` issues nothing where the newest deck was made from the
    same specification by the same version, as a run over many rotors wants it.
    """

    set_id: str
    issued: date
    use_until: date
    approved_by: str
    reason: str
    spec: bytes
    version: str
    places: tuple[PlaceRow, ...]
    only_changed: bool = False
    read_by: str = ""
    typed_check: str = ""

    @property
    def check(self) -> ReadCheck:
        """The check of the specification, which whoever read it against the papers has given."""
        return read_check(self.spec)

    def made(self, deck: DeckRow) -> bool:
        """Whether a deck was made from this very specification by this version."""
        return deck.spec_sha256 == sha256(self.spec).hexdigest() and deck.version == self.version


@dataclass(frozen=True)
class Turn:
    """One attempt at building: the revision and tie-break to build for, and the deck to compare with.

    ``previous`` is the description that the rotor's newest deck was issued with, ``reading`` tells who has
    read this specification against its papers, and ``head`` where the register's chain ended before it.
    """

    revision: int
    tie: int
    previous: bytes | None
    reading: ReadingRow
    head: Head


@dataclass(frozen=True)
class Built:
    """A deck built and proved in memory: its code, and every file by name."""

    code: Code
    files: Mapping[str, bytes]


@dataclass(frozen=True)
class Unchanged:
    """Nothing was issued, because the newest deck is from the same specification."""

    deck: DeckRow


@dataclass(frozen=True)
class IssueRefused:
    """Why nothing was issued, for the keeper to mend."""

    problems: tuple[Problem, ...]


@dataclass(frozen=True)
class Recall:
    """A copy to take down."""

    deck: DeckRow
    copy: PlaceRow

    def words(self) -> str:
        """Say which copy hangs where: ``wall copy 1 at hangar, north wall``."""
        return f"{self.copy.edition} copy {self.copy.number} at {self.copy.place}"


@dataclass(frozen=True)
class Issued:
    """A deck in the register. ``folder`` is where its files stand, or ``trouble`` why they do not.

    ``before`` is the deck before it, if there was one, ``same_as`` the same where no number and no word of the
    cards differs from that one's, and ``withdrawn`` how that one went out of use, if it did.
    """

    deck: DeckRow
    recall: tuple[Recall, ...]
    folder: Path | None
    trouble: RegisterTrouble | None = None
    before: DeckRow | None = None
    same_as: DeckRow | None = None
    withdrawn: WithdrawalRow | None = None


Build: TypeAlias = Callable[[Turn], Built | IssueRefused]


def refusals(request: Request) -> tuple[Problem, ...]:
    """Find what in a request may not reach a file name, the register, a card or a terminal."""
    problems = []
    if not _SET_ID.fullmatch(request.set_id):
        why = "the set id names a folder: capitals, digits and hyphens, at most 16"
        problems.append(_problem("set_id", "set-id", ascii(request.set_id), why, 'such as "RB-2041"'))
    if request.use_until < request.issued:
        why = "the deck would be out of date on the day it is issued"
        read = request.use_until.isoformat()
        problems.append(_problem("use_until", "use-until-past", read, why, "a later use-until date"))
    said = {"--approved-by": request.approved_by, "--reason": request.reason}
    for place in request.places:
        said[f"place of {place.edition} copy {place.number}"] = place.place
        said[f"edition of copy {place.number} at {place.place}"] = place.edition
    return (*problems, *(problem for key, text in said.items() for problem in text_refusals(key, text)))


def text_refusals(key: str, text: str) -> tuple[Problem, ...]:
    """Find what stands against printing a text: control characters, direction marks, length."""
    read = read_text(text)
    if not isinstance(read, Unprintable):
        return ()
    return (_problem(ascii(key)[1:-1], read.rule, ascii(text), read.why, read.write),)


def is_file_name(name: str) -> bool:
    """Whether a name may stand in a deck's folder: small letters, digits, dot, hyphen, underscore."""
    return _FILE_NAME.fullmatch(name) is not None and ".." not in name


def _problem(key: str, rule: str, read: str, why: str, write: str) -> Problem:
    return Problem("issue", 0, 0, key, rule, read, why, write)
