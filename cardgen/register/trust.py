"""The one rule by which anything that the register says of a deck is believed.

Of the whole register: its chain runs unbroken to its end, it is no older than its store, and today is
not before its newest entry. Of a deck: it, its withdrawal and those that followed it are what was
entered, and its kept files are there. Where one of these does not hold, nothing is called current.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from cardgen.register import chain
from cardgen.register.database import Register
from cardgen.register.errors import DamagedRowError, RegisterTrouble, TroubleError, trouble
from cardgen.register.head import Head, note_path, noted
from cardgen.register.linked import agrees, newest_day
from cardgen.register.rows import DESCRIPTION, DeckRow, EventKind
from cardgen.register.state import Standing, standing


@dataclass(frozen=True)
class Trusted:
    """A register that was found in order, as it is now; ask it where a deck stands."""

    register: Register
    today: date

    @property
    def path(self) -> Path:
        """Where the register lives."""
        return self.register.path

    def standing(self, deck: DeckRow, *, read_files: bool = False) -> Standing:
        """Confirm a deck and all that decides over it, and tell where it stands.

        Its description is read and compared with its hash, its other kept files as well where
        ``read_files``; else they must be there in their size. Raises `DamagedRowError` or `TroubleError`.
        """
        found = standing(self.register, deck, self.today)
        for each in {one.id: one for one in (deck, found.newest, found.following or deck)}.values():
            confirm(self.register, each)
        for file in self.register.files(deck.id):
            sized = self.register.store.holds_size(file.sha256, file.size)
            if read_files or file.name == DESCRIPTION or not sized:
                content = self.register.store.read(file.sha256)
                if isinstance(content, RegisterTrouble):
                    raise TroubleError(content)
        return found


@contextmanager
def trusted(register: Register, today: date) -> Iterator[Trusted]:
    """See the register as it is now until the block ends, once the whole of it is found in order.

    Raises `sqlite3.Error`, `DamagedRowError`, or `TroubleError` with what stands against it.
    """
    with register.reading():
        confirm_chain(register)
        _confirm_day(register, today)
        yield Trusted(register, today)


def confirm_chain(register: Register) -> None:
    """Check that the chain runs to its end, and that the register is no older than its store."""
    head = register.head()
    if not chain.is_unbroken(register.connection):
        raise DamagedRowError("the chain of its entries is broken")
    if head.identity and not agrees(register, "identity", 1, ""):
        raise DamagedRowError("its identity was changed later")
    for (subject,) in register.connection.execute("SELECT subject FROM events WHERE kind = 'correction'"):
        confirm_link(register, "correction", subject)
    if why := against_note(register, head):
        raise TroubleError(why)


def against_note(register: Register, head: Head) -> RegisterTrouble | None:
    """Say what stands against a register beside what its store noted at the last entry."""
    place = note_path(register.store.path)
    try:
        last = noted(register.store.path)
    except (OSError, ValueError) as error:
        way = "run `register check`; where all else is sound, remove this file: the next entry notes it anew"
        return trouble("damaged", place, f"{error}", way)
    if last is None or is_on(register, last):
        return None
    why = f"its last entry is number {head.links}, and files were kept beside it up to entry {last.links}"
    if last.identity != head.identity or last.links <= head.links:
        why = "the files beside it were kept for another register, or for another course of this one"
    return trouble("older", register.path, f"this is not the newest copy of the register: {why}", _NEWEST)


_NEWEST = (
    "bring back the newest copy; if there is none, every card issued since is unknown here: take those down, "
    "then move the file `head` out of the store"
)


def is_on(register: Register, head: Head) -> bool:
    """Whether the chain of this register runs through a head that was told before."""
    if head.identity != register.identity:
        return False
    row = register.connection.execute("SELECT hash FROM events WHERE id = ?", (head.links,)).fetchone()
    return row is not None and Head.of(head.identity, head.links, str(row[0])) == head


def _confirm_day(register: Register, today: date) -> None:
    found = newest_day(register)
    if found is None or found[0] <= today:
        return
    day, kind, subject = found
    confirm_link(register, kind, subject)
    why = f"today is given as {today}, and the newest entry of this register is of {day}: one of them is wrong"
    way = (
        "set this machine's clock, or give the day with --today; if the entry was made with a wrong day, "
        "cardgen register correct"
    )
    raise TroubleError(trouble("clock", register.path, why, way))


def confirm(register: Register, deck: DeckRow) -> None:
    """Check that what decides over a deck still is what was entered: it, its withdrawal, its successors.

    Raises `DamagedRowError` if not. The whole register is checked by `audit.check`.
    """
    name = f"{deck.set_id} revision {deck.revision}"
    if not agrees(register, "deck", deck.id, deck.set_id):
        raise DamagedRowError(f"the entry of {name} was changed later")
    reading = register.reading_of(deck.id)
    if reading is not None and not agrees(register, "reading", reading.id, reading.set_id):
        raise DamagedRowError(f"the reading that {name} was issued on was changed later")
    entered = chain.event_of(register.connection, "withdrawal", deck.id) is not None
    there = register.withdrawal(deck.id) is not None
    if entered and not there:
        raise DamagedRowError(f"{name} was withdrawn, and the entry of that is gone")
    if there and not agrees(register, "withdrawal", deck.id, deck.set_id):
        raise DamagedRowError(f"the withdrawal of {name} was changed later")
    query = "SELECT COUNT(*) FROM events WHERE set_id = ? AND kind = 'deck'"
    (count,) = register.connection.execute(query, (deck.set_id,)).fetchone()
    newest = register.newest(deck.set_id)
    if newest is None or newest.revision != count:
        raise DamagedRowError(f"revisions of {deck.set_id} are gone or were changed later")


def confirm_link(register: Register, kind: EventKind, subject: int) -> None:
    """Check that one entry still is what it was. Raises `DamagedRowError`."""
    event = chain.event_of(register.connection, kind, subject)
    if event is None or not agrees(register, kind, subject, event.set_id):
        raise DamagedRowError(f"{kind} {subject} was changed later")
