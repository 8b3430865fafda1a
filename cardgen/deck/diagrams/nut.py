"""One castle nut from above: where the drag is read, where it is set to, the first slot, and where to stop."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, radians, sin

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Arc, Diagram, Disc, DrawnShape, Line, Polygon
from cardgen.deck.diagrams.parts import BOARD, box, note
from cardgen.deck.diagrams.pins import pin_along_strap, pin_words, small_pin
from cardgen.figures import Figures
from cardgen.spec.model import RotorSpec

_X, _Y, _RIM = 33.0, 24.0, 13.0
#: The places on the way round, clockwise: degrees from the right, where the words stand, which are bold.
_PLACES = (
    (165.0, (2.0, 49.0), "drag: read while it runs free", False),
    (80.0, (62.0, 43.0), "least: set this, check here", True),
    (45.0, (62.0, 34.5), "first slot: the pin goes in", True),
    (12.0, (62.0, 26.0), "most: never past it", True),
)


def nut_slot(spec: RotorSpec, _: Figures) -> Diagram:
    """Draw the nut with its slots over the hole, and the way from the drag to the most."""
    return Diagram(
        name="nut-slot",
        width=BOARD,
        height=51.0,
        title="From the drag to the slot",
        description="\n".join(
            [
                "A castle nut from above, tightened clockwise.",
                "In order: the drag; the least, which is set; the first slot over the hole; the most.",
                "No slot before the most: another washer.",
                *_pin(spec),
            ]
        ),
        shapes=(*_nut(), *small_pin(spec, 90.0, 10.5)),
    )


def _pin(spec: RotorSpec) -> Iterator[str]:
    if pin_along_strap(spec):
        yield f"The pin's head: {pin_words(spec)}. Both legs are bent."


def _nut() -> Iterator[DrawnShape]:
    yield Polygon(tuple(_at(60.0 * corner + 12.0, _RIM) for corner in range(6)), "white", HEAVY)
    for slot in range(6):
        inner, outer = _at(60.0 * slot + 42.0, 7.2), _at(60.0 * slot + 42.0, 10.6)
        yield Line(*inner, *outer, HEAVY)
    yield Disc(_X, _Y, 7.0, "white", NORMAL)
    yield box(_X - 7.0, _Y - 1.1, _X + 7.0, _Y + 1.1, FINE, "black")
    yield note(_X - 9.0, 1.4, "hole", "end")
    yield Line(_X - 9.0, 5.0, _X - 3.0, _Y - 1.8, FINE, arrow=True)
    yield Arc(_X, _Y, 18.5, 165.0, 80.0, NORMAL)
    yield Arc(_X, _Y, 18.5, 80.0, 14.0, HEAVY, arrow=True)
    for angle, (x, y), words, bold in _PLACES:
        yield Line(*_at(angle, 16.2), *_at(angle, 20.8), HEAVY)
        yield note(x, y - 1.6, words, "start", bold=bold)
        yield Line(*_at(angle, 21.4), *((x - 1.0, y) if x > _X else (x + 2.0, y - 3.0)), FINE)


def _at(angle: float, reach: float) -> tuple[float, float]:
    return _X + reach * cos(radians(angle)), _Y + reach * sin(radians(angle))
