"""From a deck and an edition to sides with everything in its place, or to what does not fit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from math import ceil
from typing import Protocol

from cardgen.deck.card import Card, Deck, Section
from cardgen.deck.changed import without_was
from cardgen.press.boxes import Box, CardColumn, bar_marks
from cardgen.press.change_bars import change_bars
from cardgen.press.edition import Edition, Sizes
from cardgen.press.fit import Page, Put, Room
from cardgen.press.fit_card import fit_card
from cardgen.press.frame import Frame, Numbers, edge_of, shift_on
from cardgen.press.lines import DoesNotFitError
from cardgen.press.marks import LineMark, Mark, Rect, Side
from cardgen.press.sections import Known, PlacedError, grows_of, section_boxes, sections_of
from cardgen.press.title_bar import title_bar

#: More cards and sides than there are, for the widest numbers.
_MANY = 99


@dataclass(frozen=True)
class Overflow:
    """Something that does not fit on its card: which card, where on it, by how many points."""

    card: str
    where: str
    by: float
    edition: str

    def __str__(self) -> str:
        """Say it in one line, with what to do."""
        return (
            f"{self.edition}, card {self.card}, {self.where}: {ceil(self.by)} pt too large for its place; "
            "use fewer words there"
        )


class SideFrame(Protocol):
    """What stands round the boxes of a side, and where on the front of a sheet they have room."""

    @property
    def edition(self) -> Edition:
        """Paper and type."""

    def outer(self, side: int) -> Rect:
        """Where print of a side may stand, on the front of a sheet."""

    def body(self, side: int = 1) -> Rect:
        """Where the boxes of a side stand."""

    def marks(self, numbers: Numbers, shift: float = 0.0) -> Iterable[Mark]:
        """Draw what is round the boxes, moved to the right by ``shift``."""


@dataclass(frozen=True)
class _Laid:
    """Cards that begin on a side of their own, and their sides: one card, or all where they run on."""

    frame: SideFrame
    cards: tuple[Card, ...]
    pages: Sequence[Page]


def lay_out(
    deck: Deck, edition: Edition, framed: type[Frame] = Frame
) -> tuple[Side, ...] | tuple[Overflow, ...]:
    """Lay out the edition's cards in its order, each side in a frame.

    Nothing is clipped, and no type is smaller than its floor: where anything does not fit, all such places
    are returned instead.
    """
    cards = chosen(deck, edition)
    parts = [cards] if edition.fit.run_on else [(card,) for card in cards]
    laid: list[_Laid] = []
    overflows: list[Overflow] = []
    for part in filter(None, parts):
        try:
            laid.append(_laid(deck, edition, part, framed))
        except (PlacedError, DoesNotFitError) as error:
            overflows += _overflows(error, edition, part[0] if len(part) == 1 else None)
    if overflows:
        return tuple(overflows)
    changed = frozenset(change.figure for change in deck.changes)
    sides: list[Side] = []
    for each in laid:
        sides += _sides(each, deck.order, len(sides), changed)
    return tuple(sides)


def lay_out_alone(
    frame: SideFrame, card: Card, *, grow: bool = True
) -> tuple[Side, ...] | tuple[Overflow, ...]:
    """Lay out one card by itself in a frame, or say what does not fit.

    Without ``grow`` nothing is tried out at larger sizes than the least: long tables are set once.
    """
    try:
        pages = _fitted(frame, (card,), grow=grow)
    except (PlacedError, DoesNotFitError) as error:
        return tuple(_overflows(error, frame.edition, card))
    return tuple(_sides(_Laid(frame, (card,), pages), (card.id,)))


def chosen(deck: Deck, edition: Edition) -> tuple[Card, ...]:
    """Choose the deck's cards that this edition has, in its order for this kind of hub."""
    cards = {card.id: card for card in deck.cards}
    order = edition.order[deck.spec.rotor.alignment]
    return tuple(cards[name] for name in order if name in cards)


def _overflows(error: PlacedError | DoesNotFitError, edition: Edition, card: Card | None) -> Iterable[Overflow]:
    places = error.places if isinstance(error, PlacedError) else [(error.what, error.by)]
    return [Overflow(card.id if card else "", what, by, edition.name) for what, by in places]


def _laid(deck: Deck, edition: Edition, cards: tuple[Card, ...], framed: type[Frame]) -> _Laid:
    frame = framed(
        deck,
        edition,
        None if edition.fit.run_on else cards[0],
        edge_of(edition),
        Numbers(_MANY, _MANY, _MANY, _MANY),
    )
    try:
        return _Laid(frame, cards, _paired(frame, _fitted(frame, cards, deck.order)))
    except (PlacedError, DoesNotFitError):
        # A deck that fits as a draft fits when it is issued: old values give way, the bars stay.
        bare = tuple(map(without_was, cards))
        if bare == cards:
            raise
        return _Laid(frame, bare, _paired(frame, _fitted(frame, bare, deck.order)))


