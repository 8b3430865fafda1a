"""The type a card is set in: the largest rung of its edition's ladder at which it fits its sheets.

What is left goes to the main numbers first, then to drawings and to boxes to write in, then to the white.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from cardgen.press.boxes import Box
from cardgen.press.edition import DRAW, WRITE, Edition, Sizes
from cardgen.press.fit import Chain, Page, Room, chain_height, chains_of, evened, fill, spread
from cardgen.press.lines import DoesNotFitError
from cardgen.press.sections import PlacedError

#: Sets a card's sections at given sizes; one part of the list for each phase of the work.
Setter: TypeAlias = Callable[[Sizes], Sequence[Sequence[Sequence[Box]]]]
#: A side is at least so full, the last one of several at least so.
HALF, THIRD = 0.5, 1 / 3
#: More sides than any card has.
_ANY = 10_000


@dataclass(frozen=True)
class _Way:
    """A way to set a card: at which sizes, its sections whole or parted, its phases on sides of their own."""

    sizes: Sizes
    whole: bool = False
    phased: bool = False


@dataclass
class _Tries:
    """What came of each way that was tried; nothing where it does not fit."""

    setter: Setter
    room: Room
    set: dict[Sizes, Sequence[Sequence[Sequence[Box]]] | None] = field(default_factory=dict)
    pages: dict[_Way, list[Page] | None] = field(default_factory=dict)

    @property
    def height(self) -> float:
        return min(self.room.height(side) for side in range(3))

    def chains(self, way: _Way) -> list[Chain]:
        phases = self.set.get(way.sizes) or self.setter(way.sizes)
        self.set[way.sizes] = phases
        made: list[Chain] = []
        for number, phase in enumerate(phases):
            chains = [chain for section in phase for chain in self._section(section, way.whole)]
            if number and way.phased and chains:
                chains[0] = (replace(chains[0][0], over=True), *chains[0][1:])
            made += chains
        return made

    def _section(self, boxes: Sequence[Box], whole: bool) -> Iterator[Chain]:
        parts = (
            [tuple(boxes)]
            if whole and chain_height(tuple(boxes)) <= self.height
            else chains_of(boxes, self.height)
        )
        for part in parts:
            wide = any(box.wide for box in part)
            yield tuple(replace(box, wide=True) for box in part) if wide else part

    def count(self, way: _Way) -> int:
        """Count the sides of a way; more than any card has where something does not fit."""
        if way not in self.pages:
            try:
                self.pages[way] = fill(self.chains(way), self.room)
            except (DoesNotFitError, PlacedError):
                self.pages[way] = None
        return len(self.pages[way] or range(_ANY))

    def is_full(self, way: _Way) -> bool:
        """Whether no side is emptier than it may be."""
        pages = (
            evened(self.chains(way), self.room, self.pages[way] or []) if not way.phased else self.pages[way]
        )
        parts = [page.used / self.room.height(side) for side, page in enumerate(pages or [])]
        return len(parts) < 2 or (min(parts[:-1]) >= HALF and parts[-1] >= THIRD)


def fit_card(setter: Setter, room: Room, edition: Edition) -> list[Page]:
    """Fit a card to its sides.

    Raises `DoesNotFitError` or `PlacedError` where something does not fit even at the least rung.
    """
    tries = _Tries(setter, room)
    way, most = _chosen(tries, edition)
    if not edition.fit.run_on:
        way = _raised(tries, way, most, edition)
    chains = tries.chains(way)
    pages = tries.pages[way] or fill(chains, room)
    if not (way.phased or edition.fit.run_on):
        pages = evened(chains, room, pages)
    if edition.fit.run_on:
        return pages
    return [spread(page.chains, room, side) if page.chains else page for side, page in enumerate(pages)]


def _chosen(tries: _Tries, edition: Edition) -> tuple[_Way, int]:
    """Choose the rung of the ladder, and how many sides the card has."""
    ladder = [_Way(edition.sizes(body)) for body in edition.type.ladder]
    if edition.fit.first == "type":
        for way in ladder:
            if tries.count(way) < _ANY and tries.is_full(way):
                return way, tries.count(way)
    least = fill(tries.chains(ladder[-1]), tries.room)
    if edition.fit.first == "type":
        return ladder[-1], len(least)
    phases = len(tries.set[ladder[-1].sizes] or ())
    if edition.fit.phases and phases > 1:
        way = _largest([replace(way, phased=True) for way in ladder], tries, phases)
        if tries.count(way) == phases and tries.is_full(way):
            return way, phases
    way = _largest(ladder, tries, len(least))
    at = ladder.index(way)
    for rung in ladder[at : at + 2]:
        if tries.count(whole := replace(rung, whole=True)) <= len(least):
            return whole, len(least)
    return way, len(least)


def _largest(ladder: Sequence[_Way], tries: _Tries, sides: int) -> _Way:
    """Find the first way down a ladder that takes no more sides, by bisection; the last where none does."""
    low, high = 0, len(ladder) - 1
    while low < high:
        middle = (low + high) // 2
        if tries.count(ladder[middle]) <= sides:
            high = middle
        else:
            low = middle + 1
    return ladder[high]


def _raised(tries: _Tries, way: _Way, sides: int, edition: Edition) -> _Way:
    """Raise the main numbers, then drawings and boxes to write in, while the card takes no more sides."""
    scale = edition.type
    steps = range(int(scale.number_most), int(scale.number), -1)
    numbers = [*(float(step) for step in steps), scale.number]
    for name, values in (("number", numbers), ("draw", DRAW[::-1]), ("write", WRITE[::-1])):
        ways = [replace(way, sizes=replace(way.sizes, **{name: value})) for value in values]
        way = _largest(ways, tries, sides)
    return way
