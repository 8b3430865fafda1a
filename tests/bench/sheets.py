"""What becomes of both samples on paper: sides, words, boxes, signal words, frame, fill and smallest type.

``python -m tests.bench.sheets`` prints a table for each sample; ``--fill`` adds how full every side is.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from statistics import mean

from cardgen.deck.card import Card, Deck
from cardgen.deck.walk import walk
from cardgen.press.edition import NAMES, Edition, load_edition
from cardgen.press.frame import Frame, Numbers, edge_of
from cardgen.press.layout import lay_out
from cardgen.press.marks import Rect, Side, TextMark
from cardgen.press.plain import to_text
from cardgen.proof.geometry import box_of
from tests.press.samples import SAMPLES, sample

GOALS = (
    "goals: wall 4 sides, pouch 34, handout 20; 7000 words, 90 boxes, none on the wall; 60 signal words, "
    "4 cautions a pouch side; 18 % of its height frame and margin"
)

#: The words that ask for attention, in capitals.
_SIGNALS = ("WARNING", "CAUTION", "NOTE", "STOP", "HOLD")


@dataclass(frozen=True)
class Filled:
    """One side: its card and number, how much of its height is frame and margin, how full the rest is."""

    name: str
    frame: float
    fill: float
    cautions: int


def filled(deck: Deck, edition: Edition, sides: Sequence[Side]) -> Iterator[Filled]:
    """Measure every side of an edition from what stands on it."""
    cards = {card.id: card for card in deck.cards}
    for side in sides:
        card = None if edition.fit.run_on else cards[side.card_id]
        frame = Frame(deck, edition, card, edge_of(edition), Numbers(99, 99, 99, 99))
        body = frame.body(side.side_number)
        inside = [box for box in map(box_of, side.marks) if _is_in(box, body)]
        low = min((box.y1 for box in inside), default=body.y2)
        yield Filled(
            f"{side.card_id} {side.side_number}",
            1 - (body.y2 - body.y1) / side.height,
            (body.y2 - low) / (body.y2 - body.y1),
            sum(isinstance(mark, TextMark) and mark.text in ("WARNING", "CAUTION") for mark in side.marks),
        )


def _is_in(box: Rect, body: Rect) -> bool:
    return box.y1 >= body.y1 - 1 and box.y2 <= body.y2 + 1


def ticks(cards: Iterable[Card]) -> int:
    """Count the boxes that somebody ticks: of steps, and of their checks."""
    steps = [place.step for place in walk(section for card in cards for section in card.sections) if place.step]
    each = {id(step): step for step in steps}.values()
    return sum(sum(check.ticks for check in step.checks) if step.checks else step.ticks for step in each)


def smallest(sides: Iterable[Side]) -> float:
    """Find the smallest type on these sides."""
    return min(mark.size for side in sides for mark in side.marks if isinstance(mark, TextMark))


def signal_words(sides: Iterable[Side]) -> int:
    """Count the words in capitals that ask for attention."""
    texts = (mark.text for side in sides for mark in side.marks if isinstance(mark, TextMark))
    return sum(text.split(" ")[0] in _SIGNALS for text in texts)


def laid_out(deck: Deck, edition: Edition) -> tuple[Side, ...]:
    """Lay an edition out. Raises `ValueError` with what does not fit."""
    laid = lay_out(deck, edition)
    if overflows := [str(item) for item in laid if not isinstance(item, Side)]:
        raise ValueError("; ".join(overflows))
    return tuple(side for side in laid if isinstance(side, Side))


def report(deck: Deck, fills: bool) -> Iterator[str]:
    """Say it in lines."""
    cards, _, copied = to_text(deck).partition("COPIED VALUES OF")
    said = f"{len(cards.split())} words as text and {len(copied.split())} on the second reader's sheet"
    yield f"{deck.spec.rotor.set_id}: {said}, {ticks(deck.cards)} boxes to tick"
    yield GOALS
    yield (
        f"{'edition':9} {'sides':>5} {'of each card':60} {'words':>6} {'signals':>7} {'frame':>6} "
        f"{'least fill':>10} {'mean':>5} {'smallest':>8}"
    )
    for name in NAMES:
        yield from _edition(
            deck, load_edition(name, deck.spec.print.paper if deck.spec.print else "iso"), fills
        )


def _edition(deck: Deck, edition: Edition, fills: bool) -> Iterator[str]:
    sides = laid_out(deck, edition)
    if not sides:
        return
    texts = [mark.text for side in sides for mark in side.marks if isinstance(mark, TextMark)]
    every = list(filled(deck, edition, sides))
    counts = {card: sum(side.card_id == card for side in sides) for card in deck.order}
    cards = " ".join(f"{card} {count}" for card, count in counts.items() if count > 1 or edition.fit.run_on)
    words = sum(len(text.split()) for text in texts)
    yield (
        f"{edition.name:9} {len(sides):5} {cards[:60]:60} {words:6} {signal_words(sides):7} "
        f"{mean(each.frame for each in every):6.1%} {min(each.fill for each in every):10.0%} "
        f"{mean(each.fill for each in every):5.0%} {smallest(sides):8.1f}"
    )
    if fills:
        yield "  " + ", ".join(f"{each.name} {each.fill:.0%} ({each.cautions})" for each in every)


def main() -> None:
    """Print the table of both samples."""
    for path in SAMPLES:
        sys.stdout.write("\n".join(report(sample(path), "--fill" in sys.argv)) + "\n\n")


if __name__ == "__main__":
    main()
