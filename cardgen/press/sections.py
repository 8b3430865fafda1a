"""From the sections of a card to boxes in one column, for one rung of type."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby

from cardgen.deck.card import (
    Block,
    Card,
    Drawing,
    Items,
    Paragraph,
    Qr,
    Section,
    Step,
    Steps,
    Stop,
    Table,
    WriteIn,
    WriteIns,
)
from cardgen.deck.shown import shown_on
from cardgen.deck.walk import walk
from cardgen.press.boxes import Bar, Box, CardColumn, heading_box, item_box, paragraph_box, stack
from cardgen.press.edition import Edition, Sizes
from cardgen.press.lines import DoesNotFitError, draw_lines, lines_height
from cardgen.press.marks import Mark, QrMark
from cardgen.press.paint_diagram import board_box
from cardgen.press.steps import bar_of, caution_box, step_box, write_in_boxes
from cardgen.press.stops import stop_box, stop_boxes
from cardgen.press.tables import table_boxes


class PlacedError(Exception):
    """Everything on one card that does not fit: where it is, and by how many points."""

    def __init__(self, places: list[tuple[str, float]]) -> None:
        super().__init__(str(places))
        self.places = places


def sections_of(card: Card, edition: Edition) -> list[Section]:
    """Give the sections an edition shows of a card, those that it lifts first."""
    found = [_writable(section, edition) for section in shown_on(card, edition.name)]
    return sorted(
        (section for section in found if section.blocks),
        key=lambda section: section.role not in edition.fit.lift,
    )


def _writable(section: Section, edition: Edition) -> Section:
    """Leave away what is only there to be written on, where there is nothing to write on."""
    if edition.hand != "none":
        return section
    return replace(section, blocks=tuple(block for block in section.blocks if not _is_blank(block)))


def _is_blank(block: Block) -> bool:
    if isinstance(block, Table):
        return any(isinstance(run, WriteIn) for row in block.rows for cell in row.cells for run in cell)
    return isinstance(block, WriteIns)


@dataclass(frozen=True)
class Known:
    """What is known of sections that were set before: their ``boxes``, by the sizes that tell for them.

    ``grows`` are the sizes that may be raised and make a difference to each.
    """

    boxes: dict[tuple[int, Sizes], list[Box]] = field(default_factory=dict)
    grows: dict[int, frozenset[str]] = field(default_factory=dict)


def section_boxes(
    sections: Sequence[Section], card: str, column: CardColumn, height: float, known: Known
) -> list[list[Box]]:
    """Set sections of a card in a column, or across the sheet where they span it or are too wide for it.

    A section of no title whose only block is a code to scan joins the section before it. Raises
    `PlacedError` with everything that does not fit.
    """
    made: list[list[Box]] = []
    places: list[tuple[str, float]] = []
    for section in sections:
        boxes: list[Box] = []
        sizes = _telling(section, column, known)
        try:
            if (id(section), sizes) not in known.boxes:
                fresh = _boxes(section, replace(column, sizes=sizes), height)
                known.boxes[id(section), sizes] = [replace(box, card=card) for box in fresh]
            boxes = list(known.boxes[id(section), sizes])
        except PlacedError as error:
            places += error.places
        if made and not section.title and isinstance(section.blocks[0], Qr):
            _join(made[-1], None, section.blocks[0], boxes)
        elif boxes:
            boxes[0] = replace(boxes[0], over=section.over)
            made.append(boxes)
    if places:
        raise PlacedError(places)
    return made


def grows_of(sections: Sequence[Section], edition: Edition) -> frozenset[str]:
    """Name the sizes that make a difference to these sections: of main numbers, drawings, boxes to write in."""
    places = list(walk(sections))
    found = {
        "number": any(section.role == "numbers" for section in sections),
        "draw": any(place.diagram for place in places),
        "write": edition.hand == "boxes" and any(place.box for place in places),
    }
    return frozenset(name for name, is_there in found.items() if is_there)


def _telling(section: Section, column: CardColumn, known: Known) -> Sizes:
    """Give the sizes with the least of those that make no difference to a section."""
    if id(section) not in known.grows:
        known.grows[id(section)] = grows_of((section,), column.edition)
    least, grows = column.edition.sizes(), known.grows[id(section)]
    held = {name: getattr(least, name) for name in ("number", "draw", "write") if name not in grows}
    return replace(column.sizes, **held)


def _boxes(section: Section, column: CardColumn, height: float) -> list[Box]:
    spans = section.span and section.role in ("numbers", "hold") and column.edition.fit.columns > 1
    wide = column.across() if spans else column
    boxes = [heading_box(wide, section.title)] if section.title else []
    places: list[tuple[str, float]] = []
    before: Block | None = None
    for block in _parts(section, spans):
        first = block[0]
        try:
            if isinstance(first, Steps):
                _join(boxes, before, first, list(_step_boxes(wide, first.steps, places)))
            else:
                _join(boxes, before, first, _block_boxes(section, block, wide, height))
        except DoesNotFitError as error:
            places.append((error.what, error.by))
        before = block[-1]
    places += [(box.name, box.height - height) for box in boxes if box.height > height]
    if places:
        raise PlacedError(places)
    return [replace(box, wide=True) for box in boxes] if spans else boxes


def _parts(section: Section, spans: bool) -> Iterator[tuple[Block, ...]]:
    """Give a section's blocks; halts in a row go together where they stand beside one another."""
    for is_stop, blocks in groupby(section.blocks, key=lambda block: isinstance(block, Stop)):
        if is_stop and spans:
            yield tuple(blocks)
        else:
            yield from ((block,) for block in blocks)


