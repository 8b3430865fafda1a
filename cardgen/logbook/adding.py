"""Adding an entry to a rotor's log: checked against its deck and against what the log holds, kept once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from cardgen.logbook.against_deck import Outside, asked_faults, doubts, faults, outside, unit_faults
from cardgen.logbook.entry import FormEntry, ReadEntry, read_kept
from cardgen.logbook.entry_file import problem
from cardgen.logbook.keeping import LogEntry, entries_of, issued_deck, out_of_use
from cardgen.logbook.oddities import oddities
from cardgen.logbook.partial_entry import Partly
from cardgen.register.code import Code, Mistyped, read_code
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, troubles_as_values
from cardgen.register.rows import DeckRow, EntryRow
from cardgen.register.state import Standing
from cardgen.register.trust import trusted
from cardgen.spec.canonical import canonical
from cardgen.spec.problem import Problem

#: Stands for the number of an entry that is not in the register.
_NOT_YET = 0


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
class Asked:
    """What is odd about an entry's numbers; nothing is kept before somebody says that they were read so."""

    questions: tuple[str, ...]


@troubles_as_values
def add(
    register: Register,
    read: ReadEntry | Partly,
    file: str,
    today: date,
    *,
    set_id: str,
    code: Code | None = None,
    corrects: int | None = None,
    as_read: bool = False,
) -> Kept | Asked | tuple[Problem, ...] | RegisterTrouble:
    """Check an entry against the deck it names and keep it; nothing is kept where anything is wrong.

    ``set_id`` is the rotor meant, ``code`` the deck where one was named. The same content is never
    kept twice. An entry of which parts are refused already is judged for the rest, and never kept.
    Where its numbers are odd for what the log holds, nothing is kept before somebody has said that they
    were read so: ``as_read``. ``corrects`` is the number of the entry that this one is read in place of.
    """
    entry = read.entry if corrects is None else read.entry.model_copy(update={"corrects": corrects})
    row = _deck_of(register, entry, file, set_id, code)
    if isinstance(row, Problem):
        return read.further((row,)) if isinstance(read, Partly) else (row,)
    with trusted(register, today) as book:
        where = book.standing(row)
    deck = issued_deck(register, row)
    if isinstance(deck, RegisterTrouble):
        return deck
    problems = faults(entry, deck.boxes, file, deck.kept.typed("authority", "jurisdiction"))
    problems += tuple(asked_faults(entry, len(deck.kept.record_asked), file))
    problems += tuple(unit_faults(entry, deck.kept.typed("track", "set_by") == "flats", file))
    if isinstance(read, Partly):
        return read.further(problems)
    if problems:
        return problems
    said = {"corrects": corrects} if corrects is not None else {}
    content = canonical({**read.kept, **said, **({"as_read": True} if as_read else {})}).decode("ascii")
    before = {each.id for each in register.entries(row.id)}
    if clash := _same_mark(register, row, entry, content):
        return (problem(file, ("entry",), "entry-mark", str(entry.entry), clash, "a new entry from the form"),)
    earlier = entries_of(register, set_id)
    if isinstance(earlier, RegisterTrouble):
        return earlier
    if wrong := _correction_fault(entry, earlier, file):
        return (wrong,)
    new = LogEntry(EntryRow(_NOT_YET, row.id, entry.scanned.card, today, content), entry, deck)
    if (
        not as_read
        and content not in {each.row.content for each in earlier}
        and (odd := oddities(earlier, new))
    ):
        return Asked(odd)
    kept = register.add_entry(row, entry.scanned.card, today, content)
    registration = deck.kept.typed("aircraft", "registration")
    return Kept(
        row=kept,
        deck=row,
        new=kept.id not in before,
        standing=where,
        outside=outside(entry, deck.boxes),
        doubts=doubts(entry, row.issued, registration),
        used_after=bool(out_of_use(register, row, entry.record.day)),
    )


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


def _correction_fault(entry: FormEntry, earlier: Sequence[LogEntry], file: str) -> Problem | None:
    """Say what is wrong with the entry that is to be corrected; nothing where it may be."""
    if entry.corrects is None:
        return None
    found = next((each for each in earlier if each.row.id == entry.corrects), None)
    by = next((each.row.id for each in earlier if each.entry.corrects == entry.corrects), None)
    if found is None:
        why, write = "the log of this rotor has no entry of this number", "a number that `log show` gives"
    elif by is not None:
        why, write = f"this entry is corrected already, by entry {by}", f"{by}, to correct that one"
    else:
        return None
    return problem(file, ("corrects",), "entry-corrects", str(entry.corrects), why, write)


def _same_mark(register: Register, row: DeckRow, entry: FormEntry, content: str) -> str:
    """Say what is wrong where another entry of the deck has the same mark from the form."""
    if entry.entry is None:
        return ""
    for each in register.entries(row.id):
        other = read_kept(each.content.encode())
        if each.content != content and other is not None and other.entry == entry.entry:
            return "an entry with this mark is in the register already, and it says something else"
    return ""
