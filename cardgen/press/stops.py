"""STOP and HOLD: solid black bars whose corners are cut, so that nobody takes them for a warning."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from cardgen.deck.card import Inline, Runs, Said, Stop, Words
from cardgen.press.boxes import Box, CardColumn, side_by_side
from cardgen.press.lines import TypeLine, draw_lines, lines_height
from cardgen.press.marks import Mark, PolygonMark
from cardgen.press.type_runs import Style, TypeRun, runs_of

#: White round what a bar says, and how much of its corners is cut, as parts of its size.
_PAD = 0.32


def stop_box(column: CardColumn, stop: Stop) -> Box:
    """Set the word at the left; beside it what is read from afar, and below that the rest."""
    size = column.sizes.stop
    word = column.words(stop.word, column.width, Style("bold", size, "white"))
    pad = _PAD * size
    beside = word[0].width + 2.2 * pad
    lines = black_lines(column, stop.says, column.width - beside - 2 * pad, size)
    height = max(lines_height(lines), word[0].height) + 1.1 * pad

    def draw(x: float, top: float) -> Iterable[Mark]:
        yield _solid(x, top - height, column.width, height, pad)
        yield from draw_lines(word, x + pad, top - (height - word[0].height) / 2)
        left = x + beside
        yield from white_rule(left, top - 0.7 * pad, top - height + 0.7 * pad)
        yield from draw_lines(lines, left + pad, top - (height - lines_height(lines)) / 2)

    return Box(stop.word, height, draw, space=column.sizes.body * 0.6)


def stop_boxes(column: CardColumn, stops: Sequence[Stop]) -> Box:
    """Set several halts beside one another across a sheet."""
    gutter, count = 0.6 * column.edition.fit.gutter, len(stops)
    wide = (column.width - (count - 1) * gutter) / count
    part = CardColumn(column.edition, column.sizes, wide)
    boxes = [stop_box(part, stop) for stop in stops]
    tallest = max(box.height for box in boxes)
    return side_by_side([_as_tall(part, box, tallest) for box in boxes], wide, gutter, column.sizes.body * 0.6)


def _as_tall(column: CardColumn, box: Box, height: float) -> Box:
    """Draw a halt in the middle of as much black as its neighbour has."""
    if box.height == height:
        return box
    pad = _PAD * column.sizes.stop

    def draw(x: float, top: float) -> Iterable[Mark]:
        yield _solid(x, top - height, column.width, height, pad)
        yield from box.draw(x, top - (height - box.height) / 2)

    return Box(box.name, height, draw, box.space)


def black_lines(column: CardColumn, says: Runs, measure: float, far: float) -> tuple[TypeLine, ...]:
    """Set white lines: what is strong at the beginning, or the first sentence, so large; the rest near by."""
    head, rest = _parted(says)
    near = column.sizes.white
    lines: tuple[TypeLine, ...] = ()
    if head:
        lines += column.set(_runs(column, head, far, strong=True), measure, far)
    if rest:
        lines += column.set(_runs(column, rest, near, strong=False), measure, near)
    return lines


def _runs(column: CardColumn, says: Runs, size: float, *, strong: bool) -> Sequence[TypeRun]:
    return runs_of(says, column.setting(size, "bold" if strong else "regular", "white"))


def _parted(says: Runs) -> tuple[Runs, Runs]:
    """Part the strong beginning, or else the first sentence, from the rest."""
    for place, run in enumerate(says):
        if isinstance(run, Words | Said) and not run.strong:
            return (says[:place], says[place:]) if _is_strong(says[:place]) else _first_sentence(says)
    return says, ()


def _is_strong(says: Iterable[Inline]) -> bool:
    return any(isinstance(run, Words | Said) and run.strong for run in says)


def _first_sentence(says: Runs) -> tuple[Runs, Runs]:
    for place, run in enumerate(says):
        if isinstance(run, Words):
            first, end, rest = run.text.partition(". ")
            if end and rest.strip():
                return (*says[:place], Words(f"{first}.")), (Words(rest), *says[place + 1 :])
            if run.text.endswith(". ") or run.text.endswith("."):
                return says[: place + 1], says[place + 1 :]
    return says, ()


def white_rule(x: float, top: float, low: float) -> Iterable[Mark]:
    """Draw a white rule in the black, as an outline that is filled white."""
    yield PolygonMark(((x - 0.5, low), (x + 0.5, low), (x + 0.5, top), (x - 0.5, top)), fill="white")


def _solid(x: float, low: float, wide: float, height: float, cut: float) -> PolygonMark:
    right, top = x + wide, low + height
    points = (
        *((x + cut, low), (right - cut, low), (right, low + cut), (right, top - cut)),
        *((right - cut, top), (x + cut, top), (x, top - cut), (x, low + cut)),
    )
    return PolygonMark(points, fill="black")
