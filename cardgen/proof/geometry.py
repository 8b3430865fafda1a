"""What reading text back cannot see: print outside its frame, over other print, or the colour of its ground.

Text that is painted over or clipped still reads back perfectly, so the record itself is examined,
and the finished file for clip paths, which the press never uses.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

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
    Tone,
)
from cardgen.proof.finished import Finished, opened

#: A text's box: from under its descenders to over its capitals, in parts of the size.
_BELOW, _ABOVE = 0.2, 0.7
#: What no line may cross: from just over the baseline to the height of lower-case letters.
_CORE_LOW, _CORE_HIGH = 0.08, 0.46
_SLACK = 0.05


#: A mark with the rectangle that its ink stays inside.
_Placed: TypeAlias = tuple[Mark, Rect]


@dataclass(frozen=True)
class GeometryFault:
    """Print that stands where it must not: which card, which page of the file, which text, what is wrong."""

    card: str
    side: int
    text: str
    what: str

    def __str__(self) -> str:
        """Say it in one line."""
        return f'card {self.card}, page {self.side}, "{self.text}": {self.what}'


def check_geometry(sides: Sequence[Side]) -> tuple[GeometryFault, ...]:
    """Examine the record of a file's sides; pages count from 1."""
    faults: list[GeometryFault] = []
    for number, side in enumerate(sides, start=1):
        marks = [(mark, box_of(mark)) for mark in side.marks]
        for text, what in (*_outside(side.frame, marks), *_meeting(marks), *_ground(marks), *_crossed(marks)):
            faults.append(GeometryFault(side.card_id, number, text, what))
    return tuple(faults)


def check_clips(pdf: bytes | Finished) -> tuple[GeometryFault, ...]:
    """Find clip paths in a finished file; none is ever made by the press."""
    import pypdfium2.raw as raw

    faults: list[GeometryFault] = []
    with opened(pdf) as file:
        for number in range(1, len(file) + 1):
            page = file.page(number)
            # Asked directly: wrapping each of a page's hundreds of objects would take most of the time.
            items = (raw.FPDFPage_GetObject(page, index) for index in range(raw.FPDFPage_CountObjects(page)))
            if any(raw.FPDFClipPath_CountPaths(raw.FPDFPageObj_GetClipPath(item)) > 0 for item in items):
                faults.append(GeometryFault("", number, "", "something on this page is clipped"))
    return tuple(faults)


def box_of(mark: Mark) -> Rect:
    """Give the rectangle that a mark's ink stays inside."""
    match mark:
        case TextMark():
            low, high = mark.y - _BELOW * mark.size, mark.y + _ABOVE * mark.size
            return Rect(mark.x, low, mark.x + mark.width, high)
        case LineMark():
            (x1, x2), (y1, y2) = sorted((mark.x1, mark.x2)), sorted((mark.y1, mark.y2))
            return Rect(x1, y1, x2, y2)
        case RectMark():
            rect = mark.rect
            return _grown([(rect.x1, rect.y1), (rect.x2, rect.y2)], mark.weight / 2)
        case ArcMark():
            r = mark.radius
            return _grown([(mark.x - r, mark.y - r), (mark.x + r, mark.y + r)], mark.weight / 2)
        case PolygonMark():
            return _grown(mark.points, 0.0)
        case QrMark():
            wide = len(mark.matrix) * mark.module
            return Rect(mark.x, mark.y, mark.x + wide, mark.y + wide)


def _grown(points: Sequence[tuple[float, float]], by: float) -> Rect:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return Rect(min(xs) - by, min(ys) - by, max(xs) + by, max(ys) + by)


def _name(mark: Mark) -> str:
    return mark.text if isinstance(mark, TextMark) else type(mark).__name__.removesuffix("Mark").lower()


def _outside(frame: Rect, marks: Iterable[_Placed]) -> Iterable[tuple[str, str]]:
    x1, y1, x2, y2 = frame
    for mark, box in marks:
        over = max(x1 - box.x1, y1 - box.y1, box.x2 - x2, box.y2 - y2)
        if over > _SLACK:
            yield _name(mark), f"stands {over:.1f} pt outside the frame"


def _meeting(marks: Iterable[_Placed]) -> Iterable[tuple[str, str]]:
    texts = [(box, mark.text) for mark, box in marks if isinstance(mark, TextMark)]
    texts.sort(key=lambda item: item[0].y1)
    for index, (box, text) in enumerate(texts):
        for other, below in texts[index + 1 :]:
            if other.y1 >= box.y2 - _SLACK:
                break
            if min(box.x2, other.x2) - max(box.x1, other.x1) > _SLACK:
                yield text, f'meets "{below}"'


def _meets(one: Rect, other: Rect) -> bool:
    # Most do not, and the first line tells.
    return (
        (one.y1 < other.y2 and other.y1 < one.y2)
        and min(one.x2, other.x2) - max(one.x1, other.x1) > _SLACK
        and min(one.y2, other.y2) - max(one.y1, other.y1) > _SLACK
    )


def _fill(mark: Mark) -> Tone | None:
    if isinstance(mark, QrMark):
        return "black"
    return mark.fill if isinstance(mark, RectMark | ArcMark | PolygonMark) else None


def _ground(marks: Iterable[_Placed]) -> Iterable[tuple[str, str]]:
    """Walk the marks in the order they are painted and look at what lies under and over each text."""
    grounds: list[tuple[Rect, Tone]] = []
    texts: list[tuple[Rect, TextMark]] = []
    for mark, box in marks:
        if isinstance(mark, TextMark):
            core = _core(mark)
            under: Tone = next((tone for rect, tone in reversed(grounds) if _meets(rect, core)), "white")
            if (under == "black") != (mark.tone == "white"):
                yield mark.text, f"is {mark.tone} on {under}"
            texts.append((core, mark))
        elif tone := _fill(mark):
            grounds.append((box, tone))
            yield from ((text.text, "is painted over") for rect, text in texts if _meets(rect, box))


def _core(mark: TextMark) -> Rect:
    low, high = mark.y + _CORE_LOW * mark.size, mark.y + _CORE_HIGH * mark.size
    return Rect(mark.x, low, mark.x + mark.width, high)


def _crossed(marks: Iterable[_Placed]) -> Iterable[tuple[str, str]]:
    lines = [(box.y1, box.y2, mark) for mark, box in marks if isinstance(mark, LineMark)]
    lines.sort(key=lambda item: item[0])
    for mark, _ in marks:
        if isinstance(mark, TextMark):
            core = _core(mark)
            for low, high, line in lines:
                if low > core.y2:
                    break
                if high >= core.y1 and _crosses(line, core):
                    yield mark.text, "is crossed by a line"
                    break


def _crosses(line: LineMark, box: Rect) -> bool:
    """Whether a segment enters a rectangle, by cutting it at each side (Liang and Barsky, 1984)."""
    dx, dy = line.x2 - line.x1, line.y2 - line.y1
    start, end = 0.0, 1.0
    for step, room in (
        (-dx, line.x1 - box.x1),
        (dx, box.x2 - line.x1),
        (-dy, line.y1 - box.y1),
        (dy, box.y2 - line.y1),
    ):
        if step == 0:
            if room < 0:
                return False
        elif step < 0:
            start = max(start, room / step)
        else:
            end = min(end, room / step)
    return start < end
