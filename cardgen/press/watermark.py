"""The words NOT ISSUED under the text of a draft, as thin outlines in the one tint.

They are drawn as shapes, not as type: no search finds them, no reader mixes them into the text,
and outlines take no contrast from the words above them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import lru_cache

from cardgen.press.marks import PolygonMark, Rect

_Outline = tuple[tuple[float, float], ...]

#: Block letters six units high; a letter's width is its widest point.
_LETTERS: Mapping[str, tuple[_Outline, ...]] = {
    "N": (((0, 0), (0, 6), (1.2, 6), (3, 2.4), (3, 6), (4, 6), (4, 0), (2.8, 0), (1, 3.6), (1, 0)),),
    "O": (
        ((1, 0), (0, 1), (0, 5), (1, 6), (3, 6), (4, 5), (4, 1), (3, 0)),
        ((1.4, 1), (1, 1.4), (1, 4.6), (1.4, 5), (2.6, 5), (3, 4.6), (3, 1.4), (2.6, 1)),
    ),
    "T": (((0, 6), (4, 6), (4, 5), (2.5, 5), (2.5, 0), (1.5, 0), (1.5, 5), (0, 5)),),
    "I": (((0, 0), (0, 6), (1, 6), (1, 0)),),
    "S": (
        (
            *((0, 0), (3, 0), (4, 1), (4, 2.5), (3, 3.5), (1, 3.5), (1, 5), (4, 5)),
            *((4, 6), (1, 6), (0, 5), (0, 3.5), (1, 2.5), (3, 2.5), (3, 1), (0, 1)),
        ),
    ),
    "U": (
        (
            *((0, 6), (1, 6), (1, 1.4), (1.4, 1), (2.6, 1), (3, 1.4)),
            *((3, 6), (4, 6), (4, 1), (3, 0), (1, 0), (0, 1)),
        ),
    ),
    "E": (
        (
            *((0, 0), (0, 6), (4, 6), (4, 5), (1, 5), (1, 3.5)),
            *((3.5, 3.5), (3.5, 2.5), (1, 2.5), (1, 1), (4, 1), (4, 0)),
        ),
    ),
    "D": (
        ((0, 0), (0, 6), (3, 6), (4, 5), (4, 1), (3, 0)),
        ((1, 1), (1, 5), (2.6, 5), (3, 4.6), (3, 1.4), (2.6, 1)),
    ),
}
_WORDS = "NOT ISSUED"
_GAP, _SPACE, _HEIGHT = 1.0, 3.0, 6.0


@lru_cache(maxsize=64)
def watermark(place: Rect, times: int = 3) -> tuple[PolygonMark, ...]:
    """Write NOT ISSUED across a rectangle, several times from top to bottom."""
    return tuple(_outlines(place, times))


def _outlines(place: Rect, times: int) -> Iterable[PolygonMark]:
    wide = sum(_advance(letter) for letter in _WORDS) - _GAP
    unit = (place.x2 - place.x1) / wide
    room = (place.y2 - place.y1) / times
    for index in range(times):
        low = place.y1 + room * index + (room - _HEIGHT * unit) / 2
        x = place.x1
        for letter in _WORDS:
            for outline in _LETTERS.get(letter, ()):
                points = tuple((x + dx * unit, low + dy * unit) for dx, dy in outline)
                yield PolygonMark(points, weight=1.0, tone="watermark")
            x += _advance(letter) * unit


def _advance(letter: str) -> float:
    if letter == " ":
        return _SPACE
    return max(x for outline in _LETTERS[letter] for x, _ in outline) + _GAP
