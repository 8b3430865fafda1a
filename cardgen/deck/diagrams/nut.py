"""One castle nut from above: where the drag is read, where it is set to, the first slot, and where to stop."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sin

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Arc, Diagram, Disc, DrawnShape, Line, Polygon
from cardgen.deck.diagrams.parts import BOARD, box, note

_X, _Y, _RIM = 33.0, 27.0, 14.0
#: The four places on the way round, clockwise, in degrees from the right; where its words stand, and which are bold.
_PLACES = (
    (165.0, (2.0, 55.0), "drag: read while it runs free", False),
    (80.0, (62.0, 45.0), "least: set this, check here", True),
    (45.0, (62.0, 35.0), "first slot: the pin goes in", True),
    (12.0, (62.0, 25.0), "most: never past it", True),
)


def nut_slot(*_: object) -> Diagram:
    """Draw the nut with its slots over the hole, and the way from the drag to the most."""
    return Diagram(
        name="nut-slot",
        width=BOARD,
        height=60.0,
        title="From the drag to the slot",
        description="\n".join(
            [
                "One castle nut from above, tightened clockwise, with the pin hole of the bolt under its slots.",
                "On its way round: the drag is read while it runs free; then the least, where the wrench is set.",
                "From the least it goes on, only forward, to the first slot that meets the hole.",
                "The most comes last. No slot before it: another washer.",
            ]
        ),
        shapes=tuple(_nut()),
    )


def _nut() -> Iterator[DrawnShape]:
    yield Polygon(tuple(_at(60.0 * corner + 12.0, _RIM) for corner in range(6)), "white", HEAVY)
    for slot in range(6):
        inner, outer = _at(60.0 * slot + 42.0, 7.2), _at(60.0 * slot + 42.0, 12.8)
        yield Line(*inner, *outer, HEAVY)
    yield Disc(_X, _Y, 7.0, "white", NORMAL)
    yield box(_X - 7.0, _Y - 1.1, _X + 7.0, _Y + 1.1, FINE, "black")
    yield note(_X, 2.0, "hole")
    yield Line(_X - 1.0, 6.5, _X - 3.0, _Y - 1.8, FINE, arrow=True)
    yield Arc(_X, _Y, 20.0, 165.0, 80.0, NORMAL)
    yield Arc(_X, _Y, 20.0, 80.0, 14.0, HEAVY, arrow=True)
    for angle, (x, y), words, bold in _PLACES:
        yield Line(*_at(angle, 17.5), *_at(angle, 22.5), HEAVY)
        yield note(x, y - 1.6, words, "start", bold=bold)
        yield Line(*_at(angle, 23.2), *((x - 1.0, y) if x > _X else (x + 2.0, y - 3.0)), FINE)


def _at(angle: float, reach: float) -> tuple[float, float]:
    return _X + reach * cos(radians(angle)), _Y + reach * sin(radians(angle))
