"""Trends from the log: play and shake over the rotor's hours or over the days, and when a limit comes.

A straight line is laid through the readings by least squares. The forecast uses the steepest slope
that the readings leave likely, so that the next check comes rather too early; the maker's interval
wins over it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction
from math import sqrt
from typing import Literal, TypeAlias

from cardgen.logbook.keeping import LogEntry
from cardgen.logbook.number import read_number
from cardgen.spec.bound import Bound

Axis: TypeAlias = Literal["rotor hours", "days"]
#: What floating point may have lost of a whole number.
_HAIR = 1e-6
#: With fewer readings a line says nothing about its own slope.
ENOUGH = 3
#: One-sided 95 percent of Student's distribution, by the readings beyond two (any table of it), and
#: of the normal one for more.
_GUARD = (6.32, 2.92, 2.36, 2.14, 2.02, 1.95, 1.90, 1.86, 1.84, 1.82)
_GUARD_BEYOND = 1.80

_PLAY = {
    "teeter": ("Play along the teeter bolt", ("teeter-play",)),
    "head": ("Play of the mast bearing, largest place", ("play-front", "play-left", "play-rear", "play-right")),
}
_SHAKE = ("Shake once a turn, as found", ("shake-none",))


@dataclass(frozen=True)
class TrendPoint:
    """One reading: hours or days since the first, its day, its value in the box's unit."""

    at: float
    day: date
    value: float


@dataclass(frozen=True)
class Series:
    """All readings of one thing in one unit, the oldest first, with the most that is allowed."""

    id: str
    title: str
    unit: str
    axis: Axis
    start: date
    readings: tuple[TrendPoint, ...]
    most: float | None


@dataclass(frozen=True)
class Straight:
    """A line by least squares: value at nothing, slope, and the slope's standard deviation."""

    start: float
    slope: float
    slope_deviation: float

    def at(self, x: float) -> float:
        """The line's value."""
        return self.start + self.slope * x


def straight(readings: Sequence[TrendPoint]) -> Straight | None:
    """Lay a line through readings; nothing with fewer than three or all at one moment."""
    if len(readings) < ENOUGH:
        return None
    count = len(readings)
    middle = sum(each.at for each in readings) / count
    mean = sum(each.value for each in readings) / count
    spread = sum((each.at - middle) ** 2 for each in readings)
    if spread == 0:
        return None
    slope = sum((each.at - middle) * (each.value - mean) for each in readings) / spread
    line = Straight(mean - slope * middle, slope, 0.0)
    left = sum((each.value - line.at(each.at)) ** 2 for each in readings)
    return Straight(line.start, slope, sqrt(left / (count - 2) / spread))


def guard(freedom: int) -> float:
    """Give how many standard deviations a slope may be steeper, one-sided 95 percent; never too few."""
    return _GUARD[freedom - 1] if freedom <= len(_GUARD) else _GUARD_BEYOND


def earliest(series: Series) -> float | None:
    """Tell when the limit may come at the earliest, on the series' own axis; nothing where none is in sight."""
    line = straight(series.readings)
    if line is None or series.most is None:
        return None
    steepest = line.slope + guard(len(series.readings) - 2) * line.slope_deviation
    last = series.readings[-1]
    now = max(last.value, line.at(last.at))
    if now >= series.most:
        return last.at
    return last.at + (series.most - now) / steepest if steepest > 0 else None


def forecast_words(series: Series) -> str:
    """Say when to look again."""
    last = series.readings[-1]
    if series.most is not None and last.value > series.most:
        return "The last reading is over the limit. Do not fly. Ask the maker."
    if series.most is None:
        return "No limit is stated for this in the specification."
    if len(series.readings) < ENOUGH or straight(series.readings) is None:
        return "Too few readings for a trend. Check again when the maker says."
    at = earliest(series)
    if at is None:
        return "The readings do not rise. Check again when the maker says."
    return (
        f"At the earliest the limit comes at about {_when(series, at)}. Check before, and when the maker says."
    )


def _when(series: Series, at: float) -> str:
    if series.axis == "rotor hours":
        return f"{int(at + _HAIR)} rotor hours"
    # Beyond a lifetime a forecast is no date.
    return (series.start + timedelta(days=min(int(at + _HAIR), 36_500))).isoformat()


def all_series(entries: Sequence[LogEntry]) -> tuple[Series, ...]:
    """Collect every series that has a reading."""
    wanted = {**_PLAY, "shake": _SHAKE}
    found = [_series(card, title, boxes, entries) for card, (title, boxes) in wanted.items()]
    return tuple(each for each in found if each is not None)


def _series(card: str, title: str, boxes: Iterable[str], entries: Sequence[LogEntry]) -> Series | None:
    names = tuple(boxes)
    read = [(each, value) for each in entries if (value := _largest(each, card, names)) is not None]
    if not read:
        return None
    newest = read[-1][0]
    unit = newest.entry.values[card][_first(newest.entry.values[card], names)].unit
    same = [(each, value) for each, value in read if _unit(each, card, names) == unit]
    hours = [_hours(each) for each, _ in same]
    start = same[0][0].entry.record.day
    axis: Axis = "rotor hours" if None not in hours and _rise(hours) else "days"
    readings = tuple(
        TrendPoint(_at(each, hour, axis, start), each.entry.record.day, float(value))
        for (each, value), hour in zip(same, hours, strict=True)
    )
    most = _most(newest, card, names)
    return Series(card, title, unit, axis, start, readings, None if most is None else float(most))


def _at(each: LogEntry, hours: Fraction | None, axis: Axis, start: date) -> float:
    if axis == "rotor hours" and hours is not None:
        return float(hours)
    return float((each.entry.record.day - start).days)


def _rise(hours: Iterable[Fraction | None]) -> bool:
    known = [hour for hour in hours if hour is not None]
    return known == sorted(known) and len(set(known)) == len(known)


def _held(each: LogEntry, card: str, names: Sequence[str]) -> Iterator[tuple[str, Fraction]]:
    for name in names:
        measured = each.entry.values.get(card, {}).get(name)
        number = None if measured is None else read_number(measured.value)
        if number is not None:
            yield name, number


def _largest(each: LogEntry, card: str, names: Sequence[str]) -> Fraction | None:
    return max((number for _, number in _held(each, card, names)), default=None)


def _first(held: Mapping[str, object], names: Sequence[str]) -> str:
    return next(name for name in names if name in held)


def _unit(each: LogEntry, card: str, names: Sequence[str]) -> str:
    held = each.entry.values[card]
    return held[_first(held, names)].unit


def _most(each: LogEntry, card: str, names: Sequence[str]) -> Fraction | None:
    boxes = (each.deck.boxes.box(card, name) for name in names)
    mosts = (box.bounds.get(Bound.AT_MOST) for box in boxes if box is not None)
    return min((most for most in mosts if most is not None), default=None)


def _hours(each: LogEntry) -> Fraction | None:
    typed = each.entry.record.rotor_hours
    return None if typed is None else read_number(typed)
