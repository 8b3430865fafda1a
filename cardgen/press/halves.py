"""Each wall sheet on two sheets of an ordinary printer: an upper half with the header, a lower with the footer.

The card is laid out for the halves, so that no line is cut; the lower half has an edge for glue at its top.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from cardgen.deck.card import Deck
from cardgen.press.edition import MM, Edition, Paper
from cardgen.press.frame import Frame, Numbers
from cardgen.press.layout import Overflow, lay_out
from cardgen.press.lines import draw_line, set_lines
from cardgen.press.marks import LineMark, Mark, Rect, Side
from cardgen.press.type_runs import Style, plain
from cardgen.press.watermark import watermark

#: White at the foot of an upper half, the edge for glue of a lower one, and what no printer reaches of it.
_FOOT, _GLUE, _REACH = 8 * MM, 12 * MM, 4.5 * MM
GLUE = "glue here, under the upper half; the lines at the sides meet its edge"


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
        return edge._replace(y1=_FOOT) if side % 2 else edge._replace(y2=self.edition.paper.height - _REACH)

    def body(self, side: int = 1) -> Rect:
        """Where the boxes of a half stand."""
        whole = super().body(1 if side == 1 else 2)
        return whole._replace(y1=_FOOT) if side % 2 else whole._replace(y2=self.edition.paper.height - _GLUE)

    def marks(self, numbers: Numbers, shift: float = 0.0) -> Iterable[Mark]:
        """Draw the header of an upper half, or the footer and the edge for glue of a lower one."""
        edge = self.edge.moved(shift, 0.0)
        sheets = replace(numbers, side=(numbers.side + 1) // 2, sides=(numbers.sides + 1) // 2)
        if self.deck.stamp.is_draft:
            yield from watermark(self.body(numbers.side).moved(shift, 0.0), 2)
        if numbers.side % 2:
            yield from self._header(edge, sheets)
        else:
            yield from self._footer(edge)
            yield from self._glue_marks()

    def _glue_marks(self) -> Iterable[Mark]:
        edge, size = self.edge, self.edition.type.small
        line = self.edition.paper.height - _GLUE + 2
        long = 12 * MM
        for x in (edge.x1, edge.x2 - long):
            yield LineMark(x, line, x + long, line, 0.5)
        style = Style("regular", size, role="frame")
        words = set_lines(plain(GLUE, style), edge.x2 - edge.x1, size)[0]
        yield from draw_line(words, (edge.x1 + edge.x2 - words.width) / 2, line + 0.5 * size)
