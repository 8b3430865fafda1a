"""Whether the ink of a number can be seen on the paper, where a wrong or hidden digit can hurt.

Every page that shows torque or track is rendered, and beside it a page with nothing but its
numbers. In each number's place both must be black and white alike; text that is clipped, or
painted over, reads back perfectly and fails here.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor
from typing import Any, NamedTuple

from cardgen.press.canvas import paint_bare
from cardgen.press.marks import Side, TextMark
from cardgen.proof.finished import Finished, opened
from cardgen.proof.geometry import GeometryFault
from cardgen.proof.read_back import STRICT

#: Pixels for an em of the smallest number on a page: digits are then about ten pixels high.
_PIXELS = 15.0
#: Two shades are alike within this much of 255: the tint under a number is not ink.
_ALIKE = 96
#: Share of a number's ink that may differ, for the edges of letters; so many pixels always may.
_TOLERANCE, _FEW = 0.05, 2
_WHITE = bytes(255 - value for value in range(256))


class _Pixels(NamedTuple):
    """A rectangle of whole pixels, counted from the upper left of the page."""

    left: int
    top: int
    right: int
    bottom: int

    @property
    def is_empty(self) -> bool:
        return self.right <= self.left or self.bottom <= self.top


@dataclass(frozen=True)
class _Picture:
    """A part of a page in shades of grey, rows from the top."""

    part: _Pixels
    stride: int
    shades: bytes

    def row(self, y: int, left: int, right: int) -> bytes:
        start = (y - self.part.top) * self.stride - self.part.left
        return self.shades[start + left : start + right]


def check_ink(pdf: bytes | Finished, sides: Sequence[Side]) -> tuple[GeometryFault, ...]:
    """Look at the numbers of every torque and track page of a finished file; pages count from 1."""
    looked_at = [(number, side) for number, side in enumerate(sides, start=1) if _is_strict(side)]
    looked_at = [(number, side) for number, side in looked_at if _numbers(side)]
    if not looked_at:
        return ()
    bare = paint_bare([_only_numbers(side) for _, side in looked_at])
    faults: list[GeometryFault] = []
    with opened(pdf) as finished, opened(bare) as alone:
        for place, (number, side) in enumerate(looked_at, start=1):
            if number > len(finished):
                faults.append(GeometryFault(side.card_id, number, "", "this page is missing"))
            else:
                faults += _compared(finished.page(number), alone.page(place), side, number)
    return tuple(faults)


def _is_strict(side: Side) -> bool:
    # A sheet with two sides on it has no card of its own, and may show any of them.
    return not side.card_id or not STRICT.isdisjoint((side.card_id, *side.cards))


def _numbers(side: Side) -> list[TextMark]:
    return [mark for mark in side.marks if isinstance(mark, TextMark) and mark.role == "figure"]


def _only_numbers(side: Side) -> Side:
    return replace(side, marks=tuple(mark._replace(tone="black") for mark in _numbers(side)))


def _compared(finished: Any, alone: Any, side: Side, number: int) -> Iterable[GeometryFault]:
    numbers = _numbers(side)
    scale = _PIXELS / min(max(mark.size, 10.0) for mark in numbers)
    sheet, laid_out = _sheet(finished, scale), _sheet(alone, scale)
    if sheet != laid_out:
        yield GeometryFault(side.card_id, number, "", "this page has another size than was laid out")
        return
    places = [_place(mark, side.height, scale, sheet) for mark in numbers]
    if lost := [mark.text for mark, place in zip(numbers, places, strict=True) if place.is_empty]:
        yield from (GeometryFault(side.card_id, number, text, "has no place on this page") for text in lost)
        return
    around = _around(places)
    seen, wanted = _picture(finished, scale, sheet, around), _picture(alone, scale, sheet, around)
    for mark, place in zip(numbers, places, strict=True):
        rows = list(_rows(seen, wanted, place, mark.tone == "white"))
        # Most rows are the same to the last shade, and need no look at their pixels.
        other = sum(_differing(should, does) for should, does in rows if should != does)
        if other <= _FEW:
            continue
        ink = sum(shade < 128 for should, _ in rows for shade in should)
        if other > _TOLERANCE * ink:
            yield GeometryFault(
                side.card_id, number, mark.text, f"{other} of {ink} pixels of its ink are not as they should be"
            )


def _sheet(page: Any, scale: float) -> _Pixels:
    width, height = page.get_size()
    return _Pixels(0, 0, ceil(width * scale), ceil(height * scale))


def _place(mark: TextMark, height: float, scale: float, sheet: _Pixels) -> _Pixels:
    """Find a number's pixels: whole ones inside its width, so that a full stop after it is not counted."""
    left, right = ceil(mark.x * scale), floor((mark.x + mark.width) * scale)
    top, bottom = int((height - mark.y - 0.7 * mark.size) * scale), int((height - mark.y) * scale) + 1
    return _Pixels(max(0, left), max(0, top), min(sheet.right, right), min(sheet.bottom, bottom))


def _around(places: Iterable[_Pixels]) -> _Pixels:
    """Find the part of a page that holds all its numbers: rendering the rest would take most of the time."""
    lefts, tops, rights, bottoms = zip(*places, strict=True)
    return _Pixels(min(lefts), min(tops), max(rights), max(bottoms))


def _picture(page: Any, scale: float, sheet: _Pixels, part: _Pixels) -> _Picture:
    cut = (part.left, sheet.bottom - part.bottom, sheet.right - part.right, part.top)
    # Half a pixel less, because pypdfium2 takes points and rounds them up to whole pixels.
    bitmap = page.render(scale=scale, grayscale=True, crop=tuple((pixels - 0.5) / scale for pixels in cut))
    picture = _Picture(part, bitmap.stride, bytes(bitmap.buffer))
    bitmap.close()
    return picture


def _rows(seen: _Picture, wanted: _Picture, place: _Pixels, is_white: bool) -> Iterable[tuple[bytes, bytes]]:
    """Give the rows of pixels a number should have, each with the one that is there."""
    left, top, right, bottom = place
    for y in range(top, bottom):
        does = seen.row(y, left, right)
        yield wanted.row(y, left, right), does.translate(_WHITE) if is_white else does


def _differing(should: bytes, does: bytes) -> int:
    return sum(abs(a - b) > _ALIKE for a, b in zip(should, does, strict=True))