def _paired(frame: Frame, pages: Sequence[Page]) -> Sequence[Page]:
    """Add an empty side where two make a sheet and one is missing."""
    return [*pages, Page()] if frame.in_pairs and len(pages) % 2 else pages


def _fitted(
    frame: SideFrame, cards: Sequence[Card], order: Sequence[str] = (), *, grow: bool = True
) -> Sequence[Page]:
    edition = frame.edition
    # From the second side on, every second one is alike: the halves of a sheet take turns.
    heights = [body.y2 - body.y1 for body in (frame.body(1), frame.body(2), frame.body(3))]
    fit = edition.fit
    room = Room(
        fit.columns,
        fit.gutter,
        edition.column,
        lambda side: heights[side if side < 3 else 2 - side % 2],
        fit.cautions,
    )
    known = Known()
    shown = [sections_of(card, edition) for card in cards]

    def at(sizes: Sizes) -> Sequence[Sequence[list[Box]]]:
        column = CardColumn(edition, sizes, edition.column)
        made: list[list[list[Box]]] = []
        for card, sections in zip(cards, shown, strict=True):
            phases = _phases(sections)
            parts = [section_boxes(phase, card.id, column, max(heights), known) for phase in phases]
            if fit.run_on and parts and parts[0]:
                bar = title_bar(column, card, order.index(card.id) + 1, len(order))
                parts[0][0].insert(0, replace(bar, card=card.id))
            made += parts
        return made

    grows = grows_of([each for sections in shown for each in sections], edition) if grow else frozenset()
    return fit_card(at, room, edition, grows)


def _phases(sections: Iterable[Section]) -> Sequence[Sequence[Section]]:
    phases: list[list[Section]] = []
    for section in sections:
        if section.phase or not phases:
            phases.append([])
        phases[-1].append(section)
    return phases


def _sides(
    laid: _Laid, order: Sequence[str], page: int = 0, changed: frozenset[str] = frozenset()
) -> Iterable[Side]:
    """Draw the sides of one part; ``page`` is the first one's place in the file, counted from 0."""
    frame, edition = laid.frame, laid.frame.edition
    titles = {card.id: (order.index(card.id) + 1, card.title) for card in laid.cards}
    begun: set[str] = set()
    for side, done in enumerate(laid.pages, start=1):
        shift, body = shift_on(edition, page + side - 1), frame.body(side)
        here = tuple(dict.fromkeys(filter(None, (put.box.card for put in done.puts)))) or (laid.cards[0].id,)
        number, title = titles[here[0]]
        numbers = Numbers(number, len(order), side, len(laid.pages))
        marks = [*frame.marks(numbers, shift), *_rules(done, body.moved(shift, 0.0), edition)]
        edge = frame.outer(side).moved(shift, 0.0)
        for column, puts in _columns(done):
            drawn = [mark for put in puts for mark in _put_marks(put, body, shift)]
            bars = change_bars(drawn, changed, body.x1 + shift + column, edition.type.ladder[-1])
            marks += (*drawn, *bars)
            edge = edge._replace(x1=min([edge.x1, *(bar.x1 - bar.weight / 2 for bar in bars)]))
        yield Side(
            here[0],
            title,
            *(numbers.card, numbers.cards, numbers.side, numbers.sides),
            *(edition.paper.width, edition.paper.height),
            edge,
            tuple(marks),
            cards=here,
            starts=tuple(titles[card] for card in here if card not in begun),
            runs_on=edition.fit.run_on,
        )
        begun.update(here)


def _columns(page: Page) -> Iterable[tuple[float, list[Put]]]:
    """Part a side into columns as they are read: those of one zone before those of the next."""
    return [(left, list(puts)) for left, puts in groupby(page.puts, key=lambda put: put.x)]


def _put_marks(put: Put, body: Rect, shift: float) -> Iterable[Mark]:
    x, top = body.x1 + shift + put.x, body.y2 - put.down
    yield from put.box.draw(x, top)
    yield from bar_marks(put.box.bar, x, top + put.gap * put.box.joined, top - put.box.height)


def _rules(page: Page, body: Rect, edition: Edition) -> Iterable[Mark]:
    """Draw the rules between the columns of a side."""
    for place in range(1, edition.fit.columns):
        x = body.x1 + place * (edition.column + edition.fit.gutter) - edition.fit.gutter / 2
        for start, end in page.rules:
            yield LineMark(x, body.y2 - start, x, body.y2 - end, 0.6)
