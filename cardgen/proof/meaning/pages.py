"""A page as a person sees it: words in their places, and lines and areas without words."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Mapping, Sequence
from ctypes import addressof, byref, c_float, c_int, c_uint
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from types import MappingProxyType
from typing import Any, NamedTuple

from cardgen.proof.finished import Finished

#: The other library takes a hyphen that ends a line for one that joins two halves of a word.
_HYPHENS = MappingProxyType({0x02: "-", 0xFFFE: "-"})


class Box(NamedTuple):
    """A rectangle in points from the lower left of its page."""

    x1: float
    y1: float
    x2: float
    y2: float

    @property
    def middle(self) -> float:
        """Half way from left to right."""
        return (self.x1 + self.x2) / 2


class Ink(NamedTuple):
    """How words are drawn: their place in the order of painting, shade from 0, black, to 255, and type.

    ``upright`` tells that they are neither turned, mirrored nor drawn at no size.
    """

    order: int
    shade: int
    upright: bool
    face: Any


class Run(NamedTuple):
    """Words that stand together, their ink's rectangle, whether they are not drawn at all, and how they are."""

    page: int
    text: str
    box: Box
    hidden: bool = False
    ink: Ink | None = None


class Shape(NamedTuple):
    """What is drawn without words: its rectangle, widened by its line, and whether it is as light as a tint.

    ``order`` is its place in the order of painting, ``fill`` and ``stroke`` its shades, if it has any; what has
    less than no ``points`` is a picture. ``round`` tells a circle that is filled.
    """

    box: Box
    weight: float
    light: bool
    points: int
    order: int
    fill: int | None
    stroke: int | None
    round: bool


@dataclass(frozen=True)
class Page:
    """One page, counted from 1: its words in the order of the file, and the rectangles of its shapes."""

    number: int
    width: float
    height: float
    runs: tuple[Run, ...]
    shapes: tuple[Shape, ...]

    def half(self, right: bool) -> Page:
        """Give what stands on one half of a sheet with two sides on it."""
        middle = self.width / 2
        runs = tuple(run for run in self.runs if (run.box.middle > middle) == right)
        shapes = tuple(shape for shape in self.shapes if (shape.box.middle > middle) == right)
        return Page(self.number, middle, self.height, runs, shapes)


@dataclass(frozen=True)
class Flow:
    """Words in one row, one blank between runs; where they came from a page, each has its place."""

    runs: tuple[Run, ...]

    @cached_property
    def text(self) -> str:
        """All words."""
        return " ".join(run.text for run in self.runs)

    @cached_property
    def _starts(self) -> tuple[int, ...]:
        starts, at = [], 0
        for run in self.runs:
            starts.append(at)
            at += len(run.text) + 1
        return tuple(starts)

    def between(self, start: int, end: int) -> tuple[Run, ...]:
        """Give the runs that hold a part of the text."""
        first = bisect_right(self._starts, start) - 1
        last = bisect_right(self._starts, max(start, end - 1)) - 1
        return self.runs[first : last + 1]


def flow_of(text: str) -> Flow:
    """Take words without places, as of a screen or a plain text."""
    return Flow((Run(0, " ".join(text.split()), Box(0, 0, 0, 0)),))


def joined(pages: Iterable[Page]) -> Flow:
    """Read pages one after another."""
    return Flow(tuple(run for page in pages for run in page.runs))


def around(runs: Sequence[Run]) -> Box:
    """Find the rectangle around runs of one page."""
    xs1, ys1, xs2, ys2 = zip(*(run.box for run in runs), strict=True)
    return Box(min(xs1), min(ys1), max(xs2), max(ys2))


def pages_of(file: Finished) -> tuple[Page, ...]:
    """Read every page of a finished file."""
    return tuple(_page(file, number) for number in range(1, len(file) + 1))


def _page(file: Finished, number: int) -> Page:
    import pypdfium2.raw as raw

    page = file.page(number)
    width, height = page.get_size()
    items = _items(page)
    orders = {address: order for order, (address, _) in enumerate(items)}
    drawn = [
        (order, item)
        for order, (_, item) in enumerate(items)
        if raw.FPDFPageObj_GetType(item) != raw.FPDF_PAGEOBJ_TEXT
    ]
    runs = tuple(_runs(file.text(number), number, orders))
    return Page(number, width, height, runs, tuple(_shapes(drawn)))


