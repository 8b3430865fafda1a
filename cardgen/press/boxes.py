"""What a card is made of on paper: boxes that are never split.

A step with the cautions that guard it, its reason and its boxes to write in is one box, so a
caution always stands on the same side as its step, directly above it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from cardgen.deck.card import Caution, Paragraph, Runs, Step, Stop, Words, WriteIn
from cardgen.press.edition import MM, Edition
from cardgen.press.lines import TypeLine, draw_lines, lines_height, set_lines
from cardgen.press.marks import Face, LineMark, Mark, Rect, RectMark, Tone, outlined
from cardgen.press.type import width
from cardgen.press.type_runs import BOX_HEIGHT, Style, TypeSetting, box_width, plain, runs_of

#: A box that a gloved hand ticks: common practice, no source.
TICK = 8 * MM

#: Whose tick goes into which box.
_TICKED_BY = ("you", "second")

#: Draws a box whose left edge and top are given.
Draw: TypeAlias = Callable[[float, float], Iterable[Mark]]
#: Whether a box stays with the next one: no; unless no side could hold them all, the weaker first; always.
Keep: TypeAlias = Literal["no", "in sight", "if it can", "always"]


@dataclass(frozen=True)
class Box:
    """A piece of a card that stands on one side whole.

    ``space`` is the white above it, left away at the top of a side; ``again`` is repeated above it
    there, as a table's head is; with ``over`` it begins a side. Lengths are points.
    """

    name: str
    height: float
    draw: Draw
    space: float = 0.0
    keep: Keep = "no"
    again: Box | None = None
    over: bool = False

    def aired(self, part: float) -> Box:
        """Give the box with a part of the white above it."""
        return Box(self.name, self.height, self.draw, self.space * part, self.keep, self.again, self.over)


@dataclass(frozen=True)
class CardColumn:
    """The column a card is set in: its width, the indent of text, and how many tick boxes a step can have."""

    edition: Edition
    ticks: int

    @property
    def width(self) -> float:
        """The whole column."""
        return self.edition.column

    @property
    def indent(self) -> float:
        """How far text stands in from the column's edge; step numbers hang in it."""
        return self.edition.sizes.body * 1.9

    @property
    def tick_room(self) -> float:
        """Width kept free at the right for tick boxes."""
        return (self.ticks - 1) * self.tick_step + TICK + 10 if self.ticks else 0.0

    @property
    def tick_size(self) -> float:
        """Size of the words over two tick boxes: lettering, as on a drawing."""
        return max(self.edition.label_floor, min(self.edition.sizes.frame, 9.0))

    @property
    def tick_step(self) -> float:
        """From one tick box to the next, so that the words over them stay apart."""
        you, second = (width(word, "regular", self.tick_size) for word in _TICKED_BY)
        return max(TICK + 5, second + 4 - TICK / 2 + you / 2)

    def setting(self, size: float, face: Face = "regular", tone: Tone = "black") -> TypeSetting:
        """Set inline content as this edition does."""
        return TypeSetting(size, face, tone, second=self.edition.second_units)

    def lines(
        self, says: Runs, measure: float, size: float, face: Face = "regular", tone: Tone = "black"
    ) -> tuple[TypeLine, ...]:
        """Set inline content in lines."""
        return set_lines(runs_of(says, self.setting(size, face, tone)), measure, size)


def heading_box(column: CardColumn, title: str) -> Box:
    """Set a section's title over a hairline; it never parts from what follows."""
    size = column.edition.sizes.heading
    lines = set_lines(plain(title, Style("bold", size)), column.width, size)
    height = lines_height(lines)

    def draw(x: float, top: float) -> Iterable[Mark]:
        yield from draw_lines(lines, x, top)
        yield LineMark(x, top - height - 1, x + column.width, top - height - 1, 0.75)

    return Box(f'heading "{title}"', height + 2, draw, space=size * 0.9, keep="always")


