"""What somebody with a card in the hand is told: whether it may be used, and why, in lines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from cardgen.issuing.reprint_deck import known_part
from cardgen.register.changes import Comparison, change_lines, compare, titles_of
from cardgen.register.currency import Altered, ForRecords, UnknownCode, verify_code, verify_file
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.kept import description
from cardgen.register.listing import listing
from cardgen.register.rows import DeckRow
from cardgen.register.state import Standing, state_words


@dataclass(frozen=True)
class Found:
    """What a register knows of a code or a file; ``part`` are the cards in a file that is a part of a deck."""

    what: Standing | ForRecords | Altered | UnknownCode
    part: tuple[str, ...] = ()

    @property
    def is_current(self) -> bool:
        """Whether a card may be used."""
        return isinstance(self.what, Standing) and self.what.state == "current"


def found_in_file(register: Register, path: Path, today: date) -> Found | RegisterTrouble:
    """Ask the register after a printed file, also after a part of a deck, as reprint takes it out."""
    found = verify_file(register, path, today)
    if isinstance(found, RegisterTrouble):
        return found
    if not isinstance(found, Altered):
        return Found(found)
    part = known_part(register, path, found.claims)
    if isinstance(part, RegisterTrouble):
        return part
    if part is None:
        return Found(found)
    return Found(ForRecords(str(path), found.claims) if part.for_records else found.claims, part.cards)


def rotor_called(register: Register, asked: str, today: date) -> Standing | None:
    """Find where the newest deck of the rotor with this set id stands; nothing where there is no such rotor."""
    rotors = listing(register, today)
    for each in () if isinstance(rotors, RegisterTrouble) else rotors:
        if each.deck.set_id.casefold() == asked.strip().casefold():
            # Looked up like any code, so that an entry that was changed later is never told as it stands.
            found = verify_code(register, each.deck.code, today)
            return found if isinstance(found, Standing) else None
    return None


def answer_lines(answer: Found, register: Register) -> Iterator[str]:
    """Say it; lines that begin with two spaces tell what changed since."""
    found = answer.what
    if isinstance(found, UnknownCode):
        yield f"{found.asked}: unknown. No deck in this register has this code or file."
        if found.cut_short:
            yield f"Its pages could not be searched for a code: {found.cut_short}."
        yield "Do not use this card."
        return
    if isinstance(found, ForRecords):
        yield f"{found.file}: stamped for the records, and out of use."
        found = found.standing
    if isinstance(found, Altered):
        yield f"{found.file}: altered. It names {deck_name(found.claims.deck)},"
        yield "but it is not the file that was issued. Do not use it."
        if found.claims.state == "current":
            yield "The deck itself is current: reprint it."
        else:
            yield f"Nor is the deck itself current: {state_words(found.claims)}."
        return
    yield f"{deck_name(found.deck)}: {state_words(found)}."
    if answer.part:
        yield f"This is a part of it: {', '.join(answer.part)}."
    reading = register.reading_of(found.deck.id)
    read = f"Read by {reading.read_by} on {reading.day}, approved" if reading else "Approved"
    yield f"{read} by {found.deck.approved_by}."
    if found.state == "current":
        return
    yield "Do not use this card."
    if found.ahead:
        yield from _newest_words(found.ahead)
        yield from (f"  {line}" for line in changes_since(register, found))


def deck_name(deck: DeckRow) -> str:
    """Name a deck in a sentence."""
    return f"{deck.set_id} revision {deck.revision}, code {deck.code}"


def _newest_words(newest: Standing) -> Iterator[str]:
    """Name the newest deck before what changed; one that is not to be used either is never just named."""
    name = deck_name(newest.deck)
    if newest.state == "current":
        yield f"The newest deck is {name}. What changed:"
        return
    yield f"The newest deck is {name}. It is not current either: {state_words(newest)}."
    yield "No card of this rotor is to be used until a new deck is issued. What changed:"


def changes_since(register: Register, found: Standing) -> Iterator[str]:
    """Say what changed between a deck and the newest one."""
    described = _described(register, found)
    if described is None:
        yield "not known; the kept description cannot be read"
        return
    comparison, old, new = described
    yield from change_lines(comparison, titles_of(old, new)) or ("no number and no word",)


def _described(
    register: Register, found: Standing
) -> tuple[Comparison, dict[str, object], dict[str, object]] | None:
    old, new = description(register, found.deck), description(register, found.newest)
    if isinstance(old, RegisterTrouble) or isinstance(new, RegisterTrouble):
        return None
    return compare(old, new), old, new
