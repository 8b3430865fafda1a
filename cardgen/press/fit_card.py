"""The type a card is set in: the largest rung of its edition's ladder at which it fits its sheets.

What is left goes to the main numbers first, then to drawings and to boxes to write in, then to the white.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import combinations
from typing import TypeAlias

from cardgen.press.boxes import Box
from cardgen.press.edition import DRAW, WRITE, Edition, Sizes
from cardgen.press.fit import TIGHT, Chain, Page, Room, chain_height, chains_of, evened, fill, spread
from cardgen.press.lines import DoesNotFitError
from cardgen.press.sections import PlacedError

#: Sets a card's sections at given sizes; one part of the list for each phase of the work.
Setter: TypeAlias = Callable[[Sizes], Sequence[Sequence[list[Box]]]]
#: A side is at least so full, the last one of several at least so.
HALF, THIRD = 0.5, 1 / 3
#: Sections stay whole where columns grow no longer than this by it.
_LONGER = 1.1
#: More sides than any card has.
_ANY = 10_000


@dataclass(frozen=True)
class _Way:
    """A way to set a card: at which sizes, its sections whole or parted, which phases begin a side."""

    sizes: Sizes
    whole: bool = False
    turns: tuple[int, ...] = ()


@dataclass
class _Tries:
    """What came of each way that was tried; nothing where it does not fit."""

    setter: Setter
    room: Room
    least: Sizes
    set: dict[Sizes, Sequence[Sequence[list[Box]]]] = field(default_factory=dict)
    pages: dict[_Way, list[Page]] = field(default_factory=dict)

    @property
    def height(self) -> float:
        """The height that boxes are parted for: where halves of a sheet take turns, that of the lower one."""
        heights = [self.room.height(side) for side in range(3)]
        return min(heights) if heights[2] < heights[1] else max(heights)

    def phases(self, sizes: Sizes) -> Sequence[Sequence[list[Box]]]:
        if sizes not in self.set:
            self.set[sizes] = self.setter(sizes)
        return self.set[sizes]

    def chains(self, way: _Way) -> list[Chain]:
        made: list[Chain] = []
        for number, phase in enumerate(self.phases(way.sizes)):
            chains = [chain for section in phase for chain in self._section(section, way.whole)]
            if number in way.turns and chains:
                chains[0] = (replace(chains[0][0], over=True), *chains[0][1:])
            made += chains
        return made

    def _section(self, boxes: Sequence[Box], whole: bool) -> Iterator[Chain]:
        is_one = whole and chain_height(tuple(boxes), TIGHT) <= self.height
        for part in [tuple(boxes)] if is_one else self._parted(boxes):
            wide = any(box.wide for box in part)
            yield tuple(replace(box, wide=True) for box in part) if wide else part

    def _parted(self, boxes: Sequence[Box]) -> list[Chain]:
        try:
            return list(chains_of(boxes, self.height))
        except DoesNotFitError:
            return list(chains_of(boxes, max(self.room.height(side) for side in range(3))))

    def filled(self, way: _Way) -> list[Page]:
        """Fill the sides of a way; raises where something does not fit."""
        if way not in self.pages:
            self.pages[way] = fill(self.chains(way), self.room)
        return self.pages[way]

    @cached_property
    def _held(self) -> int:
        """How many chains there are where as much stays together as can."""
        return len(self.chains(_Way(self.least)))

    def count(self, way: _Way) -> int:
        """Count the sides of a way; more than any card has where something does not fit.

        Type is never so large that it parts a table, or what else belongs together, that smaller type keeps.
        """
        try:
            return len(self.filled(way)) if len(self.chains(way)) <= self._held else _ANY
        except (DoesNotFitError, PlacedError):
            return _ANY

    def used(self, way: _Way) -> float:
        """Sum up how far down the sides of a way are filled."""
        return sum(page.used for page in self.filled(way))

    def parts(self, way: _Way, *, runs_on: bool = False) -> list[float]:
        """Tell how full each side of a way is."""
        pages = self.filled(way)
        if not (way.turns or runs_on):
            pages = evened(self.chains(way), self.room, pages)
        return [page.used / self.room.height(side) for side, page in enumerate(pages)]

    def is_full(self, way: _Way, *, runs_on: bool = False) -> bool:
        """Whether no side is emptier than it may be."""
        parts = self.parts(way, runs_on=runs_on)
        return len(parts) < 2 or (min(parts[:-1]) >= (THIRD if runs_on else HALF) and parts[-1] >= THIRD)


def fit_card(setter: Setter, room: Room, edition: Edition, grows: Collection[str]) -> list[Page]:
    """Fit a card to its sides; ``grows`` names the sizes that may be raised where there is room.

    Raises `DoesNotFitError` or `PlacedError` where something does not fit even at the least rung.
    """
    tries = _Tries(setter, room, edition.sizes())
    way, most = _chosen(tries, edition)
    if edition.fit.run_on:
        return tries.filled(way)
    way = _raised(tries, way, most, edition, grows)
    pages = tries.filled(way)
    if not way.turns:
        pages = evened(tries.chains(way), room, pages)
    return [spread(page.chains, room, side) if page.chains else page for side, page in enumerate(pages)]


def _chosen(tries: _Tries, edition: Edition) -> tuple[_Way, int]:
    """Choose the rung of the ladder, and how many sides the card has."""
    ladder = [_Way(edition.sizes(body)) for body in edition.type.ladder]
    if edition.fit.first == "type":
        on = edition.fit.run_on
        # One by one: the first that will do is mostly the first of all.
        full = (way for way in ladder if tries.count(way) < _ANY and tries.is_full(way, runs_on=on))
        if (way := next(full, None)) is None:
            fits = [way for way in ladder if tries.count(way) < _ANY] or ladder[-1:]
            way = max(fits, key=lambda way: min(tries.parts(way, runs_on=on)))
        return way, len(tries.filled(way))
    least = len(tries.filled(ladder[-1]))
    if edition.fit.phases and (phased := _phased(tries, ladder, least)):
        return phased, least
    way = _largest(ladder, tries, least)
    at = ladder.index(way)
    for rung in ladder[at : at + 2]:
        whole = replace(rung, whole=True)
        if tries.count(whole) <= least and tries.used(whole) <= _LONGER * tries.used(rung):
            return whole, least
    return way, least


def _phased(tries: _Tries, ladder: Sequence[_Way], sides: int) -> _Way | None:
    """Let every side begin with a phase, where so many sides allow it and none is too empty."""
    found: list[_Way] = []
    for turns in combinations(range(1, len(tries.phases(ladder[-1].sizes))), sides - 1):
        ways = [replace(way, turns=turns) for way in ladder]
        if turns and tries.count(ways[-1]) == sides:
            found.append(_largest(ways, tries, sides))
    found.sort(key=lambda way: -way.sizes.body)
    return next((way for way in found if tries.is_full(way)), None)


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


def _raised(tries: _Tries, way: _Way, sides: int, edition: Edition, grows: Collection[str]) -> _Way:
    """Raise the main numbers, then drawings and boxes to write in, while the card takes no more sides."""
    scale = edition.type
    steps = range(int(scale.number_most), int(scale.number), -1)
    numbers = [*(float(step) for step in steps), scale.number]
    for name, values in (("number", numbers), ("draw", DRAW[::-1]), ("write", WRITE[::-1])):
        if name not in grows:
            continue
        ways = [replace(way, sizes=replace(way.sizes, **{name: value})) for value in values]
        way = _largest(ways, tries, sides)
    return way
