"""Leaves with two sides, and two leaves on one sheet of an ordinary printer, with marks where to cut.

A leaf is one side with its back. A card begins on a leaf of its own, so that a laminated card never
carries another card on its back.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache

from cardgen.press.edition import MM, Edition
from cardgen.press.marks import (
    ArcMark,
    LineMark,
    Mark,
    PolygonMark,
    QrMark,
    Rect,
    RectMark,
    Side,
    TextMark,
)
from cardgen.press.qr import on_a_dot
from cardgen.press.type import width

#: Cut marks keep this far from the edge, which printers cannot reach, and are this long.
_MARK_FROM, _MARK_TO = 4.5 * MM, 8 * MM
BLANK = "no print on this side"
#: How a leaf and a sheet with two of them are printed.
FLIP_LEAF = "print on both sides at full size, flip on the long edge"
FLIP_SHEET = "print on both sides at full size, flip on the short edge, cut at the marks"


def with_backs(sides: Sequence[Side], edition: Edition) -> tuple[Side, ...]:
    """Give the sides with a blank back where a card ends on a front, so that each card begins on one."""
    return tuple(side or _blank_back(edition) for front, back in _leaves(sides) for side in (front, back))


def _blank_back(edition: Edition) -> Side:
    paper = edition.paper
    marks = (
        *_centred(BLANK, paper.width / 2, paper.height / 2, edition),
        *_centred(FLIP_LEAF, paper.width / 2, paper.height / 2 - 2 * edition.type.small, edition),
    )
    frame = Rect(0.0, 0.0, paper.width, paper.height)
    return Side("", "blank back", 0, 0, 2, 2, paper.width, paper.height, frame, marks)


def two_up(sides: Sequence[Side], edition: Edition) -> tuple[Side, ...]:
    """Put sides on sheets twice as wide, front and back in turn, for printing on both sides.

    The sheet turns over its short edge: what is left on the front has its back at the right.
    """
    leaves = list(_leaves(sides))
    sheets: list[Side] = []
    for index in range(0, len(leaves), 2):
        pair = leaves[index : index + 2]
        fronts = [leaf[0] for leaf in pair]
        backs = [leaf[1] for leaf in reversed(pair)]
        if len(pair) == 1:
            fronts, backs = [fronts[0], None], [None, backs[0]]
        number = index // 2 + 1
        sheets.append(_sheet(fronts, edition, number, "front"))
        sheets.append(_sheet(backs, edition, number, "back"))
    return tuple(sheets)


def _leaves(sides: Sequence[Side]) -> Iterable[tuple[Side | None, Side | None]]:
    index = 0
    while index < len(sides):
        front = sides[index]
        back = sides[index + 1] if index + 1 < len(sides) else None
        if back is not None and back.card_id != front.card_id:
            back = None
        yield front, back
        index += 2 if back else 1


def _sheet(halves: Sequence[Side | None], edition: Edition, number: int, face: str) -> Side:
    wide, high = edition.paper.width, edition.paper.height
    # An A4 sheet is a millimetre wider than two A5 sheets; what is over goes to the outer edges.
    sheet = _sheet_width(edition)
    margin = (sheet - 2 * wide) / 2
    marks: list[Mark] = []
    for place, half in enumerate(halves):
        left = margin + place * wide
        marks += _blank(left, wide, high, edition) if half is None else moved(half.marks, left)
    cut = sheet / 2
    marks += [LineMark(cut, _MARK_FROM, cut, _MARK_TO, 0.25)]
    marks += [LineMark(cut, high - _MARK_TO, cut, high - _MARK_FROM, 0.25)]
    if margin > 0.1:
        for x in (margin, sheet - margin):
            marks += [LineMark(x, y, x, y + _MARK_TO - _MARK_FROM, 0.25) for y in (_MARK_FROM, high - _MARK_TO)]
    if face == "front":
        marks += _centred(FLIP_SHEET, sheet / 4, high - _MARK_TO + 0.25 * edition.type.small, edition)
    inside = Rect(0.0, _MARK_FROM, sheet, high - _MARK_FROM)
    title = f"sheet {number}, {face}"
    return Side("", title, number, 0, 1 if face == "front" else 2, 2, sheet, high, inside, tuple(marks))


def _sheet_width(edition: Edition) -> float:
    """A4 across is 297 mm, though two A5 are 296: ISO 216 rounds each size down by itself."""
    return 297 * MM if edition.paper.name == "A5" else 2 * edition.paper.width


def _blank(left: float, wide: float, high: float, edition: Edition) -> list[Mark]:
    return _centred(BLANK, left + wide / 2, high / 2, edition)


def _centred(words: str, x: float, y: float, edition: Edition) -> list[Mark]:
    size = edition.type.small
    long = width(words, "regular", size)
    return [TextMark(x - long / 2, y, words, "regular", size, long, role="frame")]


def moved(marks: Iterable[Mark], dx: float) -> Iterable[Mark]:
    """Give marks again, farther to the right."""
    for mark in marks:
        match mark:
            case TextMark() | ArcMark():
                yield mark._replace(x=mark.x + dx)
            case QrMark():
                yield mark._replace(x=on_a_dot(mark.x + dx))
            case LineMark():
                yield mark._replace(x1=mark.x1 + dx, x2=mark.x2 + dx)
            case RectMark():
                yield mark._replace(rect=mark.rect.moved(dx, 0.0))
            case PolygonMark():
                yield _moved_outline(mark, dx)


@lru_cache(maxsize=1024)
def _moved_outline(mark: PolygonMark, dx: float) -> PolygonMark:
    return mark._replace(points=tuple((x + dx, y) for x, y in mark.points))
