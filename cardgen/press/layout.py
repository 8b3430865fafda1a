"""From a deck and an edition to sides with everything in its place, or to what does not fit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Protocol

from cardgen.deck.card import (
    Block,
    Card,
    Deck,
    Drawing,
    Items,
    Paragraph,
    Qr,
    Section,
    Steps,
    Stop,
    Table,
    WriteIns,
)
from cardgen.deck.changed import without_was
from cardgen.deck.shown import shown_on
from cardgen.deck.walk import walk
from cardgen.press.boxes import (
    Box,
    CardColumn,
    heading_box,
    item_box,
    paragraph_box,
    step_box,
    stop_box,
    write_in_boxes,
)
from cardgen.press.change_bars import change_bars
from cardgen.press.edition import Edition
from cardgen.press.flow import Put, flow
from cardgen.press.frame import Frame, Numbers, frame_of, shift_on
from cardgen.press.lines import DoesNotFitError, draw_lines, lines_height
from cardgen.press.marks import Mark, QrMark, Rect, Side
from cardgen.press.paint_diagram import board_box
from cardgen.press.tables import table_boxes


@dataclass(frozen=True)
class Overflow:
    """Something that does not fit on its card: which card, where on it, by how many points."""

    card: str
    where: str
    by: float
    edition: str

    def __str__(self) -> str:
        """Say it in one line, with what to do."""
        return (
            f"{self.edition}, card {self.card}, {self.where}: {ceil(self.by)} pt too large for its place; "
            "use fewer words there"
        )


class SideFrame(Protocol):
    """What stands round the boxes of one card, and where on the front of a sheet they have room."""

    @property
    def edition(self) -> Edition:
        """Paper and type."""

    @property
    def card(self) -> Card:
        """What stands inside."""

    @property
    def edge(self) -> Rect:
        """The outer edge, on the front of a sheet."""

    @property
    def body(self) -> Rect:
        """Where the card's own boxes stand."""

    def marks(self, numbers: Numbers, shift: float = 0.0) -> Iterable[Mark]:
        """Draw what is round the boxes, moved to the right by ``shift``."""


def lay_out(deck: Deck, edition: Edition) -> tuple[Side, ...] | tuple[Overflow, ...]:
    """Lay out the edition's cards in its order.

    Nothing is shrunk or clipped: where anything does not fit, all such places are returned instead.
    """
    cards = chosen(deck, edition)
    laid: list[tuple[Frame, list[list[Put]]]] = []
    overflows: list[Overflow] = []
    for card in cards:
        try:
            laid.append(_laid(deck, edition, card))
        except (_PlacedError, DoesNotFitError) as error:
            overflows += _overflows(error, edition, card)
    if overflows:
        return tuple(overflows)
    changed = frozenset(change.figure for change in deck.changes)
    order, sides = _order(deck, edition), list[Side]()
    for frame, puts in laid:
        numbers = Numbers(order.index(frame.card.id) + 1, len(order), 1, len(puts))
        sides += _sides(frame, puts, numbers, len(sides), changed)
    return tuple(sides)


def lay_out_alone(frame: SideFrame) -> tuple[Side, ...] | tuple[Overflow, ...]:
    """Lay out one card by itself in a frame, or say what does not fit."""
    try:
        puts = _filled(frame)
    except (_PlacedError, DoesNotFitError) as error:
        return tuple(_overflows(error, frame.edition, frame.card))
    return tuple(_sides(frame, puts, Numbers(1, 1, 1, len(puts))))


def _overflows(error: _PlacedError | DoesNotFitError, edition: Edition, card: Card) -> Iterable[Overflow]:
    places = error.places if isinstance(error, _PlacedError) else [(error.what, error.by)]
    return [Overflow(card.id, what, by, edition.name) for what, by in places]


def _laid(deck: Deck, edition: Edition, card: Card) -> tuple[Frame, list[list[Put]]]:
    try:
        return _flowed(deck, edition, card)
    except (_PlacedError, DoesNotFitError):
        # A deck that fits as a draft fits when it is issued: old values give way, the bars stay.
        bare = without_was(card)
        if bare == card:
            raise
        return _flowed(deck, edition, bare)


def _flowed(deck: Deck, edition: Edition, card: Card) -> tuple[Frame, list[list[Put]]]:
    cards = len(_order(deck, edition))
    few, many = (frame_of(deck, edition, card, Numbers(cards, cards, most, most)) for most in (9, 99))
    sides = _filled(few)
    if len(sides) <= 9:
        return few, sides
    return many, (sides if many.body == few.body else _filled(many))


def _filled(frame: SideFrame) -> list[list[Put]]:
    column, height = CardColumn(frame.edition, _most_ticks(frame.card)), frame.body.y2 - frame.body.y1
    return flow(_boxes(frame.card, column, height), height)


def _order(deck: Deck, edition: Edition) -> Sequence[str]:
    """Name all cards that the edition has of the whole deck, in its order."""
    return [name for name in edition.order[deck.spec.rotor.alignment] if name in deck.order]