def paragraph_box(column: CardColumn, paragraph: Paragraph) -> Box:
    """Set words that ask for no action."""
    size = column.edition.sizes.body
    lines = column.lines(paragraph.says, column.width - column.indent, size)
    return Box(
        "paragraph",
        lines_height(lines),
        lambda x, top: draw_lines(lines, x + column.indent, top),
        space=size * 0.5,
    )


def item_box(column: CardColumn, says: Runs) -> Box:
    """Set one thing of a list behind a dash."""
    size = column.edition.sizes.body
    lines = column.lines(says, column.width - column.indent, size)
    dash = set_lines(plain("–", Style("regular", size)), column.indent, size)

    def draw(x: float, top: float) -> Iterable[Mark]:
        yield from draw_lines(dash, x + column.indent - size * 0.9, top)
        yield from draw_lines(lines, x + column.indent, top)

    return Box("list item", lines_height(lines), draw, space=size * 0.25)


def stop_box(column: CardColumn, stop: Stop) -> Box:
    """Set a hold point solid black, the word STOP before it unless its own words begin so."""
    size = column.edition.sizes.body
    first = stop.says[0] if stop.says else None
    begins = isinstance(first, Words) and first.text.strip().lower().startswith("stop")
    says = stop.says if begins else (Words("STOP ", strong=True), *stop.says)
    return _band(column, "stop", column.lines(says, column.width - 16, size, "bold", "white"), "WARNING")


def caution_box(column: CardColumn, caution: Caution) -> Box:
    """Set a safety sentence: WARNING white on black, CAUTION in a heavy frame, NOTE with a rule at its left."""
    size = column.edition.sizes.body
    tone: Tone = "white" if caution.signal == "WARNING" else "black"
    says = (Words(f"{caution.signal} ", strong=True), *caution.says)
    lines = column.lines(says, column.width - 16, size, "regular", tone)
    return _band(column, caution.signal, lines, caution.signal)


def _band(column: CardColumn, name: str, lines: Sequence[TypeLine], look: str) -> Box:
    pad = 0.0 if look == "NOTE" else 4.0
    height = lines_height(lines) + 2 * pad

    def draw(x: float, top: float) -> Iterable[Mark]:
        low = top - height
        if look == "WARNING":
            yield RectMark(Rect(x, low, x + column.width, top), fill="black")
        elif look == "CAUTION":
            yield outlined(Rect(x, low, x + column.width, top), 2.5)
        else:
            yield LineMark(x + 1.25, top - 2, x + 1.25, low + 2, 2.5)
        yield from draw_lines(lines, x + 8, top - pad)

    return Box(name, height, draw, space=column.edition.sizes.body * 0.5)


def stack(boxes: Sequence[Box], name: str, space: float, keep: Keep = "no") -> Box:
    """Make one box of several, one below another."""
    if len(boxes) == 1:
        only = boxes[0]
        return Box(name, only.height, only.draw, space, keep)
    height = boxes[0].height + sum(box.space + box.height for box in boxes[1:])

    def draw(x: float, top: float) -> Iterable[Mark]:
        for index, box in enumerate(boxes):
            top -= box.space if index else 0.0
            yield from box.draw(x, top)
            top -= box.height

    return Box(name, height, draw, space, keep)


def step_box(column: CardColumn, step: Step) -> Box:
    """Set a step: its cautions, its number in the margin, its tick boxes, its boxes to write in."""
    size = column.edition.sizes.body
    parts = [caution_box(column, caution) for caution in step.cautions]
    parts.append(_action_box(column, step))
    if step.write_ins:
        parts.append(write_ins_box(column, step.write_ins))
    if column.edition.why_lines and step.why:
        parts.append(_why_box(column, step.why))
    return stack(parts, f"step {step.number}", space=size * 0.65)


