"""Paper from the log: set as the cards are, in their frame, and read back like them; but no card of a deck."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from cardgen.deck.card import Card, Deck, Stamp
from cardgen.figures import Figure
from cardgen.logbook.keeping import IssuedDeck
from cardgen.press.canvas import paint
from cardgen.press.edition import Edition, load_edition
from cardgen.press.layout import Overflow, lay_out
from cardgen.proof.read_back import Misread, check_places
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.running import Copy, Print
from cardgen.spec.text import Text


def print_cards(
    cards: Sequence[Card], deck: IssuedDeck, figures: Mapping[str, Figure], title: str, place: str
) -> bytes | tuple[Overflow | Misread, ...]:
    """Print cards on plain sheets that name the deck they go with, or say what is wrong with them.

    Sheets with figures are read back from the paper. A chart has none, and its lettering may touch.
    """
    stamp = Stamp(deck.row.revision, deck.row.code, deck.row.issued)
    edition = _edition(deck.spec, title, cards)
    sheet = Deck(_kept_at(deck.spec, place), figures, stamp, tuple(cards))
    sides = [each for each in lay_out(sheet, edition) if not isinstance(each, Overflow)]
    if not sides:
        return tuple(each for each in lay_out(sheet, edition) if isinstance(each, Overflow))
    pdf = paint(sides, sheet, edition)
    return (check_places(pdf, sides, sheet) if figures else ()) or pdf


def _edition(spec: RotorSpec, title: str, cards: Sequence[Card]) -> Edition:
    whole = load_edition("handout", spec.print.paper if spec.print else "iso")
    order = tuple(card.id for card in cards)
    return replace(whole, title=title, duplex=False, order=dict.fromkeys(whole.order, order))


def _kept_at(spec: RotorSpec, place: str) -> RotorSpec:
    """Say in the frame where this sheet belongs, which is not where the deck's copies hang."""
    copy = Copy.model_construct(edition="handout", place=Text(place))
    paper = spec.print.paper if spec.print else "iso"
    prints = Print.model_construct(paper=paper, editions=("handout",), copies=(copy,))
    return spec.model_copy(update={"print": prints})
