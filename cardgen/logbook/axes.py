"""A pair of axes on a drawing board: round marks, their numbers, and places for values."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor, log10

from cardgen.deck.diagram import FINE, NORMAL, DrawnShape, Label, Line
from cardgen.logbook.lettering import ChartPart, Choice

WIDTH, HEIGHT = 160.0, 96.0
_LEFT, _RIGHT, _LOW, _HIGH = 20.0, 154.0, 18.0, 84.0
#: Lettering in millimetres of type.
SMALL = 3.4


@dataclass(frozen=True)
class Axis:
    """One axis: what it counts, and the ends it runs between."""

    title: str
    low: float
    high: float
    step: float

    def marks(self) -> Iterator[float]:
        """Give the values of its marks."""
        count = round((self.high - self.low) / self.step)
        yield from (self.low + at * self.step for at in range(count + 1))

    def text(self, value: float) -> str:
        """Write a mark's value without useless digits."""
        decimals = max(0, -floor(log10(self.step) + 1e-9))
        if round(self.step, decimals) != round(self.step, 6):
            decimals += 1
        return f"{value + 0.0:.{decimals}f}" if abs(value) > 1e-9 else "0"


def axis(title: str, values: list[float], wanted: int = 6) -> Axis:
    """Make an axis with round marks that reaches round all values."""
    low, high = min(values), max(values)
    if high - low < 1e-9:
        low, high = low - 1, high + 1
    rough = (high - low) / wanted
    power: float = 10.0 ** floor(log10(rough))
    step = next(power * each for each in (1, 2, 2.5, 5, 10) if power * each >= rough - 1e-12)
    return Axis(title, floor(low / step + 1e-9) * step, ceil(high / step - 1e-9) * step, step)


@dataclass(frozen=True)
class Axes:
    """Two axes on the board."""

    across: Axis
    up: Axis

    def x(self, value: float) -> float:
        """Place a value across."""
        share = (value - self.across.low) / (self.across.high - self.across.low)
        return _LEFT + share * (_RIGHT - _LEFT)

    def y(self, value: float) -> float:
        """Place a value up."""
        share = (value - self.up.low) / (self.up.high - self.up.low)
        return _LOW + share * (_HIGH - _LOW)

    def frame(self) -> Iterator[DrawnShape]:
        """Draw both axes with marks, numbers and titles."""
        yield Line(_LEFT, _LOW, _RIGHT, _LOW, NORMAL)
        yield Line(_LEFT, _LOW, _LEFT, _HIGH, NORMAL)
        for value in self.across.marks():
            x = self.x(value)
            yield Line(x, _LOW, x, _LOW - 1.5, FINE)
            yield Label(x, _LOW - 5.5, self.across.text(value), SMALL)
        for value in self.up.marks():
            y = self.y(value)
            yield Line(_LEFT, y, _LEFT - 1.5, y, FINE)
            yield Label(_LEFT - 2.5, y - 1.1, self.up.text(value), SMALL, anchor="end")
        yield Label((_LEFT + _RIGHT) / 2, 4.5, self.across.title, SMALL)
        yield Label(2.0, _HIGH + 5.5, self.up.title, SMALL, anchor="start")

    def level(self, value: float, words: str) -> Iterator[ChartPart]:
        """Draw a limit as a dashed line with its words on it, under it, or at its other end."""
        if self.up.low <= value <= self.up.high:
            y = self.y(value)
            yield Line(_LEFT, y, _RIGHT, y, NORMAL, dashed=True)
            levels = (y + 1.2, y - 3.6)
            right = tuple(Label(_RIGHT, level, words, SMALL, anchor="end") for level in levels)
            left = tuple(Label(_LEFT + 1.0, level, words, SMALL, anchor="start") for level in levels)
            yield Choice((right, left))

    def upright(self, value: float, words: str) -> Iterator[ChartPart]:
        """Draw a limit across as a dashed upright, its words at its top, toward the middle, or its foot."""
        if self.across.low <= value <= self.across.high:
            x = self.x(value)
            right = x > (_LEFT + _RIGHT) / 2
            yield Line(x, _LOW, x, _HIGH, NORMAL, dashed=True)
            places = []
            for level in (_HIGH + 1, _LOW + 1.2):
                after = Label(x + 1, level, words, SMALL, anchor="start")
                before = Label(x - 1, level, words, SMALL, anchor="end")
                places += [(before,), (after,)] if right else [(after,), (before,)]
            yield Choice(tuple(places))

    def run(
        self, values: list[tuple[float, float]], weight: float, dashed: bool = False
    ) -> Iterator[DrawnShape]:
        """Draw a line through values, left out where it leaves the board."""
        for (x1, y1), (x2, y2) in pairwise(values):
            if all(self.up.low <= y <= self.up.high for y in (y1, y2)):
                yield Line(self.x(x1), self.y(y1), self.x(x2), self.y(y2), weight, dashed)
