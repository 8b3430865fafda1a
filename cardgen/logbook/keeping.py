"""A rotor's log as the register keeps it: its issued decks and its entries, read and never judged again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from cardgen.logbook.against_deck import DeckBoxes, boxes_of
from cardgen.logbook.entry import FormEntry, read_kept
from cardgen.logbook.track_rule import NoRule, TrackRule, rule_of
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, trouble, troubles_as_values
from cardgen.register.kept import KeptDeck, description, no_version_wrote
from cardgen.register.rows import DeckRow, EntryRow


@dataclass(frozen=True)
class IssuedDeck:
    """A deck of the register with what it said of itself, of its boxes and of its track rule."""

    row: DeckRow
    kept: KeptDeck
    boxes: DeckBoxes
    rule: TrackRule | NoRule


@dataclass(frozen=True)
class LogEntry:
    """An entry of the register, read again, with the deck it was written with.

    ``out_of_use`` says how that deck had gone out of use by the day of the work; empty where it had not.
    """

    row: EntryRow
    entry: FormEntry
    deck: IssuedDeck
    out_of_use: str = ""


def out_of_use(register: Register, deck: DeckRow, day: date) -> str:
    """Say how a deck had gone out of use by a day, the first way first; nothing where it was current.

    A deck may be used on its last day; on the day that another followed, nobody can tell.
    """
    ends = []
    if following := register.revision(deck.set_id, deck.revision + 1):
        ends.append((following.issued, f"superseded on {following.issued}, because: {following.reason}"))
    if withdrawal := register.withdrawal(deck.id):
        ends.append((withdrawal.day, f"withdrawn on {withdrawal.day}, because: {withdrawal.reason}"))
    if day > deck.use_until:
        ends.append((deck.use_until, f"out of date: it was to be used until {deck.use_until}"))
    return next((words for since, words in sorted(ends) if since <= day), "")


def issued_deck(register: Register, row: DeckRow) -> IssuedDeck | RegisterTrouble:
    """Read what a deck said of itself out of its kept description; nothing in it is judged again."""
    told = description(register, row)
    if isinstance(told, RegisterTrouble):
        return told
    kept = KeptDeck(told)
    try:
        return IssuedDeck(row, kept, boxes_of(told), rule_of(kept))
    except (LookupError, TypeError, ValueError, AttributeError):
        return no_version_wrote(register, row)


@troubles_as_values
def entries_of(register: Register, set_id: str) -> tuple[LogEntry, ...] | RegisterTrouble:
    """Read every entry of a rotor, oldest first: by the day and time of the work, then as they came in."""
    found: list[LogEntry] = []
    for row in register.decks():
        kept = register.entries(row.id) if row.set_id == set_id else ()
        if not kept:
            continue
        deck = issued_deck(register, row)
        if isinstance(deck, RegisterTrouble):
            return deck
        for each in kept:
            entry = read_kept(each.content.encode())
            if entry is None:
                return trouble("damaged", register.path, f"entry {each.id} is not what the form saved")
            found.append(LogEntry(each, entry, deck, out_of_use(register, row, entry.record.day)))
    return tuple(
        sorted(found, key=lambda each: (each.entry.record.date, each.entry.record.time or "", each.row.id))
    )
