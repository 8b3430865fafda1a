"""Each wall sheet on two sheets of an ordinary printer: an upper half with the header, a lower with the footer.

The card is laid out for the halves, so that no line is cut; the lower half has an edge for glue at its top.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property

from cardgen.deck.card import Deck
from cardgen.press.edition import MM, Edition, Paper
from cardgen.press.frame import Frame, Numbers, set_anyhow
from cardgen.press.layout import Overflow, lay_out
from cardgen.press.lines import TypeLine, draw_lines, lines_height
from cardgen.press.marks import LineMark, Mark, Rect, Side
from cardgen.press.type_runs import Style, plain
from cardgen.press.watermark import watermark
from cardgen.spec.typed_quantity import reading_of

#: The edge for glue of a lower half, and what no printer reaches at the edge of a sheet.
_GLUE, _REACH = 12 * MM, 4.5 * MM
#: How long the lines at its sides are, and how far they stand over what is printed below them, in points.
_TICK, _ABOVE = 12 * MM, 3.0
GLUE = "lower half: glue under the upper one, these lines at its edge"


def lay_out_halves(deck: Deck, edition: Edition) -> tuple[Side, ...] | tuple[Overflow, ...]:
    """Lay an edition's cards out for sheets of half its size, two for each of its own."""
    paper = edition.paper
    name = {"A3": "A4", "tabloid": "letter"}.get(paper.name, f"half {paper.name}")
    return lay_out(deck, replace(edition, paper=Paper(name, paper.width, paper.height / 2)), HalvedFrame)


class HalvedFrame(Frame):
    """The frame of a sheet in two halves: odd sides are upper ones, even sides lower ones."""

    in_pairs = True

    def outer(self, side: int) -> Rect:
        """Where print of a half may stand."""
        edge = self.edge
        return edge._replace(y1=_REACH) if side % 2 else edge._replace(y2=self.edition.paper.height - _REACH)

    def body(self, side: int = 1) -> Rect:
        """Where the boxes of a half stand."""
        whole = super().body(1 if side == 1 else 2)
        if side % 2:
            return whole._replace(y1=_REACH + self._identity_height + 0.45 * self.edition.type.small)
        return whole._replace(y2=self.edition.paper.height - self._glue)

    def marks(self, numbers: Numbers, shift: float = 0.0) -> Iterable[Mark]:
        """Draw the header of an upper half, or the footer and the edge for glue of a lower one."""
        edge = self.edge.moved(shift, 0.0)
        sheets = replace(numbers, side=(numbers.side + 1) // 2, sides=(numbers.sides + 1) // 2)
        if self.deck.stamp.is_draft:
            yield from watermark(self.body(numbers.side).moved(shift, 0.0), 2)
        if numbers.side % 2:
            yield from self._header(edge, sheets)
            yield from draw_lines(self._footer_lines[0], edge.x1, _REACH + lines_height(self._footer_lines[0]))
        else:
            yield from self._footer(edge)
            yield from self._glue_marks(edge)

    @cached_property
    def _told(self) -> tuple[TypeLine, ...]:
        """Whose lower half it is, for as long as it is not glued."""
        style = Style("bold", self.edition.type.small, role="frame")
        reading = reading_of(self.deck.spec, ("rotor", "diameter"))
        runs = plain(f"{reading.number} {reading.unit} {self.card.title if self.card else ''},", style)
        return set_anyhow(
            [*runs, *plain(GLUE, style._replace(face="regular"))], self._wide - 2 * _TICK, style.size
        )

    @property
    def _glue(self) -> float:
        """Height of the edge for glue: what no printer reaches, then what stands on it."""
        return max(_GLUE, _REACH + lines_height(self._told) + _ABOVE)

    def _glue_marks(self, edge: Rect) -> Iterable[Mark]:
        line = self.edition.paper.height - self._glue + _ABOVE
        for x in (edge.x1, edge.x2 - _TICK):
            yield LineMark(x, line, x + _TICK, line, 0.5)
        yield from draw_lines(self._told, edge.x1 + _TICK, line + lines_height(self._told))
