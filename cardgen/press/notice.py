"""Sheets that are no card of a deck, such as the register's list: set as cards are, in the handout's type."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from cardgen.deck.card import Card, Deck
from cardgen.deck.copied import copied_card
from cardgen.press.edition import LEAST_TYPE, Edition, PaperKind, load_edition
from cardgen.press.frame import Frame, Numbers, edge_of
from cardgen.press.layout import Overflow, SideFrame, lay_out_alone
from cardgen.press.lines import TypeLine, draw_lines, lines_height, set_lines
from cardgen.press.marks import LineMark, Mark, Rect, Side
from cardgen.press.type_runs import Style, plain

#: White between a notice's title or foot and what stands between them, in points.
_GAP = 4.0


#: The sheet beside every deck on which a second person reads the specification against its papers.
COPIED = "copied.pdf"


@dataclass(frozen=True)
class Notice:
    """What a notice says: title and sections of its ``card``, and at the ``foot`` what it is or when it holds.

    With ``small`` type more rows of its tables stand on a sheet, for reading at a table.
    With a ``deck`` it stands in the frame of that deck's cards, as one rotor's alone, and may show its
    figures.
    """

    card: Card
    foot: str
    paper: PaperKind = "iso"
    deck: Deck | None = None
    small: bool = False

    @property
    def title(self) -> str:
        """What the file is called by those who open it."""
        return f"{self.deck.spec.rotor.set_id} {self.card.title}" if self.deck else self.card.title


def lay_out_notice(notice: Notice) -> tuple[Side, ...] | tuple[Overflow, ...]:
    """Lay a notice out on as many sheets as it takes, or say what does not fit."""
    # Its sheets are printed on one side and hang or lie beside one another.
    edition = load_edition("handout", notice.paper)
    least, fit = LEAST_TYPE if notice.small else edition.type.ladder[0], edition.fit
    edition = replace(
        edition,
        duplex=False,
        hand="boxes",
        type=replace(edition.type, ladder=(least,), number=least, small=min(least, edition.type.small)),
        fit=replace(fit, columns=1, run_on=False),
    )
    if notice.deck is None:
        frame: SideFrame = _NoticeFrame(edition, notice.card, edge_of(edition), notice.foot)
    else:
        frame = Frame(notice.deck, edition, notice.card, edge_of(edition), Numbers(1, 1, 99, 99), notice.foot)
    return lay_out_alone(frame, notice.card, grow=not notice.small)


def copied_notice(deck: Deck) -> Notice:
    """Put the values that were copied into a deck's specification on sheets for the second reader."""
    paper = deck.spec.print.paper if deck.spec.print else "iso"
    foot = f"{deck.spec.rotor.set_id}: for reading against the documents, not for the bench"
    return Notice(copied_card(deck), foot, paper, small=True)


@dataclass(frozen=True)
class _NoticeFrame:
    """The title over a line, and the foot with the number of the sheet."""

    edition: Edition
    card: Card
    edge: Rect
    foot: str

    def outer(self, _: int) -> Rect:
        """Where print may stand."""
        return self.edge

    def body(self, _: int = 1) -> Rect:
        """Where the notice's own boxes stand."""
        edge = self.edge
        low = edge.y1 + lines_height(self._small("sheet")) + lines_height(self._small(self.foot)) + _GAP
        return Rect(edge.x1, low, edge.x2, edge.y2 - lines_height(self._title) - 2 * _GAP)

    def marks(self, numbers: Numbers, shift: float = 0.0) -> Iterable[Mark]:
        """Draw title and foot, moved to the right by ``shift``."""
        edge = self.edge.moved(shift, 0.0)
        yield from draw_lines(self._title, edge.x1, edge.y2)
        line = self.body().y2 + _GAP
        yield LineMark(edge.x1, line, edge.x2, line, 1.0)
        count, foot = self._small(f"sheet {numbers.side} of {numbers.sides}"), self._small(self.foot)
        yield from draw_lines(foot, edge.x1, edge.y1 + lines_height(count) + lines_height(foot))
        yield from draw_lines(count, edge.x1, edge.y1 + lines_height(count))

    @cached_property
    def _title(self) -> tuple[TypeLine, ...]:
        size = self.edition.type.title
        return set_lines(plain(self.card.title, Style("bold", size, role="frame")), self._wide, size)

    def _small(self, words: str) -> tuple[TypeLine, ...]:
        size = self.edition.type.small
        return set_lines(plain(words, Style("regular", size, role="frame")), self._wide, size)

    @property
    def _wide(self) -> float:
        return self.edge.x2 - self.edge.x1
