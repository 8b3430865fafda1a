"""Patterns of the tip reflectors, drawn where their words say plainly what they are."""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.diagram import FINE, NORMAL, DrawnShape
from cardgen.deck.diagrams.parts import box
from cardgen.spec.model import RotorSpec

#: Half of a pattern's side.
_HALF = 3.0


def pattern(spec: RotorSpec, blade: str, x: float, y: float, half: float = _HALF) -> Iterator[DrawnShape]:
    """Draw a blade's pattern round a middle; nothing for words that the drawing does not know."""
    if spec.reflectors is None:
        return
    words = str(spec.reflectors.pattern_a if blade == "A" else spec.reflectors.pattern_b).lower()
    square = box(x - half, y - half, x + half, y + half, NORMAL, "black")
    match words:
        case "solid square":
            yield square
        case "square with a bar" | "square with a bar across":
            yield square
            yield box(x - half, y - half / 3, x + half, y + half / 3, FINE, "white")
        case "upright bar":
            yield box(x - half / 3, y - half, x + half / 3, y + half, FINE, "black")
        case "two upright bars":
            for side in (-1.0, 1.0):
                at = x + 0.65 * half * side
                yield box(at - half / 3, y - half, at + half / 3, y + half, FINE, "black")


def patterns_are_drawn(spec: RotorSpec) -> bool:
    """Whether both patterns are known to the drawing."""
    return all(any(True for _ in pattern(spec, blade, 0.0, 0.0)) for blade in ("A", "B"))
