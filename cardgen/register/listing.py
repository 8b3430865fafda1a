"""Lists of decks: every deck with its state, and the sheet for a hangar without a signal."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, troubles_as_values
from cardgen.register.head import Head, told_from
from cardgen.register.kept import description
from cardgen.register.rows import DeckRow, PlaceRow
from cardgen.register.state import Standing
from cardgen.register.trust import Trusted, trusted


@troubles_as_values
def listing(register: Register, today: date, *, every: bool = False) -> tuple[Standing, ...] | RegisterTrouble:
    """List the newest deck of every rotor by set id, or every deck in the order of issue."""
    with trusted(register, today) as book:
        decks: tuple[DeckRow, ...] = tuple(register.decks() if every else register.newest_decks())
        return tuple(map(book.standing, decks))


@dataclass(frozen=True)
class SheetRow:
    """A rotor on the sheet: where its newest deck stands, its diameter, and where the copies hang.

    ``diameter`` is empty where the deck's own description cannot be read.
    """

    standing: Standing
    diameter: str
    places: tuple[PlaceRow, ...]

    @property
    def code(self) -> str:
        """The code to look for on a card, or that there is none."""
        return self.standing.deck.code if self.standing.state == "current" else "none"

    def notes(self) -> tuple[str, ...]:
        """Say where the copies hang, or why no card of this rotor is to be used."""
        each = self.standing
        if each.state == "expired":
            return (f"Do not use: {each.why}",)
        if each.state != "current":
            return (f"Do not use: {each.state} on {each.since.isoformat()}: {each.why}",)
        return tuple(f"{copy.edition} copy {copy.number}: {copy.place}" for copy in self.places)


#: What stands over the sheet, wherever it is printed.
SHEET_WORDS = (
    "Compare the code at the foot of your card with this sheet, character by character.",
    "A card whose code is not here is not to be used. Ask the keeper for the newest sheet.",
)


@dataclass(frozen=True)
class Sheet:
    """What hangs in a hangar: every rotor's newest deck, and where the register's chain ended on that day."""

    rows: tuple[SheetRow, ...]
    today: date
    head: Head


@troubles_as_values
def sheet_of(register: Register, today: date) -> Sheet | RegisterTrouble:
    """Collect the newest deck of every rotor, by set id.

    A rotor without a current deck is listed too, so that its absence cannot be taken for a gap.
    """
    with trusted(register, today) as book:
        rows = tuple(_sheet_row(book, deck) for deck in register.newest_decks())
        return Sheet(rows, today, register.head())


def _sheet_row(book: Trusted, deck: DeckRow) -> SheetRow:
    return SheetRow(book.standing(deck), _diameter(book.register, deck), book.register.places(deck.id))


def _diameter(register: Register, deck: DeckRow) -> str:
    kept = description(register, deck)
    if isinstance(kept, RegisterTrouble):
        return ""
    figures = {each.get("id"): each for each in kept.get("figures") or ()}
    one = figures.get("rotor.diameter") or {}
    return f"{one.get('number', '')} {one.get('unit', '')}".strip()


def to_text(sheet: Sheet) -> str:
    """Write the sheet that hangs in a hangar: which code is current for each rotor, as of a day."""
    rows = sheet.rows
    table = [("rotor", "diameter", "revision", "code", "issued", "use until")]
    for row in rows:
        deck = row.standing.deck
        days = deck.issued.isoformat(), deck.use_until.isoformat()
        table.append((deck.set_id, row.diameter or "not known", str(deck.revision), row.code, *days))
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    cells = ["  ".join(map(str.ljust, line, widths)).rstrip() for line in table]
    title = f"Current bench cards on {sheet.today.isoformat()}"
    lines = [title, "", *SHEET_WORDS, told_from(sheet.head), "", cells[0], "-" * len(cells[0])]
    for row, line in zip(rows, cells[1:], strict=True):
        lines += [line, *(f"    {note}" for note in row.notes())]
    if not rows:
        lines.append("No deck has been issued.")
    return "\n".join(lines) + "\n"
