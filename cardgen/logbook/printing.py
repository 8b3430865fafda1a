"""Paper from the log: a notice in the frame of the deck that it goes with."""

from __future__ import annotations

from collections.abc import Mapping

from cardgen.deck.card import Card, Deck, Stamp
from cardgen.figures import Figure
from cardgen.logbook.keeping import IssuedDeck
from cardgen.press.notice import Notice
from cardgen.proof.prove import Against, print_notice


def print_beside(deck: IssuedDeck, card: Card, figures: Mapping[str, Figure], foot: str) -> bytes | Against:
    """Print a sheet that goes with an issued deck, or say what stands against it."""
    stamp = Stamp(deck.row.revision, deck.row.code, deck.row.issued)
    paper = deck.spec.print.paper if deck.spec.print else "iso"
    return print_notice(Notice(card, foot, paper, Deck(deck.spec, figures, stamp, (card,))))
