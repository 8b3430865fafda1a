"""Keeping an entry in the register, once and for good, and finding the entries of a rotor again."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from cardgen.logbook.against_deck import DeckBoxes, Outside, boxes_of, doubts, faults, outside
from cardgen.logbook.entry import FormEntry, ReadEntry, read_kept
from cardgen.logbook.entry_file import problem
from cardgen.logbook.partial_entry import Partly
from cardgen.logbook.track_rule import NoRule, TrackRule, rule_of
from cardgen.register.code import Code, Mistyped, read_code
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, trouble, troubles_as_values
from cardgen.register.kept import KeptDeck, description
from cardgen.register.rows import DeckRow, EntryRow
from cardgen.register.state import Standing
from cardgen.register.trust import trusted
from cardgen.spec.canonical import canonical
from cardgen.spec.problem import Problem


@dataclass(frozen=True)
class IssuedDeck:
    """A deck of the register with what it said of itself, of its boxes and of its track rule."""

    row: DeckRow
    kept: KeptDeck
    boxes: DeckBoxes
    rule: TrackRule | NoRule


@dataclass(frozen=True)
class Kept:
    """An entry is in the register; ``new`` is false where the very same entry was there before.

    ``used_after`` says that its cards were no longer current on the day of the work.
    """

    row: EntryRow
    deck: DeckRow
    new: bool
    standing: Standing
    outside: tuple[Outside, ...]
    doubts: tuple[str, ...]
    used_after: bool


@dataclass(frozen=True)
class LogEntry:
    """An entry of the register, read again, with the deck it was written with.

    ``out_of_use`` says how that deck had gone out of use by the day of the work; empty where it had not.
    """

    row: EntryRow
    entry: FormEntry
    deck: IssuedDeck
    out_of_use: str = ""


@troubles_as_values
def add(
    register: Register,
    read: ReadEntry | Partly,
    file: str,
    today: date,
    *,
    set_id: str,
    code: Code | None = None,
) -> Kept | tuple[Problem, ...] | RegisterTrouble:
    """Check an entry against the deck it names and keep it; nothing is kept where anything is wrong.

    ``set_id`` is the rotor meant, ``code`` the deck where one was named. The same content is never
    kept twice. An entry of which parts are refused already is judged for the rest, and never kept.
    """
    entry = read.entry
    row = _deck_of(register, entry, file, set_id, code)
    if isinstance(row, Problem):
        return read.further((row,)) if isinstance(read, Partly) else (row,)
    with trusted(register, today) as book:
        where = book.standing(row)
    deck = issued_deck(register, row)
    if isinstance(deck, RegisterTrouble):
        return deck
    problems = faults(entry, deck.boxes, file, deck.kept.typed("authority", "jurisdiction"))
    if isinstance(read, Partly):
        return read.further(problems)
    if problems:
        return problems
    content = canonical(read.kept).decode("ascii")
    before = {each.id for each in register.entries(row.id)}
    if clash := _same_mark(register, row, entry, content):
        return (problem(file, ("entry",), "entry-mark", str(entry.entry), clash, "a new entry from the form"),)
    kept = register.add_entry(row, entry.scanned.card, today, content)
    registration = deck.kept.typed("aircraft", "registration")
    return Kept(
        row=kept,
        deck=row,
        new=kept.id not in before,
        standing=where,
        outside=outside(entry, deck.boxes),
        doubts=doubts(entry, row.issued, registration),
        used_after=bool(_out_of_use(register, row, entry.record.day)),
    )


def _out_of_use(register: Register, deck: DeckRow, day: date) -> str:
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


def _deck_of(
    register: Register, entry: FormEntry, file: str, set_id: str, code: Code | None
) -> DeckRow | Problem:
    """Find the deck that an entry names, and see that it is of the rotor and the deck that are meant."""
    if entry.set_id != set_id:
        why = f"this is the entry of another rotor; {set_id} is meant here"
        return problem(file, ("set_id",), "entry-rotor", entry.set_id, why, f"an entry of {set_id}")
    read = read_code(entry.code)
    if isinstance(read, Mistyped):
        return problem(file, ("code",), "entry-code", entry.code, "this is not a deck's code", read.write)
    row = register.by_code(read)
    if row is None or row.set_id != set_id or row.revision != entry.revision:
        why = "the register has no deck of this rotor with this code and revision"
        return problem(file, ("code",), "entry-code", f"{entry.code}, revision {entry.revision}", why, _SAVED)
    if code is not None and code != row.code:
        why = f"the entry was written with other cards than those of {code}"
        return problem(
            file, ("code",), "entry-code", entry.code, why, f"that code, or {set_id}'s specification"
        )
    return row


_SAVED = "an entry saved by the form of an issued deck"


def issued_deck(register: Register, row: DeckRow) -> IssuedDeck | RegisterTrouble:
    """Read what a deck said of itself out of its kept description; nothing in it is judged again."""
    told = description(register, row)
    if isinstance(told, RegisterTrouble):
        return told
    kept = KeptDeck(told)
    try:
        return IssuedDeck(row, kept, boxes_of(told), rule_of(kept))
    except (LookupError, TypeError, ValueError, AttributeError):
        why = f"the description of {row.folder} cannot be read"
        return trouble("newer version", register.path, why, "use the version of this program that issued it")


def _same_mark(register: Register, row: DeckRow, entry: FormEntry, content: str) -> str:
    """Say what is wrong where another entry of the deck has the same mark from the form."""
    if entry.entry is None:
        return ""
    for each in register.entries(row.id):
        other = read_kept(each.content.encode())
        if each.content != content and other is not None and other.entry == entry.entry:
            return "an entry with this mark is in the register already, and it says something else"
    return ""


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
            found.append(LogEntry(each, entry, deck, _out_of_use(register, row, entry.record.day)))
    return tuple(
        sorted(found, key=lambda each: (each.entry.record.date, each.entry.record.time or "", each.row.id))
    )
