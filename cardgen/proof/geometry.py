"""What reading text back cannot see: print outside its frame, over other print, or the colour of its ground.

Text that is painted over or clipped still reads back perfectly, so the record itself is examined,
and the finished file for clip paths, which the press never uses.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

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

#: A text's box: from under its descenders to over its capitals, in parts of the size.
_BELOW, _ABOVE = 0.2, 0.7
#: What no line may cross: from just over the baseline to the height of lower-case letters.
_CORE_LOW, _CORE_HIGH = 0.08, 0.46
_SLACK = 0.05


@dataclass(frozen=True)
class Fault:
    """Print that stands where it must not: which card, which page of the file, which text, what is wrong."""

    card: str
    side: int
    text: str
    what: str

    def __str__(self) -> str:
        """Say it in one line."""
        return f'card {self.card}, page {self.side}, "{self.text}": {self.what}'


def check_geometry(sides: Sequence[Side]) -> tuple[Fault, ...]:
    """Examine the record of a file's sides; pages count from 1."""
    faults: list[Fault] = []
    for number, side in enumerate(sides, start=1):
        for text, what in (*_outside(side), *_meeting(side), *_ground(side), *_crossed(side)):
            faults.append(Fault(side.card_id, number, text, what))
    return tuple(faults)


def check_clips(pdf: bytes) -> tuple[Fault, ...]:
    """Find clip paths in a finished file; none is ever made by the press."""
    import pypdfium2
    import pypdfium2.raw as raw

    document = pypdfium2.PdfDocument(pdf)
    faults: list[Fault] = []
    for number, page in enumerate(document, start=1):
        # Asked directly: wrapping each of a page's hundreds of objects would take most of the time.
        items = (raw.FPDFPage_GetObject(page, index) for index in range(raw.FPDFPage_CountObjects(page)))
        if any(raw.FPDFClipPath_CountPaths(raw.FPDFPageObj_GetClipPath(item)) > 0 for item in items):
            faults.append(Fault("", number, "", "something on this page is clipped"))
        page.close()
    document.close()
    return tuple(faults)


def box_of(mark: Mark) -> Rect:
    """Give the rectangle that a mark's ink stays inside."""
    match mark:
        case TextMark():
            low, high = mark.y - _BELOW * mark.size, mark.y + _ABOVE * mark.size
            return Rect(mark.x, low, mark.x + mark.width, high)
        case LineMark():
            return _grown([(mark.x1, mark.y1), (mark.x2, mark.y2)], 0.0)
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


def _texts(side: Side) -> list[TextMark]:
    return [mark for mark in side.marks if isinstance(mark, TextMark)]


def _name(mark: Mark) -> str:
    return mark.text if isinstance(mark, TextMark) else type(mark).__name__.removesuffix("Mark").lower()


def _outside(side: Side) -> Iterable[tuple[str, str]]:
    frame = side.frame
    for mark in side.marks:
        box = box_of(mark)
        over = max(frame.x1 - box.x1, frame.y1 - box.y1, box.x2 - frame.x2, box.y2 - frame.y2)
        if over > _SLACK:
            yield _name(mark), f"stands {over:.1f} pt outside the frame"


def _meeting(side: Side) -> Iterable[tuple[str, str]]:
    texts = sorted(((box_of(mark), mark.text) for mark in _texts(side)), key=lambda item: item[0].y1)
    for index, (box, text) in enumerate(texts):
        for other, below in texts[index + 1 :]:
            if other.y1 >= box.y2 - _SLACK:
                break
            if min(box.x2, other.x2) - max(box.x1, other.x1) > _SLACK:
                yield text, f'meets "{below}"'


def _covers(outer: Rect, inner: Rect) -> bool:
    return (
        outer.x1 <= inner.x1 + _SLACK
        and outer.y1 <= inner.y1 + _SLACK
        and outer.x2 >= inner.x2 - _SLACK
        and outer.y2 >= inner.y2 - _SLACK
    )


def _meets(one: Rect, other: Rect) -> bool:
    return (
        min(one.x2, other.x2) - max(one.x1, other.x1) > _SLACK
        and min(one.y2, other.y2) - max(one.y1, other.y1) > _SLACK
    )


def _fill(mark: Mark) -> Tone | None:
    if isinstance(mark, QrMark):
        return "black"
    return mark.fill if isinstance(mark, RectMark | ArcMark | PolygonMark) else None


def _ground(side: Side) -> Iterable[tuple[str, str]]:
    """Walk the marks in the order they are painted and look at what lies under and over each text."""
    grounds: list[tuple[Rect, Tone]] = []
    texts: list[tuple[Rect, TextMark]] = []
    for mark in side.marks:
        if isinstance(mark, TextMark):
            box = _core(mark)
            under: Tone = next((tone for rect, tone in reversed(grounds) if _meets(rect, box)), "white")
            if (under == "black") != (mark.tone == "white"):
                yield mark.text, f"is {mark.tone} on {under}"
            texts.append((box, mark))
        elif tone := _fill(mark):
            box = box_of(mark)
            grounds.append((box, tone))
            yield from ((text.text, "is painted over") for rect, text in texts if _meets(rect, box))


def _core(mark: TextMark) -> Rect:
    low, high = mark.y + _CORE_LOW * mark.size, mark.y + _CORE_HIGH * mark.size
    return Rect(mark.x, low, mark.x + mark.width, high)


def _crossed(side: Side) -> Iterable[tuple[str, str]]:
    lines = [(box_of(mark), mark) for mark in side.marks if isinstance(mark, LineMark)]
    for mark in _texts(side):
        core = _core(mark)
        for box, line in lines:
            if box.y1 <= core.y2 and box.y2 >= core.y1 and _crosses(line, core):
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
