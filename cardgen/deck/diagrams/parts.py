"""Shapes that several drawings share, and how wide lettering may turn out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import cos, radians, sin

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Arc, Disc, DrawnShape, Label, Line, Polygon
from cardgen.figures import Figures
from cardgen.spec.marks import DrawnMark

#: Width of every board, so that each drawing fills a pouch card's column.
BOARD = 118.0

#: Type size of ordinary lettering, in millimetres.
LETTERING = 4.5


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


_WIDE_LETTERS, _NARROW_LETTERS = frozenset("mwMWQO@%"), frozenset("iljtfrI ,.:;'-()1")
#: How far apart the strokes of a drawn mark stand, and how high they are.
_STEP, _TALL = 3.2, 4.4


def marks(x: float, y: float, mark: DrawnMark | None) -> Iterator[DrawnShape]:
    """Draw a mark as it is on the metal, from ``x`` to the right, its middle at the height ``y``.

    Nothing is drawn where the specification only says the mark: the card's words name it.
    """
    if mark is None:
        return
    for place in range(mark.count):
        at = x + 1.4 + _STEP * place
        match mark.kind:
            case "dots":
                yield Disc(at, y, 1.3, "black", FINE)
            case "grooves":
                yield Line(at, y - _TALL / 2, at, y + _TALL / 2, HEAVY)
            case "bands":
                yield box(at - 1.2, y - _TALL / 2, at + 1.2, y + _TALL / 2, FINE, "black")
            case "notches":
                top = y + _TALL / 2
                yield Polygon(((at - 1.4, top), (at + 1.4, top), (at, y - _TALL / 2)), "black", FINE)
            case "letter":
                yield box(at - 1.4, y - 3.0, at + 3.4, y + 3.0, NORMAL, "white")
                yield Label(at + 1.0, y - 1.7, mark.letter, 5.0, bold=True)


def marks_width(mark: DrawnMark | None) -> float:
    """How wide a drawn mark is."""
    if mark is None:
        return 0.0
    return 5.0 if mark.kind == "letter" else 2.8 + _STEP * (mark.count - 1)


def blade_name(
    x: float, y: float, blade: str, mark: DrawnMark | None, size: float = 7.0
) -> Iterator[DrawnShape]:
    """Letter a blade at a baseline, its drawn mark at its right."""
    yield Label(x, y, blade, size, bold=True, anchor="start")
    yield from marks(x + 0.85 * size, y + 0.34 * size, mark)


def lettering_width(text: str, size: float = LETTERING, *, bold: bool = False) -> float:
    """Give a safe estimate of how wide some lettering turns out: by three kinds of letters, in em."""
    wide = sum(letter in _WIDE_LETTERS for letter in text)
    narrow = sum(letter in _NARROW_LETTERS for letter in text)
    em = 0.9 * wide + 0.34 * narrow + 0.57 * (len(text) - wide - narrow)
    return em * size * (1.04 if bold else 1.0)


def fits(text: str, width: float, size: float = LETTERING, *, bold: bool = False) -> bool:
    """Whether some lettering surely fits."""
    return lettering_width(text, size, bold=bold) <= width


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