def _join(boxes: list[Box], before: Block | None, block: Block, more: Iterable[Box]) -> None:
    """Add a block's boxes, in sight of what they belong to.

    A reason to stop belongs to what it judges and a hold to what is held; a code to scan never
    stands alone on a side.
    """
    belongs = isinstance(block, Stop | Qr) or isinstance(before, Stop)
    if boxes and belongs and boxes[-1].keep == "no":
        boxes[-1] = replace(boxes[-1], keep="in sight")
    boxes += more


def _block_boxes(section: Section, blocks: Sequence[Block], column: CardColumn, height: float) -> Iterable[Box]:
    """Set any block but steps, or several halts beside one another."""
    block = blocks[0]
    match block:
        case Steps():
            return ()
        case Paragraph():
            # Words before a table, a drawing or a step introduce it.
            return [replace(paragraph_box(column, block), keep="if it can")]
        case Items():
            return [item_box(column, says) for says in block.items]
        case Table():
            far = column.sizes.number if section.role == "numbers" else 0.0
            return _or_across(column, lambda column: table_boxes(column, block, far))
        case Drawing():
            return _or_across(column, lambda column: [board_box(column, block.diagram, height)])
        case WriteIns():
            return write_in_boxes(column, block.boxes, 0.0)
        case Stop():
            stops = [each for each in blocks if isinstance(each, Stop)]
            return [stop_boxes(column, stops) if len(stops) > 1 else stop_box(column, block)]
        case Qr():
            return [_qr_box(column, block)]


def _step_boxes(column: CardColumn, steps: Sequence[Step], places: list[tuple[str, float]]) -> Iterator[Box]:
    """Set steps; where a caution stands above several, it stands there again on another side.

    What does not fit is added to the ``places``.
    """
    under: Bar = ""
    again: Box | None = None
    for place, step in enumerate(steps):
        goes_on = place + 1 < len(steps) and steps[place + 1].joined
        try:
            box = step_box(column, step, under if step.joined else "")
        except DoesNotFitError as error:
            places.append((f"step {step.number}, {error.what}", error.by))
            continue
        if step.joined and not step.cautions:
            box = replace(box, again=again)
        else:
            strips = [caution_box(column, caution) for caution in step.cautions] if goes_on else []
            under, again = bar_of(step.cautions), (stack(strips, "caution", 0.0) if strips else None)
            box = replace(box, joined=False)
        yield replace(box, keep="if it can") if goes_on else box


def _or_across(column: CardColumn, made: Callable[[CardColumn], Iterable[Box]]) -> Iterable[Box]:
    """Set a table or a drawing in the column, or across the sheet where the column is too narrow for it."""
    try:
        return made(column)
    except DoesNotFitError:
        if column.width >= column.edition.width:
            raise
        return [replace(box, wide=True) for box in made(column.across())]


def _qr_box(column: CardColumn, block: Qr) -> Box:
    from cardgen.press.qr import matrix, on_a_dot

    rows = matrix(block.payload)
    size, module = column.sizes.small, column.edition.module
    wide = len(rows) * module
    lines = column.lines(block.says, column.width - wide - size, size)
    height = max(wide, lines_height(lines))
    sheet = column.edition.paper.height

    def draw(x: float, top: float) -> Iterable[Mark]:
        low = top - (height + wide) / 2
        left = on_a_dot(x + column.width - wide) - 72 / 600
        yield QrMark(left, sheet - on_a_dot(sheet - low), module, rows)
        text = x + column.width - wide - max((line.width for line in lines), default=0.0) - 0.5 * size
        yield from draw_lines(lines, text, top - (height - lines_height(lines)) / 2)

    return Box("code to scan", height, draw, space=column.sizes.body * 0.5)
