"""Drawings for the hub: its block and contact faces, bearing play, shim stacks, lifting it on."""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Diagram, Disc, DrawnShape, Label, Line, Polygon
from cardgen.deck.diagrams.parts import BOARD, box, dial, marks, note
from cardgen.figures import Figures
from cardgen.spec.model import RotorSpec

_MIDDLE = BOARD / 2
_THRUST_WORDS = {"bearing": "thrust bearing", "washer": "thrust washer", "adjustable": "adjustable stop"}


def hub_block(spec: RotorSpec, _: Figures) -> Diagram:
    """Draw the hub block on the teeter bolt with its two contact faces."""
    thrust = _THRUST_WORDS[spec.teeter.thrust] if spec.teeter is not None else "thrust part"
    return Diagram(
        name="hub-block",
        width=BOARD,
        height=66.0,
        title="Hub block and its two contact faces",
        description="\n".join(
            [
                "The teeter bolt goes through two cheeks and the hub block between them.",
                f"Between block and cheek there is on each side: {thrust}. So there are two contact faces.",
                "The dial touches the side of the block, along the bolt.",
                "The block is pushed to one side, the dial set to zero, the block pushed to the other side.",
            ]
        ),
        shapes=tuple(_block(thrust)),
    )


def _block(thrust: str) -> Iterator[DrawnShape]:
    y = 30.0
    yield box(24.0, y - 10, 34.0, y + 10, HEAVY)
    yield box(84.0, y - 10, 94.0, y + 10, HEAVY)
    yield box(41.0, y - 17, 77.0, y + 17, NORMAL)
    yield box(35.0, y - 7, 40.0, y + 7, NORMAL, "black")
    yield box(78.0, y - 7, 83.0, y + 7, NORMAL, "black")
    yield Line(12.0, y, 106.0, y, NORMAL, dashed=True)
    yield note(_MIDDLE, y + 4.0, "hub block", bold=True)
    yield note(_MIDDLE, 2.0, thrust)
    yield Line(_MIDDLE - 12, 6.5, 38.0, y - 7.5, FINE, arrow=True)
    yield Line(_MIDDLE + 12, 6.5, 80.0, y - 7.5, FINE, arrow=True)
    yield note(1.0, y - 8.0, "teeter", "start")
    yield note(1.0, y - 13.5, "bolt", "start")
    yield Line(12.0, y - 4.0, 15.0, y - 0.7, FINE, arrow=True)
    yield from dial(14.0, y + 15.0, 6.0)
    yield Line(20.0, y + 15.0, 40.4, y + 15.0, HEAVY, arrow=True)
    yield Line(46.0, y + 22.0, 72.0, y + 22.0, NORMAL, arrow=True)
    yield Line(72.0, y + 22.0, 46.0, y + 22.0, NORMAL, arrow=True)
    yield note(_MIDDLE, y + 25.0, "push, then push back")


def bearing_play(*_: object) -> Diagram:
    """Draw the mast from above with the dial's four places."""
    return Diagram(
        name="bearing-play",
        width=BOARD,
        height=82.0,
        title="Four places for the dial",
        description="\n".join(
            [
                "The mast and its bearing from above, the nose of the aircraft at the top.",
                "The dial touches the head in turn at the front, the left, the rear and the right.",
                "At each place the head is pushed away and pulled back with the same force.",
            ]
        ),
        shapes=tuple(_four_places()),
    )


def _four_places() -> Iterator[DrawnShape]:
    x, y = _MIDDLE, 41.0
    yield Disc(x, y, 15.0, "none", HEAVY)
    yield Disc(x, y, 6.0, "black")
    for across, up in ((0, 1), (-1, 0), (0, -1), (1, 0)):
        yield Line(x + 28 * across, y + 28 * up, x + 16 * across, y + 16 * up, NORMAL, arrow=True)
    yield note(x, y + 32.0, "front", bold=True)
    yield note(x, y - 35.0, "rear", bold=True)
    yield note(x - 31.0, y - 1.5, "left", "end", bold=True)
    yield note(x + 31.0, y - 1.5, "right", "start", bold=True)


