"""Whether the ink of a number can be seen on the paper, where a wrong or hidden digit can hurt.

Every page that shows torque or track is rendered, and beside it a page with nothing but its
numbers. In each number's place both must be black and white alike; text that is clipped, or
painted over, reads back perfectly and fails here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor
from typing import Any

from cardgen.press.canvas import paint_bare
from cardgen.press.marks import Side, TextMark
from cardgen.proof.by_place import STRICT
from cardgen.proof.geometry import Fault

#: Pixels for an em of the smallest number on a page: digits are then about ten pixels high.
_PIXELS = 15.0
#: Two shades are alike within this much of 255: the tint under a number is not ink.
_ALIKE = 96
#: Share of a number's ink that may differ, for the edges of letters.
_TOLERANCE = 0.05
_WHITE = bytes(255 - value for value in range(256))


@dataclass(frozen=True)
class _Picture:
    """A page in shades of grey, rows from the top."""

    width: int
    height: int
    stride: int
    shades: bytes
    scale: float

    def row(self, y: int, left: int, right: int) -> bytes:
        return self.shades[y * self.stride + left : y * self.stride + right]


def check_ink(pdf: bytes, sides: Sequence[Side]) -> tuple[Fault, ...]:
    """Look at the numbers of every torque and track page of a finished file; pages count from 1."""
    import pypdfium2

    looked_at = [(number, side) for number, side in enumerate(sides, start=1) if _is_strict(side)]
    looked_at = [(number, side) for number, side in looked_at if _numbers(side)]
    if not looked_at:
        return ()
    bare = paint_bare([_only_numbers(side) for _, side in looked_at])
    finished, alone = pypdfium2.PdfDocument(pdf), pypdfium2.PdfDocument(bare)
    faults: list[Fault] = []
    for place, (number, side) in enumerate(looked_at):
        if number > len(finished):
            faults.append(Fault(side.card_id, number, "", "this page is missing"))
            continue
        scale = _PIXELS / min(max(mark.size, 10.0) for mark in _numbers(side))
        seen, wanted = _picture(finished[number - 1], scale), _picture(alone[place], scale)
        faults += _compared(seen, wanted, side, number)
    finished.close()
    alone.close()
    return tuple(faults)


def _is_strict(side: Side) -> bool:
    # A sheet with two sides on it has no card of its own, and may show any of them.
    return side.card_id in STRICT or not side.card_id


def _numbers(side: Side) -> list[TextMark]:
    return [mark for mark in side.marks if isinstance(mark, TextMark) and mark.role == "figure"]


def _only_numbers(side: Side) -> Side:
    return replace(side, marks=tuple(replace(mark, tone="black") for mark in _numbers(side)))


def _picture(page: Any, scale: float) -> _Picture:
    bitmap = page.render(scale=scale, grayscale=True)
    picture = _Picture(bitmap.width, bitmap.height, bitmap.stride, bytes(bitmap.buffer), scale)
    bitmap.close()
    page.close()
    return picture


def _compared(seen: _Picture, wanted: _Picture, side: Side, number: int) -> Iterable[Fault]:
    if (seen.width, seen.height) != (wanted.width, wanted.height):
        yield Fault(side.card_id, number, "", "this page has another size than was laid out")
        return
    for mark in _numbers(side):
        ink, other = _differing(seen, wanted, mark, side.height)
        if other > max(2, _TOLERANCE * ink):
            yield Fault(
                side.card_id, number, mark.text, f"{other} of {ink} pixels of its ink are not as they should be"
            )


def _differing(seen: _Picture, wanted: _Picture, mark: TextMark, height: float) -> tuple[int, int]:
    """Count the dark pixels a number should have, and those that are other than they should be."""
    scale = wanted.scale
    # Whole pixels inside the number's own width, so that a full stop after it is not counted.
    left, right = ceil(mark.x * scale), floor((mark.x + mark.width) * scale)
    top, bottom = int((height - mark.y - 0.7 * mark.size) * scale), int((height - mark.y) * scale) + 1
    ink = other = 0
    for y in range(max(0, top), min(wanted.height, bottom)):
        should, does = wanted.row(y, left, right), seen.row(y, left, right)
        if mark.tone == "white":
            does = does.translate(_WHITE)
        ink += sum(shade < 128 for shade in should)
        other += sum(abs(a - b) > _ALIKE for a, b in zip(should, does, strict=True))
    return ink, other
