"""Where a deck stands: current, superseded, withdrawn, or past its date."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal, TypeAlias

from cardgen.register.database import Register
from cardgen.register.rows import DeckRow

DeckState: TypeAlias = Literal["current", "superseded", "withdrawn", "expired"]


@dataclass(frozen=True)
class Standing:
    """A deck with its state, since when and why; ``newest`` is its rotor's newest deck.

    ``ahead`` tells where that newest deck stands itself, ``following`` is the deck that superseded this
    one; both are nothing where it is the newest itself.
    """

    deck: DeckRow
    state: DeckState
    since: date
    why: str
    newest: DeckRow
    ahead: Standing | None = None
    following: DeckRow | None = None


def standing(register: Register, deck: DeckRow, today: date) -> Standing:
    """Tell where a deck stands on a day, by rows that nobody has confirmed: `cardgen.register.trust` does.

    Raises `sqlite3.Error` or `DamagedRowError`.

    A withdrawal outweighs everything, a newer revision outweighs the date.
    """
    newest = register.newest(deck.set_id) or deck
    ahead = standing(register, newest, today) if newest.revision > deck.revision else None
    following = register.revision(deck.set_id, deck.revision + 1) or newest if ahead else None
    if withdrawal := register.withdrawal(deck.id):
        return Standing(deck, "withdrawn", withdrawal.day, withdrawal.reason, newest, ahead, following)
    if following is not None:
        return Standing(deck, "superseded", following.issued, following.reason, newest, ahead, following)
    if today > deck.use_until:
        return Standing(deck, "expired", deck.use_until, "its use-until date has passed", newest)
    return Standing(deck, "current", deck.issued, deck.reason, newest)


def state_words(found: Standing) -> str:
    """Say where a deck stands, since when and why; the reason as it was typed."""
    return {
        "current": f"current: issued {found.since}, use until {found.deck.use_until}",
        "superseded": f"superseded on {found.since}, because: {found.why}",
        "withdrawn": f"withdrawn on {found.since}, because: {found.why}",
        "expired": f"out of date: it was to be used until {found.deck.use_until}",
    }[found.state]