def shim_swap(spec: RotorSpec, _: Figures) -> Diagram:
    """Draw the four shim stacks of a block and the diagonal that changes places."""
    corners = spec.pitch.swap.corners if spec.pitch is not None and spec.pitch.swap is not None else ()
    return Diagram(
        name="shim-swap",
        width=BOARD,
        height=66.0,
        title="Swap across the block",
        description="\n".join(
            [
                "The pitch block of one blade, seen from its end, with a stack of shims at each corner.",
                f"These two stacks change places, whole: {'; '.join(corners)}.",
                "One side is opened, swapped and closed before the other.",
            ]
        ),
        shapes=tuple(_stacks(_places(corners))),
    )


#: Corners as the drawing knows them; a corner under another name is only said, not drawn.
_CORNERS = {
    "leading, upper": (-1, 1),
    "leading, lower": (-1, -1),
    "trailing, upper": (1, 1),
    "trailing, lower": (1, -1),
}


def _places(corners: tuple[str, ...]) -> list[tuple[int, int]]:
    places = [_CORNERS[corner] for corner in corners if corner in _CORNERS]
    return places if len(places) == 2 else []


def _stacks(swapped: list[tuple[int, int]]) -> Iterator[DrawnShape]:
    x, y = _MIDDLE, 33.0
    yield box(x - 30, y - 10, x + 30, y + 10, HEAVY)
    for across in (-1, 1):
        for up in (-1, 1):
            at = (x + 22 * across, y + 15 * up)
            chosen = (across, up) in swapped
            for layer in range(3):
                low = at[1] - 4 + 2.6 * layer
                weight = HEAVY if chosen else FINE
                yield box(at[0] - 7, low, at[0] + 7, low + 2.4, weight, "tint" if chosen else "white")
    if swapped:
        (a_x, a_y), (b_x, b_y) = swapped
        yield Line(x + 13 * a_x, y + 8 * a_y, x + 13 * b_x, y + 8 * b_y, NORMAL, arrow=True)
        yield Line(x + 13 * b_x, y + 8 * b_y, x + 13 * a_x, y + 8 * a_y, NORMAL, arrow=True)
    yield note(2.0, y - 1.5, "leading", "start")
    yield note(BOARD - 2.0, y - 1.5, "trailing", "end")
    yield note(x, 59.5, "upper")
    yield note(x, 3.0, "lower")


def lifting(spec: RotorSpec, _: Figures) -> Diagram:
    """Draw the rotor from above with two lifters and the guide at the hub."""
    return Diagram(
        name="lifting",
        width=BOARD,
        height=50.0,
        title="Who stands where",
        description="\n".join(
            [
                "The rotor from above. One lifter at blade A, one at blade B, both at the same distance.",
                "A third person guides the hub onto the head. Nobody stands below.",
                f"Blade A: {spec.rotor.mark_a}. Blade B: {spec.rotor.mark_b}.",
            ]
        ),
        shapes=tuple(_lifters(spec)),
    )


def _lifters(spec: RotorSpec) -> Iterator[DrawnShape]:
    y = 28.0
    yield box(0.6, y - 4, 50.0, y + 4, NORMAL)
    yield box(68.0, y - 4, BOARD - 0.6, y + 4, NORMAL)
    yield box(46.0, y - 2.5, 72.0, y + 2.5, HEAVY, "white")
    yield Label(10.0, y - 2.2, "A", 6.0, bold=True)
    yield from marks(15.0, y, spec.rotor.mark_a)
    yield Label(96.0, y - 2.2, "B", 6.0, bold=True)
    yield from marks(101.0, y, spec.rotor.mark_b)
    for x, words in ((28.0, "lifter"), (90.0, "lifter")):
        yield Disc(x, y - 10, 3.2, "black")
        yield note(x, y - 20.0, words)
        yield Line(x, y - 6.5, x, y - 4.5, NORMAL)
    yield Polygon(((_MIDDLE - 3.5, y + 8), (_MIDDLE + 3.5, y + 8), (_MIDDLE, y + 3.5)), "black", FINE)
    yield note(_MIDDLE, y + 11.0, "guide")