def _action_box(column: CardColumn, step: Step) -> Box:
    sizes = column.edition.sizes
    measure = column.width - column.indent - column.tick_room
    lines = column.lines(step.says, measure, sizes.body)
    number = set_lines(
        plain(str(step.number), Style("bold", sizes.body, role="step")), column.indent, sizes.body
    )
    head = column.tick_size * 1.2 if step.ticks > 1 else 0.0
    height = max(lines_height(lines) + head * 0.6, head + TICK + 1 if step.ticks else 0.0)
    # The first line stands level with the middle of the tick box.
    drop = head + max(0.0, (TICK - lines[0].height) / 2) if step.ticks and lines else 0.0
    height = max(height, drop + lines_height(lines))

    def draw(x: float, top: float) -> Iterable[Mark]:
        yield from draw_lines(number, x, top - drop)
        yield from draw_lines(lines, x + column.indent, top - drop)
        for index in range(step.ticks):
            left = x + column.width - column.tick_room + 10 + index * column.tick_step
            yield outlined(Rect(left, top - head - TICK, left + TICK, top - head), 1.0)
            if step.ticks > 1:
                yield from _tick_head(column, _TICKED_BY[index], left, top)

    return Box(f"step {step.number}", height, draw, space=sizes.body * 0.4)


def _tick_head(column: CardColumn, word: str, left: float, top: float) -> Iterable[Mark]:
    size = column.tick_size
    wide = width(word, "regular", size)
    lines = set_lines(plain(word, Style("regular", size)), wide, size)
    # A word wider than its box ends where the box does, so that it stays inside the column.
    return draw_lines(lines, left + min((TICK - wide) / 2, TICK - wide), top)


def _why_box(column: CardColumn, why: Runs) -> Box:
    size = column.edition.sizes.small
    says = (Words("Why: ", strong=True), *why)
    lines = column.lines(says, column.width - column.indent - column.tick_room, size)
    return Box("reason", lines_height(lines), lambda x, top: draw_lines(lines, x + column.indent, top), space=2)


def write_ins_box(column: CardColumn, boxes: Sequence[WriteIn]) -> Box:
    """Set boxes to write in, one below another: label, box and unit side by side."""
    return stack(
        write_in_boxes(column, boxes), f'box "{boxes[0].label}"', space=column.edition.sizes.body * 0.4
    )


def write_in_boxes(column: CardColumn, boxes: Sequence[WriteIn]) -> list[Box]:
    """Set boxes to write in that may part from one another, their edges in line."""
    units = max(width(box.unit, "regular", column.edition.sizes.body) for box in boxes)
    return [_write_in_row(column, box, units + 6 if units else 0.0) for box in boxes]


def _write_in_row(column: CardColumn, box: WriteIn, units: float) -> Box:
    sizes = column.edition.sizes
    room = column.width - column.indent
    wide = min(box_width(box), room - units)
    beside = room - units - wide - 8
    above = beside < room * 0.35
    label = set_lines(plain(box.label, Style("regular", sizes.body)), room if above else beside, sizes.body)
    limits = column.lines(box.limits, room if above else beside, sizes.small)
    unit = set_lines(plain(box.unit, Style("regular", sizes.body)), units, sizes.body)
    words = lines_height(label) + lines_height(limits)
    height = words + BOX_HEIGHT + 2 if above else max(words, BOX_HEIGHT)

    def draw(x: float, top: float) -> Iterable[Mark]:
        left, right = x + column.indent, x + column.width - units
        high = top - lines_height(label) - 2 if above else top - (height - BOX_HEIGHT) / 2
        words_top = top if above else top - (height - words) / 2
        yield from draw_lines(label, left, words_top)
        yield outlined(Rect(right - wide, high - BOX_HEIGHT, right, high), 1.0)
        yield from draw_lines(unit, right + 6, high - (BOX_HEIGHT - lines_height(unit)) / 2)
        yield from draw_lines(limits, left, high - BOX_HEIGHT if above else words_top - lines_height(label))

    return Box(f'box "{box.label}"', height, draw, space=4)
