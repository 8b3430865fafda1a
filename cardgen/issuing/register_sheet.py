"""The register's sheet on paper, for a hangar without a signal: set like a card, and read back like one."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from cardgen.deck.card import Column, Paragraph, Row, Said, Stop, Table, Words
from cardgen.press.boxes import Box, CardColumn, paragraph_box, stop_box
from cardgen.press.canvas import paint_bare
from cardgen.press.edition import Edition, PaperKind, load_edition
from cardgen.press.flow import Put, flow
from cardgen.press.frame import day
from cardgen.press.lines import LEADING, DoesNotFitError, draw_lines, set_lines
from cardgen.press.marks import LineMark, Mark, Rect, Side
from cardgen.press.tables import table_boxes
from cardgen.press.type_runs import Style, plain
from cardgen.proof.geometry import check_geometry
from cardgen.proof.read_back import check_places
from cardgen.register.listing import SHEET_WORDS, SheetRow

_TITLE = "Current bench cards"
_HEADS = ("Rotor", "Diameter", "Rev.", "Code", "Issued", "Use until", "Copies")


def print_sheet(rows: Sequence[SheetRow], today: date, paper: PaperKind) -> bytes | tuple[str, ...]:
    """Print the sheet as a PDF, or say in a line each why it cannot be printed."""
    edition = load_edition("handout", paper)
    try:
        sides = tuple(_sides(_boxes(rows, CardColumn(edition, 0)), edition, today))
    except DoesNotFitError as error:
        return (str(error),)
    pdf = paint_bare(sides, f"{_TITLE}, {today.isoformat()}")
    against = (*check_geometry(sides), *check_places(pdf, sides))
    return tuple(map(str, against)) or pdf


def _boxes(rows: Sequence[SheetRow], column: CardColumn) -> list[Box]:
    compare, newest = SHEET_WORDS
    boxes = [
        paragraph_box(column, Paragraph((Words(compare),))),
        stop_box(column, Stop((Words(newest),))),
    ]
    if not rows:
        return [*boxes, paragraph_box(column, Paragraph((Words("No deck has been issued."),)))]
    heads = tuple(Column(head, strong=head == "Code") for head in _HEADS)
    return [*boxes, *table_boxes(column, Table("sheet", "", heads, tuple(map(_row, rows))))]


def _row(row: SheetRow) -> Row:
    deck = row.standing.deck
    # Names, codes and dates are the program's own: they never part inside a word, as a place may.
    known = (deck.set_id, row.diameter.replace(" ", "\u00a0") or "not known", str(deck.revision), row.code)
    days = (day(deck.issued), day(deck.use_until))
    cells = tuple(
        (Words(cell, strong=head == "Code"),) for cell, head in zip((*known, *days), _HEADS, strict=False)
    )
    return Row((*cells, (Said("; ".join(row.notes()) or "none listed"),)))


def _sides(boxes: Sequence[Box], edition: Edition, today: date) -> Iterable[Side]:
    paper, margins, sizes = edition.paper, edition.margins, edition.sizes
    edge = Rect(margins.left, margins.bottom, paper.width - margins.right, paper.height - margins.top)
    head = sizes.title * LEADING + sizes.heading * LEADING + 6
    foot = sizes.frame * LEADING + 4
    sides = flow([boxes], edge.y2 - edge.y1 - head - foot)
    for number, puts in enumerate(sides, start=1):
        marks = [
            *_head(edition, edge, today),
            *_body(puts, edge, edge.y2 - head),
            *_foot(edition, edge, f"sheet {number} of {len(sides)}, looked up on {day(today)}"),
        ]
        yield Side("sheet", _TITLE, 1, 1, number, len(sides), paper.width, paper.height, edge, tuple(marks))


def _head(edition: Edition, edge: Rect, today: date) -> Iterable[Mark]:
    sizes, wide = edition.sizes, edge.x2 - edge.x1
    title = set_lines(plain(_TITLE, Style("bold", sizes.title, role="frame")), wide, sizes.title)
    when = set_lines(plain(f"on {day(today)}", Style("bold", sizes.heading, role="frame")), wide, sizes.heading)
    yield from draw_lines(title, edge.x1, edge.y2)
    yield from draw_lines(when, edge.x1, edge.y2 - sizes.title * LEADING)
    low = edge.y2 - (sizes.title + sizes.heading) * LEADING - 2
    yield LineMark(edge.x1, low, edge.x2, low, 1.0)


def _body(puts: Iterable[Put], edge: Rect, top: float) -> Iterable[Mark]:
    for put in puts:
        yield from put.box.draw(edge.x1, top - put.down)


def _foot(edition: Edition, edge: Rect, words: str) -> Iterable[Mark]:
    size = edition.sizes.frame
    lines = set_lines(plain(words, Style("regular", size, role="frame")), edge.x2 - edge.x1, size)
    return draw_lines(lines, edge.x1, edge.y1 + size * LEADING)
