"""Lists of decks: every deck with its state, and the sheet for a hangar without a signal."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from cardgen.register.database import Register
from cardgen.register.rows import DeckRow
from cardgen.register.state import Standing, standing
from cardgen.register.trouble import RegisterTrouble, troubles_as_values


@troubles_as_values
def listing(register: Register, today: date, *, every: bool = False) -> tuple[Standing, ...] | RegisterTrouble:
    """List the newest deck of every rotor by set id, or every deck in the order of issue."""
    decks: tuple[DeckRow, ...] = tuple(register.decks() if every else register.newest_decks())
    return tuple(standing(register, deck, today) for deck in decks)


def sheet(standings: Sequence[Standing], today: date) -> str:
    """Write the sheet that hangs in a hangar: which code is current for each rotor, as of a day.

    A rotor without a current deck is listed with what happened to it, so that its absence cannot
    be taken for a gap in the sheet.
    """
    rows = [("rotor", "revision", "code", "use until", "state")]
    for each in standings:
        deck = each.deck
        code = deck.code if each.state == "current" else "none"
        until = deck.use_until.isoformat()
        rows.append((deck.set_id, str(deck.revision), code, until, _state_words(each)))
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    lines = [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows
    ]
    head = [
        f"Current bench cards on {today.isoformat()}",
        "",
        "Compare the code at the foot of your card with this sheet, character by character.",
        "A card whose code is not here is not to be used. Ask the keeper for the newest sheet.",
        "",
    ]
    return "\n".join([*head, *lines]) + "\n"


def _state_words(each: Standing) -> str:
    if each.state == "current":
        return "current"
    return f"{each.state} since {each.since.isoformat()}: {each.why}"
