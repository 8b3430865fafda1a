"""What need not be made: decks of rotors whose newest one is from this very specification, and in place."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import Protocol, TypeVar

from cardgen.issuing.fleet.tasks import Outcome, words
from cardgen.issuing.reprint_deck import Reprinted, reprint
from cardgen.plain_file import read_plain
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, troubles_as_values
from cardgen.register.rows import DeckRow
from cardgen.register.trust import Trusted, trusted
from cardgen.spec.problem import Problem


class Asked(Protocol):
    """A rotor of a fleet, as far as the register is asked about it."""

    @property
    def file(self) -> str:
        """Its specification, for messages."""

    @property
    def name(self) -> str:
        """Its set id."""

    @property
    def sha256(self) -> str:
        """The hash of its specification."""


Rotor = TypeVar("Rotor", bound=Asked)


def all_already(
    book: Register, rotors: Sequence[Rotor], made_with: str, out: Path, today: date
) -> Iterator[tuple[Rotor, Outcome]]:
    """Tell what is to be said of rotors without making a deck; those that one must be made for are left out.

    A register that cannot be trusted as a whole stops the fleet; what is wrong with one deck stops that one.
    """
    with ExitStack() as stack:
        trust = _entered(book, stack, today)
        for rotor in rotors:
            if isinstance(trust, RegisterTrouble):
                yield rotor, Outcome("failed", trouble=words(trust), stops=True)
                return
            outcome = _already(trust, rotor, made_with, out)
            if isinstance(outcome, RegisterTrouble):
                outcome = Outcome("failed", trouble=words(outcome))
            if outcome is not None:
                yield rotor, outcome


@troubles_as_values
def _entered(book: Register, stack: ExitStack, today: date) -> Trusted:
    return stack.enter_context(trusted(book, today))


@troubles_as_values
def _already(trust: Trusted, rotor: Asked, made_with: str, out: Path) -> Outcome | RegisterTrouble | None:
    """Tell what is to be said of one rotor; nothing where a deck must be made.

    A deck withdrawn while its specification stayed the same is not brought back by a run over all.
    """
    book = trust.register
    deck = book.newest(rotor.name)
    if deck is None:
        return None
    where = trust.standing(deck)
    if deck.spec_sha256 != rotor.sha256:
        return None
    if where.state == "withdrawn":
        why = f"revision {deck.revision} was withdrawn on {where.since}, because: {where.why}"
        write = "a specification that is put right; or, if this one is right, issue this rotor alone"
        problem = Problem(rotor.file, 0, 0, "", "fleet-withdrawn", rotor.name, why, write)
        return Outcome("refused", problems=(problem,))
    if deck.version != made_with:
        return None
    return _placed(trust, deck, out)


def _placed(trust: Trusted, deck: DeckRow, out: Path) -> Outcome | RegisterTrouble:
    folder = out / deck.folder
    known = (deck.revision, str(deck.code), str(folder))
    if os.path.lexists(folder):
        if other := _not_as_issued(trust.register, deck, folder):
            why = f"{folder}: not as it was issued: {', '.join(other)}"
            return Outcome("failed", *known, trouble=f"{why}. Move the folder away, and it is placed again")
        return Outcome("unchanged", *known)
    placed = reprint(trust.register, deck.code, out, trust.today)
    if isinstance(placed, RegisterTrouble):
        return placed
    if not isinstance(placed, Reprinted):
        return Outcome("failed", *known, trouble=f"{folder}: the issued deck could not be placed again")
    return Outcome("placed again", *known)


def _not_as_issued(book: Register, deck: DeckRow, folder: Path) -> list[str]:
    """Name the files of a placed deck that are gone or hold other bytes than were issued."""
    return [file.name for file in book.files(deck.id) if _hash(folder / file.name) != file.sha256]


def _hash(path: Path) -> str:
    try:
        return sha256(read_plain(path)).hexdigest()
    except OSError:
        # It has no bytes that could be those that were issued.
        return ""
