"""How one rotor stands, in words: its file and what stands against it, its deck, its copies, its last run."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from hashlib import sha256

from cardgen.desk.desk_words import desk_words
from cardgen.desk.hangar import Hangar, Rotor
from cardgen.desk.in_register import InRegister, in_register
from cardgen.desk.shared_words import told as trouble_words
from cardgen.issuing.fleet.run import read_whole
from cardgen.issuing.fleet.tasks import Surveyed
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.state import state_words
from cardgen.spec.problem import Problem


@dataclass(frozen=True)
class RotorState:
    """A rotor as it stands now. ``set_id`` and ``diameter`` are empty where the file does not say them.

    ``is_in_use`` says whether there is a card that may be used; ``notes`` are what the keeper may have to
    do; ``down`` names copies to take down.
    """

    set_id: str
    diameter: str
    deck: str
    is_in_use: bool
    notes: tuple[str, ...]
    down: tuple[str, ...]
    last_run: str
    problems: tuple[Problem, ...]
    warnings: tuple[Problem, ...]


def state_of(hangar: Hangar, rotor: Rotor, book: Register | RegisterTrouble | None, today: date) -> RotorState:
    """Read a rotor's file and ask the register after it; ``book`` is nothing where there is none yet."""
    text = read_whole(rotor.path)
    if isinstance(text, str):
        return RotorState(
            "", "", "Not known: the file cannot be read.", False, (f"Refused: {text}.",), (), "", (), ()
        )
    found = hangar.surveyed(rotor, text, today)
    set_id = found.identity.set_id if found.identity else ""
    told = in_register(book, set_id, today) if isinstance(book, Register) and set_id else None
    if isinstance(book, RegisterTrouble):
        told = book
    known = told if isinstance(told, InRegister) else None
    return RotorState(
        set_id,
        found.facts.diameter if found.facts else "",
        _deck_words(told) if set_id else "Not known: the file names no rotor.",
        known is not None and known.newest.state == "current",
        tuple(_notes(found, known, sha256(text).hexdigest())),
        tuple(f"revision {each.deck.revision}, code {each.deck.code}: {each.words()}" for each in known.down)
        if known
        else (),
        known.last_run if known else "",
        found.problems,
        found.warnings,
    )


def _deck_words(told: InRegister | RegisterTrouble | None) -> str:
    if told is None:
        return "Never issued."
    if isinstance(told, RegisterTrouble):
        return f"Nothing is called current. {trouble_words(told)}"
    deck = told.newest.deck
    return f"Revision {deck.revision}, code {deck.code}: {state_words(told.newest)}."


def _notes(found: Surveyed, known: InRegister | None, file_sha256: str) -> Iterator[str]:
    if known and known.newest.deck.spec_sha256 != file_sha256:
        yield "Changed since: the file is not the one that this deck was made from."
    if found.facts and not known:
        yield "Nothing stands against cards."
    if found.problems:
        first, more = found.problems[0], len(found.problems) - 1
        place = f"line {first.line}: " if first.line else ""
        yield f"Refused: {place}{desk_words(first.why)}" + (f"; and {more} more." if more else ".")
    if found.warnings:
        count = len(found.warnings)
        yield f"{count} things to look at again." if count > 1 else "One thing to look at again."
