"""Arrows as the plain shapes they are drawn with: a shaft, and one head for paper and for screen."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import atan2, cos, degrees, hypot, pi, radians, sin

from cardgen.deck.diagram import Arc, Diagram, DrawnShape, Line, Polygon

#: Length of a head by the weight of its line, at least so many millimetres, and half its breadth by its length.
_LENGTH, _SHORTEST, _BREADTH = 3.2, 2.0, 0.4
#: The shaft ends so far inside its head, or its blunt end would show at the point.
_INSIDE = 0.8


def without_arrows(diagram: Diagram) -> Iterator[DrawnShape]:
    """Give a drawing's shapes, each arrow as its head and its shaft."""
    for shape in diagram.shapes:
        if isinstance(shape, Line) and shape.arrow:
            yield from _straight(shape)
        elif isinstance(shape, Arc) and shape.arrow:
            yield from _curved(shape)
        else:
            yield shape


def _straight(line: Line) -> tuple[DrawnShape, ...]:
    across, up = line.x2 - line.x1, line.y2 - line.y1
    angle, length = atan2(up, across), min(_length(line.weight), hypot(across, up))
    back = _INSIDE * length
    shaft = replace(line, x2=line.x2 - back * cos(angle), y2=line.y2 - back * sin(angle), arrow=False)
    return _head(line.x2, line.y2, angle, length), shaft


def _curved(arc: Arc) -> tuple[DrawnShape, ...]:
    tip, turn = radians(arc.end), 1.0 if arc.end >= arc.start else -1.0
    length = _length(arc.weight)
    seen = length / arc.radius
    # The head follows the chord over its own length, so that it points along the curve.
    head = _head(
        arc.x + arc.radius * cos(tip), arc.y + arc.radius * sin(tip), tip + turn * (pi - seen) / 2, length
    )
    return head, replace(arc, end=arc.end - turn * degrees(_INSIDE * seen), arrow=False)


def _length(weight: float) -> float:
    return max(_LENGTH * weight, _SHORTEST)


def _head(x: float, y: float, angle: float, length: float) -> Polygon:
    half = _BREADTH * length
    back_x, back_y = x - length * cos(angle), y - length * sin(angle)
    left = back_x - half * sin(angle), back_y + half * cos(angle)
    right = back_x + half * sin(angle), back_y - half * cos(angle)
    return Polygon(((x, y), left, right), "black", weight=0.0)
