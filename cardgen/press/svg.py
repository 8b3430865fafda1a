"""Paints a diagram, or a QR symbol, as SVG for the screen.

Ink is ``currentColor``, so a drawing follows the page into dark mode and forced colours. Only
presentation attributes are used: a strict content security policy forbids inline styles.
"""

from __future__ import annotations

from html import escape
from math import cos, radians, sin

from cardgen.deck.arrows import without_arrows
from cardgen.deck.diagram import Arc, Diagram, Disc, DrawnShape, Label, Line, Polygon
from cardgen.press.qr import Matrix, dark_runs

_FAMILY = "Atkinson Hyperlegible, sans-serif"
_INK = 'stroke="currentColor" fill="none"'
#: Where the page's own paper colour shows; the class lets a style sheet follow dark mode.
_PAPER = 'class="paper" fill="white"'
_FILLS = {
    "none": 'fill="none"',
    "black": 'fill="currentColor"',
    "tint": 'fill="currentColor" fill-opacity="0.1"',
    "white": _PAPER,
}


def to_svg(diagram: Diagram, place: str) -> str:
    """Paint a diagram as one ``<svg>`` element; ``place`` makes its ids unique on the page."""
    name = f"{place}-{diagram.name}"
    shapes = "".join(_shape(shape, diagram.height) for shape in without_arrows(diagram))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(diagram.width)} {_n(diagram.height)}" '
        f'role="img" aria-labelledby="{_q(name)}-title" aria-describedby="{_q(name)}-desc" '
        f'font-family="{_FAMILY}" stroke-linecap="butt" stroke-linejoin="round">'
        f'<title id="{_q(name)}-title">{escape(diagram.title)}</title>'
        f'<desc id="{_q(name)}-desc">{escape(diagram.description)}</desc>{shapes}</svg>'
    )


def qr_to_svg(matrix: Matrix, label: str) -> str:
    """Paint a QR symbol, dark on light whatever the colours of the page around it."""
    size = len(matrix)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="qr" viewBox="0 0 {size} {size}" role="img" '
        f'aria-label="{_q(label)}" shape-rendering="crispEdges">'
        f'<path fill="#fff" d="M0 0h{size}v{size}h-{size}z"/><path fill="#000" d="{_dark_runs(matrix)}"/></svg>'
    )


def _dark_runs(matrix: Matrix) -> str:
    return "".join(f"M{start} {row}h{long}v1h-{long}z" for row, start, long in dark_runs(matrix))


def _shape(shape: DrawnShape, height: float) -> str:
    match shape:
        case Line():
            return _line(shape, height)
        case Disc():
            return (
                f'<circle cx="{_n(shape.x)}" cy="{_n(height - shape.y)}" r="{_n(shape.radius)}" '
                f"{_FILLS[shape.fill]} {_stroke(shape.weight)}/>"
            )
        case Arc():
            return _arc(shape, height)
        case Polygon():
            points = " ".join(f"{_n(x)},{_n(height - y)}" for x, y in shape.points)
            return f'<polygon points="{points}" {_FILLS[shape.fill]} {_stroke(shape.weight)}/>'
        case Label():
            return _label(shape, height)


def _line(line: Line, height: float) -> str:
    dashes = f' stroke-dasharray="{_n(4 * line.weight)} {_n(3 * line.weight)}"' if line.dashed else ""
    return (
        f'<path d="M{_n(line.x1)} {_n(height - line.y1)}L{_n(line.x2)} {_n(height - line.y2)}" '
        f'{_INK} stroke-width="{_n(line.weight)}"{dashes}/>'
    )


def _arc(arc: Arc, height: float) -> str:
    # SVG draws no arc whose ends meet: a long one is drawn as two halves.
    middle = (arc.start + arc.end) / 2
    sweep = 0 if arc.end >= arc.start else 1
    points = [
        (arc.x + arc.radius * cos(radians(angle)), height - arc.y - arc.radius * sin(radians(angle)))
        for angle in (arc.start, middle, arc.end)
    ]
    radius = _n(arc.radius)
    first, *others = (f"{_n(x)} {_n(y)}" for x, y in points)
    path = f"M{first}" + "".join(f"A{radius} {radius} 0 0 {sweep} {point}" for point in others)
    return f'<path d="{path}" {_INK} stroke-width="{_n(arc.weight)}"/>'


def _label(label: Label, height: float) -> str:
    ink = _PAPER if label.white else 'fill="currentColor"'
    weight = ' font-weight="700"' if label.bold else ""
    figure = f' data-figure="{_q(label.figure)}"' if label.figure else ""
    return (
        f'<text x="{_n(label.x)}" y="{_n(height - label.y)}" font-size="{_n(label.size)}" '
        f'text-anchor="{label.anchor}" {ink}{weight}{figure}>{escape(label.text)}</text>'
    )


def _stroke(weight: float) -> str:
    return f'stroke="currentColor" stroke-width="{_n(weight)}"' if weight else 'stroke="none"'


def _n(value: float) -> str:
    """Write a length to a thousandth, without trailing zeros and without a negative nought."""
    return f"{round(value, 3) + 0.0:.3f}".rstrip("0").rstrip(".")


def _q(text: str) -> str:
    return escape(text, quote=True)
