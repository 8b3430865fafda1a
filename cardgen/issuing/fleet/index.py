"""The sheet that goes with a fleet: which card is current for each rotor, and which copies come down.

It is told from the register, not from what one run did: after an interruption the next run lists
the whole.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from cardgen.issuing.fleet.run import FleetRotor
from cardgen.issuing.issue_deck import recall_list
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, troubles_as_values
from cardgen.register.head import told_from
from cardgen.register.state import Standing
from cardgen.register.trust import Trusted, trusted

HEADS = ("rotor", "diameter", "revision", "code", "use until", "state")
_COMPARE = (
    "Compare the code at the foot of a card with this sheet, character by character.",
    "A card whose code is not here is not to be used.",
)
_DRAFTS = ("These are drafts, for reading against the maker's documents. None of them may go to a bench.",)


@dataclass(frozen=True)
class Index:
    """Everything on the sheet, as words: the table's rows, then lists under headings."""

    title: str
    says: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    recall: tuple[str, ...]
    without: tuple[str, ...]
    odd: tuple[str, ...]

    def lists(self) -> Iterator[tuple[str, tuple[str, ...], bool]]:
        """Give each list that has something on it: heading, lines, and whether a line is ticked off."""
        if self.recall:
            yield "Take down and destroy", self.recall, True
        if self.without:
            yield "No new deck in this run", self.without, False
        if self.odd:
            yield "Unlike the other rotors: look again", self.odd, False


def index_of_drafts(rotors: Sequence[FleetRotor], odd: Sequence[str], today: date) -> Index:
    """List the drafts of a fleet."""
    rows = []
    for rotor in sorted(rotors, key=lambda each: each.name):
        if rotor.facts and rotor.outcome and rotor.outcome.state in {"drafted", "unchanged"}:
            until = rotor.facts.use_until.isoformat()
            rows.append((rotor.name, rotor.facts.diameter, "none", "none", until, "NOT ISSUED"))
    title = f"Drafts of bench cards on {today.isoformat()}"
    return Index(title, _DRAFTS, tuple(rows), (), _without(rotors), tuple(odd))


@troubles_as_values
def index_of_issued(
    book: Register, rotors: Sequence[FleetRotor], odd: Sequence[str], reason: str, today: date
) -> Index | RegisterTrouble:
    """List what the register says of each rotor of a fleet.

    The copies to take down are those of every deck that was replaced for this reason, in this run
    or in one before it, and of every deck that is withdrawn.
    """
    with trusted(book, today) as trust:
        rows, recall = _issued_rows(trust, rotors, reason)
        says = (*_COMPARE, told_from(book.head()))
    title = f"Current bench cards on {today.isoformat()}"
    return Index(title, says, tuple(rows), tuple(recall), _without(rotors), tuple(odd))


def _issued_rows(
    trust: Trusted, rotors: Sequence[FleetRotor], reason: str
) -> tuple[list[tuple[str, ...]], list[str]]:
    book, recall = trust.register, list[str]()
    rows: list[tuple[str, ...]] = []
    # Two files can name one rotor; both are refused, and it is listed once.
    named = {rotor.name: rotor for rotor in rotors if rotor.identity and rotor.identity.set_id}
    for name, rotor in sorted(named.items()):
        deck = book.newest(name)
        diameter = rotor.facts.diameter if rotor.facts else "not read"
        if deck is None:
            rows.append((name, diameter, "none", "none", "none", "never issued"))
            continue
        where = trust.standing(deck)
        code = str(deck.code) if where.state == "current" else "none"
        rows.append((name, diameter, str(deck.revision), code, deck.use_until.isoformat(), _state(where)))
        replaced = deck.reason == reason and deck.revision > 1
        down = [*recall_list(book, book.revision(name, deck.revision - 1))] if replaced else []
        down += recall_list(book, deck) if where.state == "withdrawn" else ()
        for each in down:
            recall.append(f"{name} revision {each.deck.revision}, code {each.deck.code}: {each.words()}")
    return rows, recall


def _state(where: Standing) -> str:
    if where.state == "current":
        return "current"
    return f"{where.state} since {where.since.isoformat()}: {where.why}"


def _without(rotors: Sequence[FleetRotor]) -> tuple[str, ...]:
    return tuple(_why_not(rotor) for rotor in rotors if rotor.outcome and _is_against(rotor.outcome.state))


def _is_against(state: str) -> bool:
    return state in {"refused", "failed", "not read"}


def _why_not(rotor: FleetRotor) -> str:
    assert rotor.outcome is not None
    name = "" if rotor.name == rotor.file else f"{rotor.name}, "
    problems = rotor.outcome.problems
    if not problems:
        return f"{name}{rotor.short}: {rotor.outcome.trouble}"
    first = problems[0]
    place = f" line {first.line}" if first.line else ""
    more = f", and {len(problems) - 1} more" if len(problems) > 1 else ""
    return f"{name}{rotor.short}{place}: {first.why}{more}"


def to_text(index: Index) -> str:
    """Write the sheet as plain text: one line a rotor, columns aligned."""
    rows = [HEADS, *index.rows]
    widths = [max(len(row[column]) for row in rows) for column in range(len(HEADS))]
    lines = [index.title, "", *index.says, ""]
    lines += ["  ".join(c.ljust(w) for c, w in zip(row, widths, strict=True)).rstrip() for row in rows]
    for heading, items, ticked in index.lists():
        lines += ["", heading, "", *(f"{'[ ] ' if ticked else ''}{item}" for item in items)]
    return "\n".join(lines) + "\n"
