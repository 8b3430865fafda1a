"""The title of a card where cards run on: a rule, the title, and at the right the card's phase and number."""

from __future__ import annotations

from collections.abc import Iterable

from cardgen.deck.card import Card
from cardgen.press.boxes import Box, CardColumn
from cardgen.press.frame import phase_tag
from cardgen.press.lines import draw_line, draw_lines, lines_height
from cardgen.press.marks import LineMark, Mark
from cardgen.press.type_runs import Style, TypeRun


def title_bar(column: CardColumn, card: Card, number: int, cards: int) -> Box:
    """Set a card's title over its boxes; it never parts from them."""
    small = Style("regular", column.sizes.small, role="frame")
    runs = [*phase_tag(card, small.size), TypeRun(f"card {number} of {cards}", small)]
    (where,) = column.set(runs, column.width, small.size)
    size = column.edition.type.title
    room = column.width - where.width - size / 2
    title = column.words(card.title, room, Style("bold", size, role="frame"))
    height = lines_height(title) + 5

    def draw(x: float, top: float) -> Iterable[Mark]:
        yield LineMark(x, top - 1.25, x + column.width, top - 1.25, 2.5)
        yield from draw_lines(title, x, top - 4)
        base = top - 4 - (title[0].height + 0.668 * size) / 2
        yield from draw_line(where, x + column.width - where.width, base)

    return Box(f'title "{card.title}"', height, draw, space=1.6 * column.sizes.body, keep="always")
