"""What a card is made of on paper: boxes that are never split.

A step with the cautions that guard it, its reason and its boxes to write in is one box, so a
caution always stands on the same side as its step, directly above it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from cardgen.deck.card import Paragraph, Runs
from cardgen.press.edition import MM, Edition, Sizes
from cardgen.press.lines import TypeLine, draw_lines, lines_height, set_lines
from cardgen.press.marks import Face, LineMark, Mark, RectMark, Tone, outlined
from cardgen.press.marks import Rect as Rect
from cardgen.press.type import width
from cardgen.press.type_runs import Style, TypeRun, TypeSetting, plain, runs_of

#: A box that a gloved hand ticks, at least: common practice, no source.
TICK = 5 * MM

#: Draws a box whose left edge and top are given.
Draw: TypeAlias = Callable[[float, float], Iterable[Mark]]
#: Whether a box stays with the next one: no; unless no side could hold them all, the weaker first; always.
Keep: TypeAlias = Literal["no", "in sight", "if it can", "always"]
#: The bar down the left of what a caution guards: none, solid for a warning, hollow for a caution.
Bar: TypeAlias = Literal["", "solid", "hollow"]


@dataclass(frozen=True)
class Box:
    """A piece of a card that stands on one side whole.

    ``space`` is the white above it, left away at the top of a column; ``again`` is repeated above it
    there, as a table's head is; with ``over`` it begins a side. With ``wide`` it stands across the columns.
    A ``bar`` that is ``joined`` runs through the white above. Lengths are points.
    """

    name: str
    height: float
    draw: Draw
    space: float = 0.0
    keep: Keep = "no"
    again: Box | None = None
    over: bool = False
    wide: bool = False
    bar: Bar = ""
    joined: bool = False
    cautions: int = 0
    card: str = ""


@dataclass(frozen=True)
class CardColumn:
    """The column a card is set in: how wide it is, and the sizes of type on a rung of the edition's ladder."""

    edition: Edition
    sizes: Sizes
    width: float

    @property
    def bar(self) -> float:
        """Width of a caution's bar with the white beside it."""
        return max(5.5, 0.45 * self.sizes.body)

    @property
    def tick(self) -> float:
        """Side of a box to tick; none where nothing is ticked."""
        return max(TICK, 1.2 * self.sizes.body) if self.edition.hand == "boxes" else 0.0

    @property
    def numbers(self) -> float:
        """Where the numbers of steps end, from the column's edge."""
        ticks = self.tick + 0.3 * self.sizes.body if self.tick else 0.0
        return self.bar + ticks + width("88", "bold", self.sizes.body)

    @property
    def indent(self) -> float:
        """How far the words of a step stand in from the column's edge."""
        return self.numbers + 0.5 * self.sizes.body

    @property
    def write(self) -> float:
        """Height of a box to write in; none for a line."""
        return self.sizes.write if self.edition.hand == "boxes" else 0.0

    def across(self) -> CardColumn:
        """Give the same across all columns of the sheet."""
        return replace(self, width=self.edition.width)

    def setting(self, size: float, face: Face = "regular", tone: Tone = "black") -> TypeSetting:
        """Set inline content as this edition does."""
        return TypeSetting(
            size, face, tone, second=self.edition.second_units, write=self.write, small=self.sizes.small
        )

    def lines(
        self, says: Runs, measure: float, size: float, face: Face = "regular", tone: Tone = "black"
    ) -> tuple[TypeLine, ...]:
        """Set inline content in lines."""
        return self.set(runs_of(says, self.setting(size, face, tone)), measure, size)

    def set(self, runs: Sequence[TypeRun], measure: float, size: float) -> tuple[TypeLine, ...]:
        """Set runs in lines with this edition's leading."""
        return set_lines(runs, measure, size, self.sizes.leading)

    def words(self, text: str, measure: float, style: Style) -> tuple[TypeLine, ...]:
        """Set one text in one style in lines."""
        return self.set(plain(text, style), measure, style.size)


def heading_box(column: CardColumn, title: str) -> Box:
    """Set a section's title under a rule; it never parts from what follows."""
    size = column.sizes.heading
    lines = column.words(title, column.width, Style("bold", size))
    rule = 0.22 * size

    def draw(x: float, top: float) -> Iterable[Mark]:
        yield LineMark(x, top - 0.5, x + column.width, top - 0.5, 1.0)
        yield from draw_lines(lines, x, top - rule)

    return Box(f'heading "{title}"', lines_height(lines) + rule, draw, space=size * 0.55, keep="always")


def paragraph_box(column: CardColumn, paragraph: Paragraph) -> Box:
    """Set words that ask for no action."""
    size = column.sizes.body
    lines = column.lines(paragraph.says, column.width, size)
    return Box("paragraph", lines_height(lines), lambda x, top: draw_lines(lines, x, top), space=size * 0.4)


def item_box(column: CardColumn, says: Runs) -> Box:
    """Set one thing of a list behind a dash."""
    size = column.sizes.body
    indent = size * 0.95
    lines = column.lines(says, column.width - indent, size)
    dash = column.words("–", indent, Style("regular", size))

    def draw(x: float, top: float) -> Iterable[Mark]:
        yield from draw_lines(dash, x, top)
        yield from draw_lines(lines, x + indent, top)

    return Box("list item", lines_height(lines), draw, space=size * 0.2)


def stack(boxes: Sequence[Box], name: str, space: float, keep: Keep = "no") -> Box:
    """Make one box of several, one below another."""
    height = boxes[0].height + sum(box.space + box.height for box in boxes[1:])

    def draw(x: float, top: float) -> Iterable[Mark]:
        for index, box in enumerate(boxes):
            top -= box.space if index else 0.0
            yield from box.draw(x, top)
            top -= box.height

    return Box(name, height, draw, space, keep)


def side_by_side(boxes: Sequence[Box], wide: float, gutter: float, space: float) -> Box:
    """Set boxes of one width beside one another."""
    height = max(box.height for box in boxes)

    def draw(x: float, top: float) -> Iterable[Mark]:
        for index, box in enumerate(boxes):
            yield from box.draw(x + index * (wide + gutter), top)

    return Box(boxes[0].name, height, draw, space)


def bar_marks(bar: Bar, x: float, top: float, low: float) -> Iterable[Mark]:
    """Draw the bar of a caution down the left edge of a column."""
    rect = Rect(x, low, x + 3.6, top)
    if bar == "solid":
        yield RectMark(rect, fill="black")
    elif bar:
        yield outlined(rect, 0.9)
