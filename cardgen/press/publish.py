"""Everything a deck is printed and shown as, in memory, with the record of what stands where."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256

from cardgen.deck.card import Deck
from cardgen.press.canvas import paint
from cardgen.press.edition import Edition
from cardgen.press.layout import Overflow, chosen, lay_out
from cardgen.press.marks import Side
from cardgen.press.sheets import two_up


@dataclass(frozen=True)
class Printed:
    """Finished files by name, and for each PDF its sides."""

    files: Mapping[str, bytes]
    layouts: Mapping[str, tuple[Side, ...]]


def publish(deck: Deck, editions: Sequence[Edition]) -> Printed | tuple[Overflow, ...]:
    """Lay out and paint every edition that has a card of this deck, and make the files for screens.

    Nothing is made where anything does not fit: every such place in every edition is returned.
    """
    printed = [print_edition(deck, edition) for edition in editions]
    overflows = tuple(overflow for each in printed if isinstance(each, tuple) for overflow in each)
    if overflows:
        return overflows
    papers = [each for each in printed if isinstance(each, Printed)]
    files = {name: content for paper in papers for name, content in paper.files.items()}
    layouts = {name: sides for paper in papers for name, sides in paper.layouts.items()}
    return Printed(with_data(files | screens(deck), deck), layouts)


def print_edition(deck: Deck, edition: Edition) -> Printed | tuple[Overflow, ...]:
    """Lay out and paint one edition, and its sheets of two sides; no file where it has no card."""
    if not chosen(deck, edition):
        return Printed({}, {})
    laid = lay_out(deck, edition)
    sides = tuple(side for side in laid if isinstance(side, Side))
    if len(sides) < len(laid):
        return tuple(item for item in laid if isinstance(item, Overflow))
    layouts = {f"{edition.name}.pdf": sides}
    if edition.two_up:
        layouts[f"{edition.name}-2up.pdf"] = two_up(sides, edition)
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
