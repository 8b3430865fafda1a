"""How a rotor stands for issuing: what would change, its newest deck's sheets and cards, what comes down."""

from __future__ import annotations

import re
from dataclasses import dataclass

from flask import abort

from cardgen.deck.fault import BuildFault
from cardgen.desk.desk import Desk
from cardgen.desk.hangar import Rotor
from cardgen.desk.in_register import InRegister, in_register
from cardgen.desk.rotor_state import RotorState, state_of
from cardgen.desk.shared_words import end_trouble, opened
from cardgen.issuing.fleet.run import read_whole
from cardgen.issuing.issue_request import Recall
from cardgen.issuing.jobs import jobs
from cardgen.issuing.part_of_deck import OtherCards, cards_of
from cardgen.issuing.reprint_deck import Gathered, NotCurrent, Wanted, gather
from cardgen.issuing.would_change import compared_lines, described
from cardgen.register.code import Code
from cardgen.register.currency import UnknownCode
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.kept import description
from cardgen.register.rows import DeckRow, ReadingRow
from cardgen.register.state import state_words
from cardgen.spec.load import load_bytes
from cardgen.spec.read_check import read_check

#: The key of a figure at the end of a line, which is for whoever reads files.
_KEY = re.compile(r"  \[\S+\]$")


@dataclass(frozen=True)
class IssueState:
    """What the page Issue tells. ``newest`` is nothing where no deck was issued; ``changes`` are lines."""

    rotor: RotorState
    readings: tuple[ReadingRow, ...]
    changes: tuple[str, ...]
    newest: DeckRow | None
    words: str
    sheets: tuple[str, ...]
    cards: dict[str, str]
    down: tuple[Recall, ...]

    @property
    def set_id(self) -> str:
        """The rotor's own name."""
        return self.rotor.set_id

    @property
    def jobs(self) -> list[str]:
        """Jobs of which the deck has cards."""
        return [name for name, ids in jobs().items() if set(ids) & set(self.cards)]


def issue_state(desk: Desk, rotor: Rotor) -> IssueState:
    """Ask file and register how a rotor stands for issuing."""
    book = desk.opened_register()
    if isinstance(book, RegisterTrouble):
        end_trouble(book)
    if book is None:
        return _state(desk, rotor, None)
    with book:
        return _state(desk, rotor, book)


def _state(desk: Desk, rotor: Rotor, book: Register | None) -> IssueState:
    today = desk.today()
    state = state_of(desk.hangar, rotor, book, today)
    text = read_whole(rotor.path)
    if isinstance(text, str) or not state.set_id:
        return IssueState(state, (), (), None, "", (), {}, ())
    loaded = load_bytes(text, rotor.name, today)
    readings = book.readings(read_check(text)) if book and loaded.spec else ()
    told = in_register(book, state.set_id, today) if book else None
    if isinstance(told, RegisterTrouble):
        end_trouble(told)
    if book is None or told is None:
        return IssueState(state, readings, (), None, "", (), {}, ())
    deck = told.newest.deck
    kept = description(book, deck)
    if isinstance(kept, RegisterTrouble):
        end_trouble(kept)
    try:
        changes = compared_lines(kept, described(loaded.spec, loaded.warnings)) if loaded.spec else ()
        changes = tuple(_KEY.sub("", line) for line in changes)
    except BuildFault as fault:
        changes = (f"The layouts are at fault, not the specification: {fault}",)
    sheets = tuple(each.name for each in book.files(deck.id) if each.name.endswith(".pdf"))
    return IssueState(state, readings, changes, deck, _words(told), sheets, cards_of(kept), told.down)


def _words(told: InRegister) -> str:
    deck = told.newest.deck
    return f"Revision {deck.revision}, code {deck.code}: {state_words(told.newest)}."


def wanted_of(cards: str) -> Wanted | None:
    """Read which cards are wanted: one card's id, or a job's name after ``job:``; all where it is empty."""
    if not cards:
        return None
    if cards.startswith("job:"):
        name = cards.removeprefix("job:")
        if name not in jobs():
            abort(404, "There is no such job.")
        return Wanted(name.replace(" ", "-"), (), jobs()[name])
    return Wanted(cards, (cards,))


def sheets_of(desk: Desk, code: Code, cards: str) -> Gathered:
    """Take a deck's files out of the register, or those of some cards; ends the request where that cannot be.

    A deck out of use is given stamped so on every page, as for the records.
    """
    with opened(desk, "read") as book:
        found = gather(book, code, desk.today(), for_records=True, wanted=wanted_of(cards))
    if isinstance(found, RegisterTrouble):
        end_trouble(found)
    if isinstance(found, UnknownCode):
        abort(404, "No deck in this register has this code.")
    if isinstance(found, OtherCards):
        abort(404, f"This deck has no such card. Its cards are {', '.join(found.known)}.")
    assert not isinstance(found, NotCurrent)
    return found