def _items(page: Any) -> list[tuple[int, Any]]:
    """Give everything that is painted on a page, in the order of painting, each with its address."""
    import pypdfium2.raw as raw

    items = (raw.FPDFPage_GetObject(page, at) for at in range(raw.FPDFPage_CountObjects(page)))
    return [(_address(item), item) for item in items]


def _runs(text: Any, number: int, orders: Mapping[int, int]) -> Iterable[Run]:
    """Read character by character: a rectangle would also catch what another run has inside it."""
    import pypdfium2.raw as raw

    left, bottom, right, top = (c_float() for _ in range(4))
    at = byref(left), byref(bottom), byref(right), byref(top)
    matrix = raw.FS_MATRIX()
    letters, start = _letters(text), 0
    owners = (_address(raw.FPDFText_GetTextObject(text.raw, index)) for index in range(len(letters)))
    for owner, held in groupby(owners):
        end = start + sum(1 for _ in held)
        if owner and (words := " ".join(letters[start:end].split())):
            item = raw.FPDFText_GetTextObject(text.raw, start)
            raw.FPDFPageObj_GetBounds(item, *at)
            box = Box(left.value, bottom.value, right.value, top.value)
            hidden = raw.FPDFTextObj_GetTextRenderMode(item) != 0
            yield Run(number, words, box, hidden, _ink(item, orders.get(owner, -1), matrix))
        start = end


def _letters(text: Any) -> str:
    """Give every character of a page."""
    import pypdfium2.raw as raw

    letters: str = text.get_text_range()
    if len(letters) != (count := raw.FPDFText_CountChars(text.raw)):
        # One whose meaning the file does not tell is left out of the whole.
        letters = "".join(chr(raw.FPDFText_GetUnicode(text.raw, index)) for index in range(count))
    return letters.translate(_HYPHENS)


def _address(item: Any) -> int:
    """Tell one thing on a page from another; nothing has the address 0."""
    # Asked for every character: a cast would take three times as long.
    return addressof(item.contents) if item else 0


def _ink(item: Any, order: int, matrix: Any) -> Ink:
    import pypdfium2.raw as raw

    size = c_float()
    raw.FPDFPageObj_GetMatrix(item, byref(matrix))
    raw.FPDFTextObj_GetFontSize(item, byref(size))
    upright = matrix.b == matrix.c == 0 and min(matrix.a, matrix.d) * size.value > 1 and matrix.a == matrix.d
    return Ink(order, _shade(raw.FPDFPageObj_GetFillColor, item), upright, raw.FPDFTextObj_GetFont(item))


def _shade(colour: Callable[..., Any], item: Any) -> int:
    """Tell how light a colour is, from 0 to 255; one that lets others through is neither black nor white."""
    red, green, blue, opaque = (c_uint() for _ in range(4))
    colour(item, byref(red), byref(green), byref(blue), byref(opaque))
    return (red.value + green.value + blue.value) // 3 if opaque.value == 255 else 128


def _shapes(drawn: Iterable[tuple[int, Any]]) -> Iterable[Shape]:
    import pypdfium2.raw as raw

    left, bottom, right, top, weight = (c_float() for _ in range(5))
    at, thick = (byref(left), byref(bottom), byref(right), byref(top)), byref(weight)
    fills, strokes = c_int(), c_int()
    for order, item in drawn:
        raw.FPDFPageObj_GetBounds(item, *at)
        raw.FPDFPageObj_GetStrokeWidth(item, thick)
        raw.FPDFPath_GetDrawMode(item, byref(fills), byref(strokes))
        box = Box(left.value, bottom.value, right.value, top.value)
        stroke = _shade(raw.FPDFPageObj_GetStrokeColor, item)
        fill = _shade(raw.FPDFPageObj_GetFillColor, item) if fills.value else None
        points = raw.FPDFPath_CountSegments(item)
        line = stroke if strokes.value else None
        is_round = fill is not None and _is_round(item, points)
        yield Shape(box, weight.value, stroke > 128, points, order, fill, line, is_round)


def _is_round(item: Any, points: int) -> bool:
    """Whether an outline is of curves alone, from its first point to its last."""
    import pypdfium2.raw as raw

    if not 4 < points < 20:
        return False
    kinds = (raw.FPDFPathSegment_GetType(raw.FPDFPath_GetPathSegment(item, at)) for at in range(1, points))
    return all(kind == raw.FPDF_SEGMENT_BEZIERTO for kind in kinds)
