"""A page as a person sees it: words in their places, and lines and areas without words."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from ctypes import byref, c_float, c_uint, c_void_p, cast
from dataclasses import dataclass
from functools import cached_property
from typing import Any, NamedTuple

from cardgen.proof.finished import Finished

#: The other library takes a hyphen that ends a line for one that joins two halves of a word.
_HYPHENS = frozenset({0x02, 0xFFFE})


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


class Run(NamedTuple):
    """Words that stand together, their ink's rectangle, and whether they are not drawn at all."""

    page: int
    text: str
    box: Box
    hidden: bool = False


class Shape(NamedTuple):
    """What is drawn without words: its rectangle, widened by its line, and whether it is as light as a tint."""

    box: Box
    weight: float
    light: bool
    points: int


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
    return tuple(_page(file.page(number), number) for number in range(1, len(file) + 1))


def _page(page: Any, number: int) -> Page:
    width, height = page.get_size()
    text = page.get_textpage()
    try:
        return Page(number, width, height, tuple(_runs(text.raw, number)), tuple(_shapes(page)))
    finally:
        text.close()


def _runs(text: Any, number: int) -> Iterable[Run]:
    """Read character by character: a rectangle would also catch what another run has inside it."""
    import pypdfium2.raw as raw

    left, bottom, right, top = (c_float() for _ in range(4))
    at = byref(left), byref(bottom), byref(right), byref(top)
    held: list[str] = []
    last, last_item = 0, None
    for index in range(raw.FPDFText_CountChars(text) + 1):
        item = raw.FPDFText_GetTextObject(text, index)
        here = cast(item, c_void_p).value or 0
        if here != last:
            if words := " ".join("".join(held).split()):
                raw.FPDFPageObj_GetBounds(last_item, *at)
                box = Box(left.value, bottom.value, right.value, top.value)
                yield Run(number, words, box, raw.FPDFTextObj_GetTextRenderMode(last_item) != 0)
            held, last, last_item = [], here, item
        if here:
            character = raw.FPDFText_GetUnicode(text, index)
            held.append("-" if character in _HYPHENS else chr(character))


def _shapes(page: Any) -> Iterable[Shape]:
    import pypdfium2.raw as raw

    left, bottom, right, top, weight = (c_float() for _ in range(5))
    at, thick = (byref(left), byref(bottom), byref(right), byref(top)), byref(weight)
    red, green, blue, seen = (c_uint() for _ in range(4))
    colour = byref(red), byref(green), byref(blue), byref(seen)
    for index in range(raw.FPDFPage_CountObjects(page)):
        item = raw.FPDFPage_GetObject(page, index)
        if raw.FPDFPageObj_GetType(item) != raw.FPDF_PAGEOBJ_TEXT:
            raw.FPDFPageObj_GetBounds(item, *at)
            raw.FPDFPageObj_GetStrokeWidth(item, thick)
            raw.FPDFPageObj_GetStrokeColor(item, *colour)
            box = Box(left.value, bottom.value, right.value, top.value)
            yield Shape(box, weight.value, red.value > 128, raw.FPDFPath_CountSegments(item))
