"""Marks as the operators of a PDF page's content (ISO 32000-2, 8 and 9), written directly.

Lengths are written to a thousandth of a point. One line of type is one text object, so that every
reader gives its words in the order they are read.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from itertools import groupby
from math import ceil, cos, radians, sin, tan
from typing import TypeAlias

from cardgen.press.marks import (
    ArcMark,
    Face,
    LineMark,
    Mark,
    PolygonMark,
    QrMark,
    RectMark,
    TextMark,
    Tone,
)
from cardgen.press.qr import dark_runs

#: Gives a text in one face as pairs of a font's name in the file and its escaped codes.
Encoder: TypeAlias = Callable[[str, Face], Sequence[tuple[str, str]]]

_GREYS: Mapping[Tone, str] = {"black": "0", "white": "1", "tint": ".9", "watermark": ".9"}
_DASH, _SPACE = 3.0, 2.0


def content(marks: Iterable[Mark], encode: Encoder) -> str:
    """Write marks in their order."""
    parts: list[str] = []
    for key, group in groupby(marks, key=_kind):
        if isinstance(key, float):
            parts.append(_line([mark for mark in group if isinstance(mark, TextMark)], encode))
        elif key:
            parts.append(_polygons(tuple(mark for mark in group if isinstance(mark, PolygonMark))))
        else:
            parts += [_shape(mark) for mark in group]
    return "\n".join(parts)


def _kind(mark: Mark) -> float | tuple[Tone | None, float, Tone] | None:
    """Tell which neighbours are written together: a line of type, polygons drawn alike."""
    if isinstance(mark, TextMark):
        return float(mark.y)
    return (mark.fill, mark.weight, mark.tone) if isinstance(mark, PolygonMark) and not mark.fill else None


def _line(marks: Sequence[TextMark], encode: Encoder) -> str:
    parts, tone, font = ["BT"], "", ""
    for mark in marks:
        if (grey := _GREYS[mark.tone]) != tone:
            parts.append(f"{grey} g")
            tone = grey
        parts.append(f"1 0 0 1 {mark.x:.3f} {mark.y:.3f} Tm")
        for name, codes in encode(mark.text, mark.face):
            if (now := f"{name} {mark.size:.3f} Tf") != font:
                parts.append(now)
                font = now
            parts.append(f"({codes}) Tj")
    return " ".join((*parts, "ET"))


def _shape(mark: Mark) -> str:
    match mark:
        case LineMark():
            return _stroke(mark)
        case RectMark():
            rect = mark.rect
            size = f"{rect.x2 - rect.x1:.3f} {rect.y2 - rect.y1:.3f}"
            return _inked(f"{rect.x1:.3f} {rect.y1:.3f} {size} re", mark.fill, mark.weight)
        case ArcMark():
            return _inked(_arc(mark), mark.fill, mark.weight)
        case PolygonMark():
            return _polygons((mark,))
        case QrMark():
            return _modules(mark)
        case TextMark():
            raise TypeError("type is written a line at a time")


def _stroke(line: LineMark) -> str:
    path = f"{line.x1:.3f} {line.y1:.3f} m {line.x2:.3f} {line.y2:.3f} l S"
    solid = f"0 G {line.weight:.3f} w {path}"
    if not line.dashed:
        return solid
    unit = max(1.0, line.weight)
    return f"[{_DASH * unit:.3f} {_SPACE * unit:.3f}] 0 d {solid} [] 0 d"


@lru_cache(maxsize=256)
def _polygons(marks: tuple[PolygonMark, ...]) -> str:
    # Remembered, because every side of a draft has the same outlines under its text.
    first = marks[0]
    paths = []
    for mark in marks:
        start, *rest = (f"{x:.3f} {y:.3f}" for x, y in mark.points)
        paths.append(f"{start} m {' '.join(f'{point} l' for point in rest)} h")
    return _inked(" ".join(paths), first.fill, first.weight, first.tone)


def _inked(path: str, fill: Tone | None, weight: float, tone: Tone = "black") -> str:
    """Fill a path, stroke it, or both."""
    inks = f"{_GREYS[fill]} g " if fill else ""
    if weight:
        inks += f"{_GREYS[tone]} G {weight:.3f} w "
    return f"{inks}{path} {'B' if fill and weight else 'f' if fill else 'S' if weight else 'n'}"


def _arc(arc: ArcMark) -> str:
    """Draw part of a circle as Bézier curves of at most a quarter turn each.

    A curve whose handles are 4/3 tan(angle/4) long leaves the circle by less than 0.03 % of its radius.
    """
    turn = arc.end - arc.start
    count = max(1, ceil(turn / 90 - 1e-9))
    step = radians(turn / count)
    handle = 4 / 3 * tan(step / 4) * arc.radius
    angle = radians(arc.start)
    x, y = arc.x + arc.radius * cos(angle), arc.y + arc.radius * sin(angle)
    parts = [f"{x:.3f} {y:.3f} m"]
    for _ in range(count):
        x1, y1 = x - handle * sin(angle), y + handle * cos(angle)
        angle += step
        x, y = arc.x + arc.radius * cos(angle), arc.y + arc.radius * sin(angle)
        x2, y2 = x + handle * sin(angle), y - handle * cos(angle)
        parts.append(f"{x1:.3f} {y1:.3f} {x2:.3f} {y2:.3f} {x:.3f} {y:.3f} c")
    return " ".join((*parts, "h") if turn >= 360 else parts)


def _modules(mark: QrMark) -> str:
    """Write a QR symbol as one string: a rectangle for every run of dark modules in a row."""
    size, count = mark.module, len(mark.matrix)
    lefts = [f"{mark.x + index * size:.3f}" for index in range(count)]
    lows = [f"{mark.y + (count - 1 - index) * size:.3f}" for index in range(count)]
    lengths = [f"{index * size:.3f}" for index in range(count + 1)]
    high = lengths[1]
    runs = dark_runs(mark.matrix)
    return " ".join(
        ("0 g", *(f"{lefts[start]} {lows[row]} {lengths[long]} {high} re" for row, start, long in runs), "f")
    )
