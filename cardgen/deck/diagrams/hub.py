"""Drawings for the hub: its block with the contact faces, and the shim stacks of a pitch block."""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Diagram, DrawnShape, Line
from cardgen.deck.diagrams.parts import BOARD, box, dial, note
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
                "The teeter bolt goes through two cheeks, the hub block between them.",
                f"Between block and cheek on each side: {thrust}.",
                "The dial touches the side of the block, along the bolt.",
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
                "The pitch block of one blade, seen from its end, front at the left, a stack at each corner.",
                f"These two stacks change places, whole: {'; '.join(corners)}.",
                "One side is opened, swapped and closed before the other.",
            ]
        ),
        shapes=tuple(_stacks(_places(corners))),
    )


#: How corners are said: which side of the block, and which end of its height.
_ACROSS = {"front": -1, "leading": -1, "rear": 1, "trailing": 1}
_UP = {"upper": 1, "lower": -1}


def _places(corners: tuple[str, ...]) -> list[tuple[int, int]]:
    """Find both corners; none where one of them is said in other words."""
    found = []
    for corner in corners:
        words = [word.strip() for word in corner.split(",")]
        across = [_ACROSS[word] for word in words if word in _ACROSS]
        up = [_UP[word] for word in words if word in _UP]
        if len(across) == len(up) == 1 and len(words) == 2:
            found.append((across[0], up[0]))
    return found if len(found) == 2 else []


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
    yield note(2.0, y - 1.5, "front", "start")
    yield note(BOARD - 2.0, y - 1.5, "rear", "end")
    yield note(x, 59.5, "upper")
    yield note(x, 3.0, "lower")