def chosen(deck: Deck, edition: Edition) -> tuple[Card, ...]:
    """Choose the deck's cards that this edition has, in its order for this kind of hub."""
    cards = {card.id: card for card in deck.cards}
    order = edition.order[deck.spec.rotor.alignment]
    return tuple(cards[name] for name in order if name in cards)


class _PlacedError(Exception):
    """Everything on one card that does not fit."""

    def __init__(self, places: list[tuple[str, float]]) -> None:
        super().__init__(str(places))
        self.places = places


def _sides(
    frame: SideFrame,
    sides: Sequence[Sequence[Put]],
    first: Numbers,
    page: int = 0,
    changed: frozenset[str] = frozenset(),
) -> Iterable[Side]:
    """Draw the sides of one card; ``page`` is the first one's place in the file, counted from 0."""
    edition, body, card = frame.edition, frame.body, frame.card
    for side, puts in enumerate(sides, start=1):
        shift, numbers = shift_on(edition, page + side - 1), replace(first, side=side)
        marks = list(frame.marks(numbers, shift))
        for put in puts:
            marks += put.box.draw(body.x1 + shift, body.y2 - put.down)
        edge = frame.edge.moved(shift, 0.0)
        if bars := change_bars(marks, changed, edge.x1, edition.sizes.body):
            marks += bars
            edge = edge._replace(x1=min(bar.x1 - bar.weight / 2 for bar in bars))
        yield Side(
            card.id,
            card.title,
            *(numbers.card, numbers.cards, numbers.side, numbers.sides),
            *(edition.paper.width, edition.paper.height),
            edge,
            tuple(marks),
        )


def _most_ticks(card: Card) -> int:
    return max((place.step.ticks for place in walk(card.sections) if place.step), default=0)


def _boxes(card: Card, column: CardColumn, height: float) -> list[list[Box]]:
    sections: list[list[Box]] = []
    places: list[tuple[str, float]] = []
    for section in shown_on(card, column.edition.name):
        boxes = [heading_box(column, section.title)] if section.title else []
        before: Block | None = None
        for part in _parts(section):
            try:
                _join(boxes, before, part, _block_boxes(part, column, height))
            except DoesNotFitError as error:
                places.append((f"{_where(part)}{error.what}", error.by))
            before = part
        places += [(box.name, box.height - height) for box in boxes if box.height > height]
        if section.over:
            boxes[0] = replace(boxes[0], over=True)
        if not section.title and sections and isinstance(before, Qr):
            _join(sections[-1], None, before, boxes)
        else:
            sections.append(boxes)
    if places:
        raise _PlacedError(places)
    return sections


def _join(boxes: list[Box], before: Block | None, block: Block, more: Iterable[Box]) -> None:
    """Add a block's boxes, in sight of what they belong to.

    A reason to stop belongs to what it judges and a hold to what is held; a code to scan never
    stands alone on a side.
    """
    belongs = isinstance(block, Stop | Qr) or isinstance(before, Stop)
    if boxes and belongs and boxes[-1].keep == "no":
        boxes[-1] = replace(boxes[-1], keep="in sight")
    boxes += more


def _parts(section: Section) -> Iterable[Block]:
    """Give a section's blocks, each step for itself, so that trouble is named step by step."""
    for block in section.blocks:
        if isinstance(block, Steps):
            yield from (Steps((step,)) for step in block.steps)
        else:
            yield block


def _where(block: Block) -> str:
    return f"step {block.steps[0].number}, " if isinstance(block, Steps) else ""


def _block_boxes(block: Block, column: CardColumn, height: float) -> Iterable[Box]:
    match block:
        case Steps():
            return [step_box(column, step) for step in block.steps]
        case Paragraph():
            # Words before a table, a drawing or a step introduce it.
            return [replace(paragraph_box(column, block), keep="if it can")]
        case Items():
            return [item_box(column, says) for says in block.items]
        case Table():
            return table_boxes(column, block)
        case Drawing():
            return [board_box(column, block.diagram, height)]
        case WriteIns():
            return write_in_boxes(column, block.boxes)
        case Stop():
            return [stop_box(column, block)]
        case Qr():
            return [_qr_box(column, block)]


def _qr_box(column: CardColumn, block: Qr) -> Box:
    from cardgen.press.qr import matrix, on_a_dot

    rows = matrix(block.payload)
    size = column.edition.sizes.body
    module = column.edition.module
    wide = len(rows) * module
    lines = column.lines(block.says, column.width - wide - size, size)
    height = max(wide, lines_height(lines))
    sheet = column.edition.paper.height

    def draw(x: float, top: float) -> Iterable[Mark]:
        low = top - (height + wide) / 2
        yield QrMark(on_a_dot(x), sheet - on_a_dot(sheet - low), module, rows)
        yield from draw_lines(lines, x + wide + size, top - (height - lines_height(lines)) / 2)

    return Box("code to scan", height, draw, space=size * 0.7)
