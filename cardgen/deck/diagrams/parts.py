"""Shapes that several drawings share, and how wide lettering may turn out."""

from __future__ import annotations

import re
from collections.abc import Iterable
from math import cos, radians, sin

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Arc, Disc, DrawnShape, Label, Line, Polygon
from cardgen.figures import Figures

#: Width of every board, so that each drawing fills a pouch card's column.
BOARD = 118.0

#: Type size of ordinary lettering, in millimetres.
LETTERING = 4.5

_COUNT = {"one": 1, "two": 2, "three": 3, "four": 4}
_MARK = re.compile(r"(one|two|three|four) (dot|notch)(?:e?s)?")


def box(x1: float, y1: float, x2: float, y2: float, weight: float = NORMAL, fill: str = "none") -> Polygon:
    """An upright rectangle."""
    points = ((x1, y1), (x2, y1), (x2, y2), (x1, y2))
    match fill:
        case "black" | "tint" | "white":
            return Polygon(points, fill, weight)
    return Polygon(points, "none", weight)


def cross(x: float, y: float, half: float) -> tuple[Line, Line]:
    """A heavy cross: this is not to be touched."""
    return (
        Line(x - half, y - half, x + half, y + half, HEAVY),
        Line(x - half, y + half, x + half, y - half, HEAVY),
    )


def marks(x: float, y: float, words: str) -> Iterable[DrawnShape]:
    """Draw a blade's mark as it is on the metal, from ``x`` to the right, where its words name dots or notches.

    Other marks are not drawn: the card's words name them.
    """
    found = _MARK.fullmatch(words)
    if found is None:
        return
    for place in range(_COUNT[found[1]]):
        at = x + 4.0 * place
        if found[2] == "dot":
            yield Disc(at, y, 1.2, "black")
        else:
            yield Polygon(((at - 1.2, y + 1.4), (at + 1.2, y + 1.4), (at, y - 1.4)), "black", FINE)


def marks_width(words: str) -> float:
    """How far a drawn mark reaches to the right of where it begins."""
    found = _MARK.fullmatch(words)
    return 4.0 * (_COUNT[found[1]] - 1) if found else 0.0


def dial(x: float, y: float, radius: float = 7.0) -> Iterable[DrawnShape]:
    """A dial indicator seen from the front, its stem pointing down."""
    yield Disc(x, y, radius, "white", NORMAL)
    for tick in range(0, 360, 30):
        inner = radius - 1.4
        across, up = cos(radians(tick)), sin(radians(tick))
        yield Line(x + inner * across, y + inner * up, x + radius * across, y + radius * up, FINE)
    yield Line(x, y, x, y + radius - 2.0, HEAVY)


def turn_arrow(
    x: float, y: float, radius: float, rotation: str, start: float = 20.0, sweep: float = 50.0
) -> Arc:
    """An arc with a head, the way the rotor turns seen from above."""
    if rotation == "counter-clockwise":
        return Arc(x, y, radius, start, start + sweep, HEAVY, arrow=True)
    return Arc(x, y, radius, start + sweep, start, HEAVY, arrow=True)


def wave(x1: float, x2: float, y: float) -> Line:
    """The surface of water in a tube."""
    return Line(x1, y, x2, y, HEAVY)


def shown(figures: Figures, id_: str) -> str:
    """A figure as a label: its number and its unit."""
    parts = figures.all[id_].parts
    return f"{parts.number} {parts.unit}"


def note(
    x: float, y: float, text: str, anchor: str = "middle", *, bold: bool = False, figure: str = ""
) -> Label:
    """Ordinary lettering."""
    match anchor:
        case "start" | "end":
            return Label(x, y, text, LETTERING, bold, anchor, figure=figure)
    return Label(x, y, text, LETTERING, bold, "middle", figure=figure)
