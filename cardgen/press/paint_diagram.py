"""Paints a drawing into the column as marks.

A drawing board is scaled as a whole, lines and lettering with it, to the column's width. Its
lettering grows little larger than the words around it, and it takes more of a side's height than it should
only where its lettering would else be too small to read.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from cardgen.deck.arrows import without_arrows
from cardgen.deck.diagram import Arc, Diagram, Disc, DrawnShape, Label, Line, Polygon
from cardgen.press.boxes import Box, CardColumn
from cardgen.press.lines import DoesNotFitError
from cardgen.press.marks import ArcMark, Face, LineMark, Mark, PolygonMark, Role, TextMark, Tone
from cardgen.press.type import width

_LARGEST = 1.25


def board_box(column: CardColumn, diagram: Diagram, side_height: float) -> Box:
    """Set a drawing in the middle of the column.

    Raises `DoesNotFitError` where its lettering or lines would be below the edition's floor.
    """
    scale = _scale(column, diagram, side_height)
    _check_lines(column, diagram, scale)
    wide, height = diagram.width * scale, diagram.height * scale

    def draw(x: float, top: float) -> Iterable[Mark]:
        left, low = x + (column.width - wide) / 2, top - height
        for shape in without_arrows(diagram):
            yield from _marks(shape, left, low, scale)

    return Box(f'drawing "{diagram.name}"', height, draw, space=column.sizes.body * 0.5)


def _scale(column: CardColumn, diagram: Diagram, side_height: float) -> float:
    """Choose points per millimetre of the board."""
    widest = column.width / diagram.width
    scale = min(widest, column.sizes.draw * side_height / diagram.height)
    smallest = min((shape.size for shape in diagram.shapes if isinstance(shape, Label)), default=None)
    if smallest is None:
        return scale
    scale = min(scale, _LARGEST * column.sizes.body / smallest)
    needed = column.edition.label_floor / smallest
    if needed > widest + 1e-9:
        raise DoesNotFitError(f'lettering of drawing "{diagram.name}"', diagram.width * needed - column.width)
    return max(scale, needed)


def _check_lines(column: CardColumn, diagram: Diagram, scale: float) -> None:
    for shape in diagram.shapes:
        weight = 0.0 if isinstance(shape, Label) else shape.weight
        if 0 < weight * scale < column.edition.line_floor - 1e-9:
            what = f'drawing "{diagram.name}": a line of {weight} mm is too thin at this distance'
            raise DoesNotFitError(what, column.edition.line_floor - weight * scale)


def _marks(shape: DrawnShape, x: float, y: float, scale: float) -> Iterable[Mark]:
    def at(dx: float, dy: float) -> tuple[float, float]:
        return x + dx * scale, y + dy * scale

    match shape:
        case Line():
            start, end = at(shape.x1, shape.y1), at(shape.x2, shape.y2)
            yield LineMark(*start, *end, shape.weight * scale, shape.dashed)
        case Disc():
            fill, weight = _fill(shape.fill), shape.weight * scale
            yield ArcMark(*at(shape.x, shape.y), shape.radius * scale, fill=fill, weight=weight)
        case Arc():
            first, last = sorted((shape.start, shape.end))
            centre, radius = at(shape.x, shape.y), shape.radius * scale
            yield ArcMark(*centre, radius, first, last, weight=shape.weight * scale)
        case Polygon():
            points = tuple(at(*point) for point in shape.points)
            yield PolygonMark(points, _fill(shape.fill), shape.weight * scale)
        case Label():
            yield _lettering(shape, at(shape.x, shape.y), scale)


def _lettering(label: Label, place: tuple[float, float], scale: float) -> Mark:
    face: Face = "bold" if label.bold else "regular"
    size = label.size * scale
    wide = width(label.text, face, size)
    left = place[0] - {"start": 0.0, "middle": wide / 2, "end": wide}[label.anchor]
    tone: Tone = "white" if label.white else "black"
    role: Role = "figure" if label.figure else "label"
    return TextMark(left, place[1], label.text, face, size, wide, tone, role, label.figure)


def _fill(fill: Literal["none", "black", "tint", "white"]) -> Tone | None:
    return None if fill == "none" else fill
