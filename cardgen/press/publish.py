"""Everything a deck is printed and shown as, in memory, with the record of what stands where."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256

from cardgen.deck.card import Deck
from cardgen.press.canvas import paint
from cardgen.press.edition import Edition
from cardgen.press.halves import lay_out_halves
from cardgen.press.layout import Overflow, chosen, lay_out
from cardgen.press.marks import Side
from cardgen.press.sheets import two_up, with_backs


@dataclass(frozen=True)
class Printed:
    """Finished files by name, and for each PDF its sides."""

    files: Mapping[str, bytes]
    layouts: Mapping[str, tuple[Side, ...]]


def print_edition(deck: Deck, edition: Edition) -> Printed | tuple[Overflow, ...]:
    """Lay out and paint one edition, and its sheets of two sides; no file where it has no card."""
    if not chosen(deck, edition):
        return Printed({}, {})
    laid = lay_out(deck, edition)
    sides = tuple(side for side in laid if isinstance(side, Side))
    if len(sides) < len(laid):
        return tuple(item for item in laid if isinstance(item, Overflow))
    backed = with_backs(sides, edition) if edition.duplex and not edition.fit.run_on else sides
    layouts = {f"{edition.name}.pdf": backed}
    if edition.two_up:
        layouts[f"{edition.name}-2up.pdf"] = two_up(sides, edition)
    if edition.halves:
        halves = lay_out_halves(deck, edition)
        if overflows := tuple(item for item in halves if isinstance(item, Overflow)):
            return overflows
        layouts[f"{edition.name}-halves.pdf"] = tuple(side for side in halves if isinstance(side, Side))
    return Printed({name: paint(sides, deck, edition) for name, sides in layouts.items()}, layouts)


def screens(deck: Deck) -> dict[str, bytes]:
    """Make what is read on a screen: the twin of the cards, their plain text, the form."""
    # Imported here, because a table or a check never needs them.
    from cardgen.press.form import to_form
    from cardgen.press.html import to_html
    from cardgen.press.plain import to_text

    made = {"cards.html": to_html(deck), "cards.txt": to_text(deck), "log-entry.html": to_form(deck)}
    return {name: text.encode() for name, text in made.items()}


def with_data(files: Mapping[str, bytes], deck: Deck) -> dict[str, bytes]:
    """Add the deck's description for programs, which holds the hash of every other file."""
    from cardgen.press.deck_json import to_json

    hashes = {name: sha256(content).hexdigest() for name, content in sorted(files.items())}
    return {**files, "deck.json": to_json(deck, hashes).encode()}
