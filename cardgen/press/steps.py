"""A step on paper: the bar of its cautions, the hand's box, its number, its words, the second person's box."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from cardgen.deck.card import Caution, Check, Runs, Step, Words, WriteIn
from cardgen.press.boxes import Bar, Box, CardColumn, Draw, stack
from cardgen.press.lines import draw_box, draw_lines, lines_height, natural_widths
from cardgen.press.marks import ArcMark, Mark, Rect, RectMark, outlined
from cardgen.press.type import width
from cardgen.press.type_runs import Style, TypeRun, box_width, plain, runs_of, tag

#: What stands for the second person's box where nothing is ticked.
SECOND = "second person"


def step_box(column: CardColumn, step: Step, under: Bar = "") -> Box:
    """Set a step with its cautions, its checks, its boxes to write in and its reason.

    ``under`` is the bar of a caution that stands above several steps, this one among them.
    """
    size = column.sizes.body
    parts = [caution_box(column, caution) for caution in step.cautions]
    parts.append(_action_box(column, step))
    parts += _check_boxes(column, step.checks)
    if column.edition.hand != "none":
        parts += write_in_boxes(column, step.write_ins, column.indent)
    if column.edition.why_lines and step.why:
        parts.append(_why_box(column, step.why))
    whole = stack(parts, f"step {step.number}", space=size * (0.55 if step.cautions else 0.42))
    return Box(
        whole.name,
        whole.height,
        whole.draw,
        whole.space,
        bar=bar_of(step.cautions) or under,
        joined=not step.cautions,
        cautions=len(step.cautions),
    )


def bar_of(cautions: Sequence[Caution]) -> Bar:
    """Choose the bar of cautions that stand together: that of the gravest."""
    signals = {caution.signal for caution in cautions}
    return "solid" if "WARNING" in signals else "hollow" if "CAUTION" in signals else ""


def caution_box(column: CardColumn, caution: Caution) -> Box:
    """Set a safety sentence on a tinted strip, its signal word in a tag; a note has neither."""
    size = column.sizes.body
    says = caution.briefly if column.edition.briefs else caution.says
    bare = caution.signal == "NOTE"
    signal = plain("NOTE", Style("bold", size)) if bare else [_tag(column, caution)]
    left, pad = column.bar + 0.25 * size, 0.16 * size
    runs = [*signal, *runs_of(says, column.setting(size))]
    lines = column.set(runs, column.width - left - 0.2 * size, size)
    height = lines_height(lines) + 2 * pad

    def draw(x: float, top: float) -> Iterable[Mark]:
        if not bare:
            yield RectMark(Rect(x + column.bar, top - height, x + column.width, top), fill="tint")
        yield from draw_lines(lines, x + left, top - pad)

    return Box(caution.signal, height, draw, space=0.15 * size)


def _tag(column: CardColumn, caution: Caution) -> TypeRun:
    return tag(caution.signal, "black" if caution.signal == "WARNING" else "outline", column.sizes.tag)


def _action_box(column: CardColumn, step: Step) -> Box:
    size = column.sizes.body
    number = column.words(str(step.number), column.indent, Style("bold", size, role="step"))
    ticks = 0 if step.checks else step.ticks
    words = _ticked(column, step.says, ticks, Span(column.bar, column.indent, column.width), not step.checks)

    def draw(x: float, top: float) -> Iterable[Mark]:
        yield from draw_lines(number, x + column.numbers - number[0].width, top - _drop(column, ticks))
        yield from words.draw(x, top)

    return Box(f"step {step.number}", words.height, draw, space=size * 0.2)


class Span(NamedTuple):
    """Where the hand's box begins, where the words begin, and where both end, from the column's edge."""

    box: float
    words: float
    end: float


def _drop(column: CardColumn, ticks: int) -> float:
    """How far the first line stands down, so that it is level with its box."""
    line = column.sizes.body * column.sizes.leading
    return max(0.0, (column.tick - line) / 2) if ticks else 0.0


def _ticked(column: CardColumn, says: Runs, ticks: int, span: Span, bullet: bool = False) -> Box:
    """Set words with the hand's box before them and the second person's double box at the end of the line."""
    size, tick = column.sizes.body, column.tick
    runs = list(runs_of(says, column.setting(size)))
    measure = span.end - span.words
    if ticks == 2 and tick:
        measure -= tick + 0.5 * size
    elif ticks == 2:
        runs[-1] = runs[-1]._replace(gap="space")
        runs.append(tag(SECOND, "outline", max(column.sizes.small, 0.82 * size)))
    lines = column.set(runs, measure, size)
    drop = _drop(column, ticks)
    middle = drop + lines[0].height / 2

    def draw(x: float, top: float) -> Iterable[Mark]:
        yield from draw_lines(lines, x + span.words, top - drop)
        if not tick:
            return
        if ticks:
            yield outlined(_square(x + span.box, top - middle, tick), 1.0)
        elif bullet:
            yield ArcMark(x + span.box + tick / 2, top - middle, 0.13 * size, fill="black")
        if ticks == 2:
            yield from _double_box(_square(x + span.end - tick, top - middle, tick))

    return Box("words", max(drop + lines_height(lines), tick if ticks else 0.0), draw)


def _square(left: float, middle: float, side: float) -> Rect:
    return Rect(left, middle - side / 2, left + side, middle + side / 2)


def _double_box(rect: Rect) -> Iterable[Mark]:
    yield outlined(rect, 1.0)
    yield outlined(Rect(rect.x1 + 2.2, rect.y1 + 2.2, rect.x2 - 2.2, rect.y2 - 2.2), 0.6)


def _check_boxes(column: CardColumn, checks: Sequence[Check]) -> Iterable[Box]:
    """Set the checks of a step, in two columns where all of them are short."""
    size, start = column.sizes.body, column.indent
    lead = column.tick + 0.45 * size if column.tick else 0.8 * size
    half = (column.width - start - size) / 2
    count = 2 if len(checks) > 1 and all(_width(column, each) + lead <= half for each in checks) else 1
    wide = half if count == 2 else column.width - start
    for place in range(0, len(checks), count):
        cells = [
            _check(column, check, Span(left, left + lead, left + wide))
            for at, check in enumerate(checks[place : place + count])
            for left in (start + at * (half + size),)
        ]
        height = max(cell.height for cell in cells)
        yield Box("check", height, _all_of(cells), space=0.2 * size)


def _width(column: CardColumn, check: Check) -> float:
    size = column.sizes.body
    second = column.tick + 0.5 * size if column.tick else width(SECOND, "bold", size) + size
    return natural_widths(runs_of(check.says, column.setting(size)))[1] + second * (check.ticks == 2)


def _check(column: CardColumn, check: Check, span: Span) -> Box:
    words = _ticked(column, check.says, check.ticks, span, bullet=True)
    if column.tick:
        return words
    size = column.sizes.body
    dash = column.words("–", size, Style("regular", size))
    return Box(
        "check", words.height, _all_of([words, Box("", 0, lambda x, top: draw_lines(dash, x + span.box, top))])
    )


def _all_of(boxes: Sequence[Box]) -> Draw:
    return lambda x, top: [mark for box in boxes for mark in box.draw(x, top)]


def _why_box(column: CardColumn, why: Runs) -> Box:
    size = max(column.sizes.small, column.sizes.body * 0.85)
    lines = column.lines((Words("Why: ", strong=True), *why), column.width - column.indent, size)
    return Box("reason", lines_height(lines), lambda x, top: draw_lines(lines, x + column.indent, top), space=1)


def write_in_boxes(column: CardColumn, boxes: Sequence[WriteIn], indent: float) -> list[Box]:
    """Set boxes to write in, one below another: label, box and unit side by side, their edges in line."""
    units = max((width(box.unit, "regular", column.sizes.body) for box in boxes), default=0.0)
    return [_write_in(column, box, indent, units + 5 if units else 0.0) for box in boxes]


def _write_in(column: CardColumn, box: WriteIn, indent: float, units: float) -> Box:
    size, tall = column.sizes.body, column.write
    room = column.width - indent
    wide = min(box_width(box, tall), room - units)
    beside = room - units - wide - 8
    above = beside < room * 0.35
    words = room if above else beside
    label = column.words(box.label, words, Style("regular", size))
    limits = column.lines(box.limits, words, max(column.sizes.small, 0.85 * size))
    unit = column.words(box.unit, units, Style("regular", size)) if box.unit else ()
    said, line = lines_height(label) + lines_height(limits), max(tall, size * column.sizes.leading)
    height = said + line + 2 if above else max(said, line)

    def draw(x: float, top: float) -> Iterable[Mark]:
        right = x + column.width - units
        words_top = top if above else top - (height - said) / 2
        # A unit, and a line to write on, go on where the label ends; a box stands level with all that is said.
        level = words_top - lines_height(label) + label[-1].height / 2
        middle = top - height + line / 2 if above else top - height / 2 if tall else level
        # Whoever reads it aloud says label, box and unit, and what may stand in it last.
        yield from draw_lines(label, x + indent, words_top)
        low = middle - (tall / 2 if tall else 0.4 * size)
        yield from draw_box(right - wide, right, low, tall)
        yield from draw_lines(unit, right + 5, (middle if above else level) + lines_height(unit) / 2)
        yield from draw_lines(limits, x + indent, words_top - lines_height(label))

    return Box(f'box "{box.label}"', height, draw, space=3)
