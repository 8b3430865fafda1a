"""What the register and the log say of one rotor, as the commands say it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from cardgen.issuing.issue_deck import recall_list
from cardgen.issuing.issue_request import Recall
from cardgen.logbook.fit_report import lines_of
from cardgen.logbook.history import history_of
from cardgen.logbook.keeping import entries_of, issued_deck
from cardgen.logbook.track_learning import learn
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, troubles_as_values
from cardgen.register.rows import DeckRow
from cardgen.register.state import Standing
from cardgen.register.trust import trusted


@dataclass(frozen=True)
class InRegister:
    """Where the newest deck of a rotor stands, the copies that have to come down, the last run."""

    newest: Standing
    down: tuple[Recall, ...]
    last_run: str


@troubles_as_values
def in_register(book: Register, set_id: str, today: date) -> InRegister | RegisterTrouble | None:
    """Ask the register after one rotor; nothing where no deck of it was ever issued."""
    with trusted(book, today) as trust:
        deck = book.newest(set_id)
        if deck is None:
            return None
        where = trust.standing(deck)
        down = _down(book, where)
    last_run = _last_run(book, deck)
    return last_run if isinstance(last_run, RegisterTrouble) else InRegister(where, down, last_run)


@troubles_as_values
def decks_of(book: Register, set_id: str, today: date) -> tuple[Standing, ...] | RegisterTrouble:
    """Tell where every deck of a rotor stands, the newest first."""
    with trusted(book, today) as trust:
        decks = [each for each in book.decks() if each.set_id == set_id]
        return tuple(trust.standing(each) for each in reversed(decks))


def _down(book: Register, where: Standing) -> tuple[Recall, ...]:
    """List the copies of the deck before this one, and of this one where it is out of use itself."""
    before = book.revision(where.deck.set_id, where.deck.revision - 1)
    return recall_list(book, before) + recall_list(book, None if where.state == "current" else where.deck)


def _last_run(book: Register, newest: DeckRow) -> str | RegisterTrouble:
    entries = entries_of(book, newest.set_id)
    if isinstance(entries, RegisterTrouble):
        return entries
    if not entries:
        return ""
    deck = issued_deck(book, newest)
    if isinstance(deck, RegisterTrouble):
        return deck
    history = history_of(entries, deck)
    first = lines_of(learn(history))[0]
    if not history.row:
        return f"Last entry {entries[-1].entry.record.day}. {first}"
    return f"Last run {history.row[-1].run.day}. {first}"
