"""How boxes find their place: zones of columns one below another, side after side.

Boxes that belong together are a chain and are never parted. A box that is ``wide`` stands across the
sheet; those between two of them form a zone, whose columns are as short as its chains, in order, allow.
Nothing is shrunk, clipped or split here; a rung of type that needs too many sides is for the caller to leave.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby
from typing import TypeAlias

from cardgen.press.boxes import Box, Keep
from cardgen.press.lines import DoesNotFitError

Chain: TypeAlias = tuple[Box, ...]
#: What holds boxes together. Where no side could hold them all, the first of these counts by which every
#: part has room: a table too long for any side still ends in sight of what follows it.
_HOLDS: tuple[tuple[Keep, ...], ...] = (
    ("always", "if it can", "in sight"),
    ("always", "if it can"),
    ("always", "in sight"),
    ("always",),
)
#: White between zones, as a part of the gutter; how near a height is found, in points.
_BETWEEN, _NEAR = 0.6, 0.5
_SLACK = 1e-6
#: How many times the white between boxes: while a card is fitted, and what is tried where room is to spare.
TIGHT = 0.65
_AIR = (1.6, 1.45, 1.3, 1.2, 1.1, 1.0, 0.9, 0.8, 0.7)


@dataclass(frozen=True)
class Put:
    """A box, how far its left edge and its top stand from those of the side, and the white above it."""

    box: Box
    x: float
    down: float
    gap: float = 0.0


@dataclass(frozen=True)
class Room:
    """What sides offer: columns with gutters, how high each side is, how many cautions it takes."""

    columns: int
    gutter: float
    width: float
    height: Callable[[int], float]
    cautions: int = 0

    @property
    def between(self) -> float:
        """White between zones."""
        return _BETWEEN * self.gutter

    def shortened(self, part: float) -> Room:
        """Give the same with sides of a part of their height."""
        return replace(self, height=lambda side: part * self.height(side))


@dataclass
class Page:
    """One side: its boxes, the chains they came in, how far it is filled, where column rules stand."""

    puts: list[Put] = field(default_factory=list)
    chains: list[Chain] = field(default_factory=list)
    used: float = 0.0
    rules: list[tuple[float, float]] = field(default_factory=list)
    cautions: int = 0


def chains_of(boxes: Sequence[Box], height: float) -> Iterator[Chain]:
    """Part boxes into chains, only as far as a side's height asks for.

    Raises `DoesNotFitError` for a box, with what must stay beside it, that is taller than a side.
    """
    for chain in _linked(boxes, _HOLDS[0]):
        parts: Sequence[Chain] = (chain,)
        for holds in _HOLDS:
            parts = tuple(_linked(chain, holds))
            if all(chain_height(part, TIGHT) <= height + _SLACK for part in parts):
                break
        for part in parts:
            if (over := chain_height(part, TIGHT) - height) > _SLACK:
                raise DoesNotFitError(part[-1].name, over)
            yield part


def _linked(boxes: Iterable[Box], links: tuple[Keep, ...]) -> Iterator[Chain]:
    chain: list[Box] = []
    for box in boxes:
        chain.append(box)
        if box.keep not in links:
            yield tuple(chain)
            chain = []
    if chain:
        yield tuple(chain)


def chain_height(chain: Chain, air: float, at_top: bool = True) -> float:
    """Measure a chain with so many times its white.

    At the top of a column what is repeated there counts, and the white above does not.
    """
    total = 0.0
    for box in chain:
        total += air * box.space + box.height
    if at_top:
        total += (chain[0].again.height if chain[0].again else 0.0) - air * chain[0].space
    return total


def fill(chains: Sequence[Chain], room: Room, air: float = TIGHT) -> list[Page]:
    """Put chains on as few sides as hold them, in order; ``air`` is how many times the white between boxes.

    Raises `DoesNotFitError` for a chain that is taller than a side.
    """
    pages = [Page()]
    for wide, zone in groupby(chains, key=lambda chain: chain[0].wide and room.columns > 1):
        rest = list(zone)
        while rest:
            page, high = pages[-1], room.height(len(pages) - 1)
            start = page.used + (air * room.between if page.puts else 0.0)
            shape = Room(1, 0.0, 0.0, room.height, room.cautions) if wide else room
            taken = _taken(page, rest, shape, high - start, air)
            if taken:
                _put_zone(page, rest[:taken], shape, (start, high - start), air, whole=taken == len(rest))
            elif not page.puts and room.height(len(pages)) <= high:
                # Else it has room on the next side, which is taller: a lower half has no header.
                raise DoesNotFitError(rest[0][-1].name, chain_height(rest[0], air) - high)
            rest = rest[taken:]
            if rest:
                pages.append(Page())
    return pages


def _taken(page: Page, chains: Sequence[Chain], room: Room, height: float, air: float) -> int:
    """Count the chains, in order, that have room on a side in columns of a height."""
    count = sum(map(len, _columns(chains, room, height, air)))
    cautions = page.cautions
    for place, chain in enumerate(chains[:count]):
        cautions += sum(box.cautions for box in chain)
        begins = chain[0].over or (room.cautions and cautions > room.cautions)
        if begins and (place or page.puts):
            return place
    return count


def _columns(chains: Sequence[Chain], room: Room, height: float, air: float) -> list[list[Chain]]:
    """Fill columns of a height one after another, until they are full or nothing is left."""
    columns: list[list[Chain]] = [[]]
    used = 0.0
    for chain in chains:
        need = chain_height(chain, air, at_top=not columns[-1])
        if used + need > height + _SLACK:
            if columns[-1]:
                columns.append([])
                used, need = 0.0, chain_height(chain, air)
            if need > height + _SLACK or len(columns) > room.columns:
                return columns[: room.columns]
        columns[-1].append(chain)
        used += need
    return columns


def _least_height(chains: Sequence[Chain], room: Room, most: float, air: float) -> float:
    """Find the least height of columns that hold all chains, by bisection."""
    low, high = 0.0, most
    while room.columns > 1 and high - low > _NEAR:
        middle = (low + high) / 2
        if sum(map(len, _columns(chains, room, middle, air))) == len(chains):
            high = middle
        else:
            low = middle
    return high


def _put_zone(
    page: Page, chains: Sequence[Chain], room: Room, place: tuple[float, float], air: float, *, whole: bool
) -> None:
    """Set a zone in columns, as short as can be where it is whole.

    A shorter column has wider gaps, within reason, so that it ends where the others do.
    """
    start, height = place
    columns = _columns(chains, room, _least_height(chains, room, height, air) if whole else height, air)
    heights = [
        sum(chain_height(chain, air, at_top=not at) for at, chain in enumerate(column)) for column in columns
    ]
    for index, (column, own) in enumerate(zip(columns, heights, strict=True)):
        gaps = sum(box.space for chain in column for box in chain) - column[0][0].space
        wider = min(_AIR[0], air + (max(heights) - own) / gaps) if gaps > 0 else air
        down, x = start, index * (room.width + room.gutter)
        for at, chain in enumerate(column):
            down = _put(page, chain, x, down, wider, at_top=not at)
    if len(columns) > 1:
        page.rules.append((start, start + max(heights)))
    page.used = start + max(heights)


def _put(page: Page, chain: Chain, x: float, down: float, air: float, *, at_top: bool) -> float:
    """Put a chain on a side and give how far down it ends."""
    page.chains.append(chain)
    page.cautions += sum(box.cautions for box in chain)
    for place, box in enumerate(chain):
        top = at_top and not place
        if top and box.again:
            page.puts.append(Put(box.again, x, down))
            down += box.again.height
        gap = 0.0 if top else box.space * air
        page.puts.append(Put(box, x, down + gap, gap))
        down += gap + box.height
    return down


def evened(chains: Sequence[Chain], room: Room, pages: list[Page]) -> list[Page]:
    """Fill the same number of sides, each about as full as the others."""
    low, high, best = 0.0, 1.0, pages
    while len(pages) > 1 and high - low > 0.02:
        middle = (low + high) / 2
        try:
            tried = fill(chains, room.shortened(middle))
        except DoesNotFitError:
            tried = []
        if tried and len(tried) <= len(pages):
            high, best = middle, tried
        else:
            low = middle
    return best


def spread(chains: Sequence[Chain], room: Room, side: int) -> Page:
    """Fill one side again with as much white between its boxes as one side has room for."""
    one = replace(room, height=lambda _: room.height(side), cautions=0)
    chains = [(replace(chain[0], over=False), *chain[1:]) for chain in chains]
    for air in _AIR:
        try:
            if len(pages := fill(chains, one, air)) == 1:
                return pages[0]
        except DoesNotFitError:
            continue  # a chain with so much white in it is taller than the side
    return fill(chains, one)[0]
