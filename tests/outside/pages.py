"""The samples' sheets as another program draws them: pdfium, at a resolution of one's own choice."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import pypdfium2

from cardgen.deck.card import Card, Deck
from cardgen.deck.walk import walk
from cardgen.press.canvas import paint
from cardgen.press.edition import Edition, EditionName, PaperKind, load_edition
from cardgen.press.layout import lay_out
from cardgen.press.marks import QrMark, Side
from tests.outside.damage import Page
from tests.press.samples import SAMPLES, sample

#: Each edition of one sample, and each sample once: for what stands on paper in one way, whatever the rotor.
EACH_ONCE: list[tuple[Path, EditionName]] = [
    (SAMPLES[0], "wall"),
    (SAMPLES[1], "pouch"),
    (SAMPLES[0], "handout"),
]


@dataclass(frozen=True)
class Sheets:
    """One edition of one sample: its deck, the record of its sides, and the finished file."""

    deck: Deck
    edition: Edition
    sides: tuple[Side, ...]
    pdf: bytes

    def card(self, side: Side) -> Card:
        """The card that a side belongs to."""
        return next(card for card in self.deck.cards if card.id == side.card_id)


@cache
def sheets(path: Path, name: EditionName) -> Sheets:
    """Print one edition of a sample on the paper it asks for, as if it had been issued."""
    deck = sample(path)
    paper: PaperKind = deck.spec.print.paper if deck.spec.print else "iso"
    edition = load_edition(name, paper)
    sides = tuple(side for side in lay_out(deck, edition) if isinstance(side, Side))
    assert sides
    return Sheets(deck, edition, sides, paint(sides, deck, edition))


def drawn(pdf: bytes, page: int, dpi: float, smooth: bool = True) -> Page:
    """Draw a page, counted from 0, in grey: 0.0 is ink, 1.0 is paper."""
    return _drawn(pdf, page, dpi, smooth, grey=True)[:, :, 0] / 255


def colours(pdf: bytes, page: int, dpi: float, smooth: bool = True) -> Page:
    """Draw a page in red, green and blue, 0 to 255 each; ``smooth`` edges are mixed, others are not."""
    return _drawn(pdf, page, dpi, smooth, grey=False)[:, :, :3]


def _drawn(pdf: bytes, page: int, dpi: float, smooth: bool, *, grey: bool) -> Page:
    document = pypdfium2.PdfDocument(pdf)
    bitmap = document[page].render(
        scale=dpi / 72,
        grayscale=grey,
        rev_byteorder=not grey,
        no_smoothtext=not smooth,
        no_smoothimage=not smooth,
        no_smoothpath=not smooth,
    )
    seen = np.array(bitmap.to_numpy(), dtype=np.float64)
    document.close()
    return seen if seen.ndim == 3 else seen[:, :, None]


def symbols(side: Side) -> list[QrMark]:
    """The symbols that stand on a side."""
    return [mark for mark in side.marks if isinstance(mark, QrMark)]


def payload(card: Card) -> str:
    """What the code on a card must say."""
    (says,) = payloads([card])
    return says


def payloads(cards: Iterable[Card]) -> list[str]:
    """What the codes on cards must say, in order."""
    return [place.code.payload for card in cards for place in walk(card.sections) if place.code]


def cut_out(page: Page, side: Side, symbol: QrMark, dpi: float) -> Page:
    """Cut a symbol with its quiet zone out of a drawn page."""
    scale, wide = dpi / 72, len(symbol.matrix) * symbol.module
    left, top = symbol.x * scale, (side.height - symbol.y - wide) * scale
    return page[round(top) : round(top + wide * scale), round(left) : round(left + wide * scale)]
