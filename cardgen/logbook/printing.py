"""Paper from the log: set as the cards are, in their frame, and read back like them; but no card of a deck."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from cardgen.deck.card import Card, Deck, Stamp
from cardgen.figures import Figure
from cardgen.logbook.keeping import IssuedDeck
from cardgen.press.canvas import paint
from cardgen.press.edition import Edition, PaperKind, load_edition
from cardgen.press.layout import Overflow, lay_out
from cardgen.proof.read_back import Misread, check_places
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.identity import Authority, Blades, Rotor
from cardgen.spec.model.running import Copy, Print
from cardgen.spec.text import Text


def print_cards(
    cards: Sequence[Card], deck: IssuedDeck, figures: Mapping[str, Figure], title: str, place: str
) -> bytes | tuple[Overflow | Misread, ...]:
    """Print cards on plain sheets that name the deck they go with, or say what is wrong with them.

    Sheets with figures are read back from the paper. A chart has none, and its lettering may touch.
    """
    stamp = Stamp(deck.row.revision, deck.row.code, deck.row.issued)
    paper: PaperKind = "ansi" if deck.kept.typed("print", "paper") == "ansi" else "iso"
    edition = _edition(paper, title, cards)
    sheet = Deck(_in_frame(deck, place), figures, stamp, tuple(cards))
    sides = [each for each in lay_out(sheet, edition) if not isinstance(each, Overflow)]
    if not sides:
        return tuple(each for each in lay_out(sheet, edition) if isinstance(each, Overflow))
    pdf = paint(sides, sheet, edition)
    return (check_places(pdf, sides, sheet) if figures else ()) or pdf


def _edition(paper: PaperKind, title: str, cards: Sequence[Card]) -> Edition:
    whole = load_edition("handout", paper)
    order = tuple(card.id for card in cards)
    return replace(whole, title=title, duplex=False, order=dict.fromkeys(whole.order, order))


def _in_frame(deck: IssuedDeck, place: str) -> RotorSpec:
    """Take what a sheet's frame says of a rotor from the kept deck, without judging any of it again.

    ``place`` is where this sheet belongs, which is not where the deck's copies hang.
    """
    kept = deck.kept
    rotor: dict[str, Any] = {
        name: Text(kept.typed("rotor", name)) for name in ("mark_a", "mark_b", "hub_serial")
    }
    blades: dict[str, Any] = {name: Text(kept.typed("blades", name)) for name in ("serial_a", "serial_b")}
    copy = Copy.model_construct(edition="handout", place=Text(place))
    groups = {
        "rotor": Rotor.model_construct(
            set_id=deck.row.set_id, alignment=kept.typed("rotor", "alignment"), **rotor
        ),
        "blades": Blades.model_construct(**blades),
        "authority": Authority.model_construct(use_until=deck.row.use_until),
        "print": Print.model_construct(editions=("handout",), copies=(copy,)),
    }
    return RotorSpec.of(groups, kept.text, {"rotor": {"diameter": kept.typed("rotor", "diameter")}})
