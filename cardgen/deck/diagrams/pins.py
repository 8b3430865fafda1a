"""Which way the head of a cotter pin points, in the maker's words and, where they are plain, drawn."""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.diagram import HEAVY, NORMAL, Diagram, Disc, DrawnShape, Line, Polygon
from cardgen.deck.diagrams.parts import BOARD, box, note
from cardgen.figures import Figures
from cardgen.spec.model import RotorSpec

_HEIGHT = 38.0

#: Ways a head can point in the drawing; only these exact words are drawn, others are only said.
_LEFT, _RIGHT, _UP, _DOWN = (-1, 0), (1, 0), (0, 1), (0, -1)
_ALONG = {
    "inboard": _LEFT,
    "outboard": _RIGHT,
    "toward the hub": _LEFT,
    "towards the hub": _LEFT,
    "toward the tip": _RIGHT,
    "towards the tip": _RIGHT,
}
_LEADING = {"toward the leading edge", "towards the leading edge", "toward the leading side", "leading"}
_TRAILING = {"toward the trailing edge", "towards the trailing edge", "toward the trailing side", "trailing"}


def pin_direction(spec: RotorSpec, _: Figures) -> Diagram:
    """Draw one nut of the strap from above, hub at the left, with its pin."""
    leading_up = spec.rotor.rotation == "counter-clockwise"
    way = _way(spec)
    said = "; ".join(_said(spec))
    return Diagram(
        name="pin-direction",
        width=BOARD,
        height=_HEIGHT,
        title="Head of the cotter pin",
        description="\n".join(
            [
                "One strap nut seen from above. Hub at the left, tip at the right.",
                f"The leading edge is at the {'top' if leading_up else 'bottom'}.",
                f"The head of the pin points: {said}.",
                "Both legs are bent at the other end.",
            ]
        ),
        shapes=tuple(_shapes(way, leading_up)),
    )


def pin_can_be_drawn(spec: RotorSpec) -> bool:
    """Whether the maker's words for the strap bolts' pins are alike, and among those the drawing knows."""
    return _way(spec) is not None


def pin_along_strap(spec: RotorSpec) -> bool:
    """Whether the pins lie along the strap, so that one is drawn small beside its nut."""
    return _way(spec) in (_LEFT, _RIGHT)


def small_pin(spec: RotorSpec, x: float, y: float) -> Iterator[DrawnShape]:
    """Draw such a pin in its nut, hub at the left and tip at the right; nothing for any other."""
    way = _way(spec)
    if way is None or way[1]:
        return
    yield Polygon(tuple((x + 8.0 * a, y + 8.0 * b) for a, b in _HEXAGON), "white", HEAVY)
    yield Disc(x, y, 4.5, "white", NORMAL)
    yield from _pin(x, y, *way)
    yield note(x - 27.0, y - 7.5, "hub", "start", bold=True)
    yield note(x + 27.0, y - 7.5, "tip", "end", bold=True)


def pin_words(spec: RotorSpec) -> str:
    """Say where the heads point, in the maker's words."""
    return "; ".join(_said(spec))


def _said(spec: RotorSpec) -> tuple[str, ...]:
    """Give the maker's words for the heads of the pins you fit in the straps, each once."""
    pinned = (bolt for bolt in spec.fasteners if bolt.where == "strap" and bolt.fitted_by == "you")
    return tuple(dict.fromkeys(str(bolt.pin_head) for bolt in pinned if bolt.pin_head is not None))


def _way(spec: RotorSpec) -> tuple[int, int] | None:
    ways, leading_up = _said(spec), spec.rotor.rotation == "counter-clockwise"
    if len(ways) != 1:
        return None
    words = ways[0]
    if words in _LEADING:
        return _UP if leading_up else _DOWN
    if words in _TRAILING:
        return _DOWN if leading_up else _UP
    return _ALONG.get(words)


def _shapes(way: tuple[int, int] | None, leading_up: bool) -> Iterator[DrawnShape]:
    x, y = BOARD / 2, 19.0
    yield box(8.0, 6.0, BOARD - 8.0, 32.0, NORMAL)
    yield note(BOARD / 2, 33.0 if leading_up else 1.2, "leading edge")
    yield note(BOARD / 2, 1.2 if leading_up else 33.0, "trailing edge")
    yield note(11.0, y - 1.5, "hub", "start", bold=True)
    yield note(BOARD - 11.0, y - 1.5, "tip", "end", bold=True)
    yield Polygon(tuple((x + 8.0 * a, y + 8.0 * b) for a, b in _HEXAGON), "white", HEAVY)
    yield Disc(x, y, 4.5, "white", NORMAL)
    if way is not None:
        yield from _pin(x, y, *way)


def _pin(x: float, y: float, across: int, up: int) -> Iterator[DrawnShape]:
    """A pin through the nut: its round head one way, its legs spread the other way."""
    yield Line(x - 9.5 * across, y - 9.5 * up, x + 9.0 * across, y + 9.0 * up, HEAVY)
    yield Disc(x + 11.2 * across, y + 11.2 * up, 2.6, "white", HEAVY)
    for side in (-1, 1):
        # Each leg is bent round its side of the nut.
        out_x, out_y = x - 9.5 * across + 5.5 * side * up, y - 9.5 * up + 5.5 * side * across
        yield Line(x - 9.5 * across, y - 9.5 * up, out_x, out_y, HEAVY)
        yield Line(out_x, out_y, out_x + 5.0 * across, out_y + 5.0 * up, HEAVY)
    if across:
        yield note(x + 14.5 * across, y + 2.5, "head", "end" if across < 0 else "start")
        yield note(x - 14.5 * across, y + 2.5, "legs", "start" if across < 0 else "end")
    else:
        yield note(x + 4.5, y + 9.5 * up - 1.5, "head", "start")
        yield note(x + 6.5, y - 9.5 * up - 1.5, "legs", "start")


_HEXAGON = ((1.0, 0.0), (0.5, 0.866), (-0.5, 0.866), (-1.0, 0.0), (-0.5, -0.866), (0.5, -0.866))
