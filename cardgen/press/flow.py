"""Boxes one below another, side after side.

Nothing is shrunk, clipped or split. Where a section would fit on one side but not on what is left
of this one, it begins the next. The white between boxes gives way, to a half at most, where that
saves a whole side: a card in fewer sides is read by more people.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from cardgen.press.boxes import Box, Keep
from cardgen.press.lines import DoesNotFitError

#: A side less full than this is not left for the sake of keeping a section whole.
_FULL_ENOUGH = 0.8
#: Shares of the white between boxes, from generous to tight.
_AIR = (1.0, 0.75, 0.5)
#: What holds boxes together. Where no side could hold them all, the first of these counts by which every
#: part has room: a table too long for any side still ends in sight of what follows it.
_HOLDS: tuple[tuple[Keep, ...], ...] = (
    ("always", "if it can", "in sight"),
    ("always", "if it can"),
    ("always", "in sight"),
    ("always",),
)


@dataclass(frozen=True)
class Put:
    """A box and how far its top stands below the top of the side, in points."""

    box: Box
    down: float


@dataclass
class _Sides:
    height: float
    sides: list[list[Put]] = field(default_factory=lambda: [[]])
    used: float = 0.0

    @property
    def left(self) -> float:
        return self.height - self.used

    def turn(self) -> None:
        self.sides.append([])
        self.used = 0.0

    def put(self, box: Box) -> None:
        if not self.sides[-1] and box.again:
            self.put(box.again)
        self.used += box.space if self.sides[-1] else 0.0
        self.sides[-1].append(Put(box, self.used))
        self.used += box.height


def flow(sections: Iterable[Sequence[Box]], height: float) -> list[list[Put]]:
    """Put the boxes of a card's sections on sides of one height, in points.

    Raises `DoesNotFitError` for a box, with what must stay beside it, that is taller than a side.
    """
    boxes = [list(section) for section in sections]
    laid: list[list[list[Put]]] = []
    for air in _AIR:
        laid.append(_flow(_aired(boxes, air), height))
        if len(laid[-1]) == 1:
            break  # no less white could save another side
    return min(laid, key=len)


def _aired(sections: Sequence[Sequence[Box]], air: float) -> Sequence[Sequence[Box]]:
    """Give the boxes with a share of the white above them."""
    if air == 1:
        return sections
    return [[box.aired(air) for box in section] for section in sections]


def _flow(sections: Iterable[Sequence[Box]], height: float) -> list[list[Put]]:
    sides = _Sides(height)
    for section in sections:
        whole = _height(section)
        if sides.left < whole <= height and sides.used > _FULL_ENOUGH * height:
            sides.turn()
        for chain in _chains(section, _HOLDS[0]):
            for part in _parted(chain, height):
                _place(part, sides)
    return sides.sides


def _parted(chain: Sequence[Box], height: float) -> Sequence[Sequence[Box]]:
    """Part what is held together only as far as a side's height asks for."""
    parts: Sequence[Sequence[Box]] = (chain,)
    for holds in _HOLDS:
        parts = tuple(_chains(chain, holds))
        if all(_height(part, at_top=True) <= height for part in parts):
            break
    return parts


def _place(chain: Sequence[Box], sides: _Sides) -> None:
    if chain[0].over and sides.sides[-1]:
        sides.turn()
    if not _fits(chain, sides):
        if (over := _height(chain, at_top=True) - sides.height) > 1e-6:
            raise DoesNotFitError(chain[-1].name, over)
        sides.turn()
    for box in chain:
        sides.put(box)


def _fits(chain: Sequence[Box], sides: _Sides) -> bool:
    return _height(chain, at_top=not sides.sides[-1]) <= sides.left + 1e-6


def _height(boxes: Sequence[Box], at_top: bool = False) -> float:
    total = sum(box.space + box.height for box in boxes)
    if at_top and boxes:
        total += (boxes[0].again.height if boxes[0].again else 0.0) - boxes[0].space
    return total


def _chains(boxes: Iterable[Box], links: tuple[Keep, ...]) -> Iterable[tuple[Box, ...]]:
    """Give the boxes in the chains that stay together."""
    chain: list[Box] = []
    for box in boxes:
        chain.append(box)
        if box.keep not in links:
            yield tuple(chain)
            chain = []
    if chain:
        yield tuple(chain)
