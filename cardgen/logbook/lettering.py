"""Lettering on a chart: each word at a place of its own, and lines give way to it, as on a drawing by hand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple, TypeAlias

from cardgen.deck.diagram import FINE, Disc, DrawnShape, Label, Line
from cardgen.press.type import width

#: White round lettering, in millimetres.
_WHITE = 0.4
#: How far from a point its lettering may stand, in millimetres, nearest first.
_RINGS = (2.4, 5.0, 9.0, 14.0, 20.0, 27.0)


class _Space(NamedTuple):
    left: float
    low: float
    right: float
    high: float

    def meets(self, other: _Space) -> bool:
        across = self.left < other.right and other.left < self.right
        return across and self.low < other.high and other.low < self.high


@dataclass(frozen=True)
class Choice:
    """Lettering that may stand at several places, the best first; ``of`` is the point that it belongs to."""

    places: tuple[tuple[Label, ...], ...]
    of: tuple[float, float] | None = None


#: What a chart is made of before its lettering has found its places.
ChartPart: TypeAlias = DrawnShape | Choice


def around(x: float, y: float, text: str, size: float) -> Choice:
    """Let lettering stand anywhere round a point, near it where there is room."""
    half = 0.25 * size
    rings = []
    for far in _RINGS:
        side, above, below = 0.8 * far, y + 0.6 * far, y - 0.6 * far - 2 * half
        ring = [Label(x + side, level, text, size, bold=True, anchor="start") for level in (above, below)]
        ring += [Label(x - side, level, text, size, bold=True, anchor="end") for level in (above, below)]
        ring += [Label(x, level, text, size, bold=True) for level in (y + far, y - far - 2 * half)]
        ring.append(Label(x + far, y - half, text, size, bold=True, anchor="start"))
        ring.append(Label(x - far, y - half, text, size, bold=True, anchor="end"))
        rings.append(tuple(ring))
    return Choice(tuple(rings), (x, y))


def lettered(parts: Iterable[ChartPart], wide: float, high: float) -> tuple[DrawnShape, ...]:
    """Give every choice its place on a board, and take away what of each line would run through lettering.

    Where all places are taken the first is kept, and the proof of the print will say so.
    """
    parts = tuple(parts)
    shapes = [part for part in parts if not isinstance(part, Choice)]
    lines = [shape for shape in shapes if isinstance(shape, Line) and not shape.arrow]
    others = [shape for shape in shapes if shape not in lines]
    taken = [space for shape in others for space in _spaces(shape)]
    board = _Space(0.0, 0.0, wide, high)
    for choice in (part for part in parts if isinstance(part, Choice)):
        label, is_near = _chosen(choice, board, taken, lines)
        if choice.of and not is_near:
            lines.append(_leader(choice.of, _space(label)))
        taken.append(_space(label))
        others.append(label)
    letters = [_grown(_space(shape)) for shape in others if isinstance(shape, Label)]
    return (*(piece for line in lines for piece in _interrupted(line, letters)), *others)


def _chosen(
    choice: Choice, board: _Space, taken: Sequence[_Space], lines: Sequence[Line]
) -> tuple[Label, bool]:
    """Choose the nearest free place, where there are several one that no line runs through."""
    for ring, labels in enumerate(choice.places):
        free = [label for label in labels if _is_free(_space(label), board, taken)]
        clear = [label for label in free if not any(_inside(line, _grown(_space(label))) for line in lines)]
        if free:
            return (clear or free)[0], ring == 0
    return choice.places[0][0], True


def _is_free(space: _Space, board: _Space, taken: Iterable[_Space]) -> bool:
    on_board = board.left <= space.left and space.right <= board.right
    on_board = on_board and board.low <= space.low and space.high <= board.high
    return on_board and not any(_grown(space).meets(other) for other in taken)


def _spaces(shape: DrawnShape) -> Iterator[_Space]:
    """Give the space that a shape keeps from lettering; lines give way to it, arrows do not."""
    if isinstance(shape, Label):
        yield _space(shape)
    elif isinstance(shape, Disc):
        far = shape.radius + shape.weight / 2
        yield _Space(shape.x - far, shape.y - far, shape.x + far, shape.y + far)
    elif isinstance(shape, Line):
        (left, right), (low, high) = sorted((shape.x1, shape.x2)), sorted((shape.y1, shape.y2))
        yield _Space(left - 1.0, low, right + 1.0, high)


def _space(label: Label) -> _Space:
    """Give the space of lettering, from under its descenders to over its capitals, as the proof measures it."""
    wide = width(label.text, "bold" if label.bold else "regular", label.size)
    left = label.x - {"start": 0.0, "middle": wide / 2, "end": wide}[label.anchor]
    return _Space(left, label.y - 0.2 * label.size, left + wide, label.y + 0.7 * label.size)


def _grown(space: _Space) -> _Space:
    return _Space(space.left - _WHITE, space.low - _WHITE, space.right + _WHITE, space.high + _WHITE)


def _leader(point: tuple[float, float], space: _Space) -> Line:
    """Draw a fine line from a point to lettering that stands away from it."""
    x = min(max(point[0], space.left), space.right)
    y = min(max(point[1], space.low), space.high)
    return Line(*point, x, y, FINE)


def _interrupted(line: Line, spaces: Iterable[_Space]) -> Iterator[Line]:
    """Give what is left of a line outside some spaces."""
    pieces = [line]
    for space in spaces:
        pieces = [piece for whole in pieces for piece in _outside(whole, space)]
    yield from pieces


def _outside(line: Line, space: _Space) -> Iterator[Line]:
    cut = _inside(line, space)
    if cut is None:
        yield line
        return
    across, up = line.x2 - line.x1, line.y2 - line.y1
    for start, end in ((0.0, cut[0]), (cut[1], 1.0)):
        if end > start:
            x1, y1 = line.x1 + start * across, line.y1 + start * up
            yield replace(line, x1=x1, y1=y1, x2=line.x1 + end * across, y2=line.y1 + end * up)


def _inside(line: Line, space: _Space) -> tuple[float, float] | None:
    """Which part of a line lies inside a space, as shares of its length (Liang and Barsky, 1984)."""
    across, up = line.x2 - line.x1, line.y2 - line.y1
    start, end = 0.0, 1.0
    for step, room in (
        (-across, line.x1 - space.left),
        (across, space.right - line.x1),
        (-up, line.y1 - space.low),
        (up, space.high - line.y1),
    ):
        if step == 0:
            if room < 0:
                return None
        elif step < 0:
            start = max(start, room / step)
        else:
            end = min(end, room / step)
    return (start, end) if start < end else None
