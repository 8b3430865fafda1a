"""When a row of track runs ends, and why: from what was read and locked, never from what was hoped.

Done is said only where every reading at every named speed of the last two runs lies inside the limit by
itself, with nothing changed between, and all runs of that setting agree. A mean never says done; it can
only say: not yet. Runs that agree name the same blade, or the split is so small that they may be level.

Two readings of one thing lie further apart than 2.8 standard deviations one time in twenty. The first
such excess asks for another reading; the second, the same way round, stops. Of a thousand simulated rotors
read by video, one in ten with a split that does change with speed, 12 with nothing wrong were stopped so.

Splits in inches, plus when A flies high; adjustments in thou of the rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import combinations
from math import sqrt

from cardgen.figures.track_verdict import DIFFERENT


class End(StrEnum):
    """Why the runs end, or that they go on; words for a person."""

    DONE = "inside the limit on two runs without a change between: done"
    GO_ON = "one more step"
    ONCE_MORE = "inside the limit once: run and read again, change nothing"
    OTHER_SPEED = "inside the limit, but not read at every named speed: read that too, change nothing"
    READ_AGAIN = "the limit lies inside the scatter of the reading: read again, change nothing"
    APART = "two readings without a change between lie too far apart: read again, change nothing"
    SPEEDS_APART = "the splits at two speeds lie too far apart: read again, change nothing"
    BY_VIDEO = "this limit is smaller than this way of reading can show: read by video"
    TOO_COARSE = "the readings cannot decide: ask the maker, do not adjust"
    NO_LIMIT = "no split is given at which the work is done: compare with the maker's limit, or ask"
    NO_MOST = "inside the limit; the largest total is not given, so ask the maker"
    NO_TOTAL = "inside the limit; the total from as delivered is not known, so write it"
    PAST_TOTAL = "the total is past the largest: do not fly, ask the maker"
    TOO_LARGE = "the split is larger than may be adjusted out: do not fly, find the cause"
    TWO_SPEEDS = "the split differs between two speeds, twice: not pitch alone, stop, ask the maker"
    UNSTEADY = "readings without a change between do not agree: not pitch alone, stop, find the cause"
    TOO_SMALL = "the next step is too small to make and the split is outside: do not fly, ask the maker"
    TOTAL = "the next step would pass the largest total: stop, find the cause"
    NOT_HALVED = "four runs did not halve the split: stop, find the cause"
    NOT_THE_RULE = "this rotor answers unlike its rule: stop, ask the maker"

    @property
    def reads_again(self) -> bool:
        """Whether the next thing is another reading with nothing changed."""
        return self in _AGAIN


_AGAIN = frozenset({End.ONCE_MORE, End.OTHER_SPEED, End.READ_AGAIN, End.APART, End.SPEEDS_APART, End.BY_VIDEO})


@dataclass(frozen=True)
class RunSplits:
    """The splits of one run at the named speeds, the first speed first, and the scatter of one reading."""

    splits: tuple[Fraction, ...]
    scatter: Fraction

    @property
    def mean(self) -> Fraction:
        """The split that a change is made by."""
        return sum(self.splits, Fraction(0)) / len(self.splits)

    @property
    def speeds_apart(self) -> int:
        """Which way the splits at two speeds lie apart beyond chance, 1 or -1; 0 where they do not."""
        apart = self.splits[0] - self.splits[-1]
        return 0 if abs(apart) <= DIFFERENT * self.scatter else 1 if apart > 0 else -1


@dataclass(frozen=True)
class Limits:
    """What the runs are judged by; None where it is not given. ``speeds`` is how many are named."""

    good_enough: Fraction | None
    max_split: Fraction
    max_total: Fraction | None
    rule: Fraction
    finest: Fraction
    speeds: int = 1


@dataclass(frozen=True)
class Where:
    """Where the runs stand: each setting's runs, the oldest first, the last setting last.

    ``total`` is the net from as delivered, None where it is not known; ``since`` the net since the row
    began; ``own_rate`` this rotor's own where the runs have told it.
    """

    settings: Sequence[Sequence[RunSplits]]
    total: Fraction | None
    since: Fraction
    own_rate: Fraction | None = None


#: Beyond so many readings of one setting, the next decides nothing.
ENOUGH = 3
#: One-sided 97.5 percent of a normal distribution.
_SURE = Fraction(196, 100)
#: Over so many changes the split must have halved.
_CHANGES = 3


def end_of(where: Where, limits: Limits) -> End:
    """Decide whether to go on; whatever points to another cause is looked at first."""
    found = _other_cause(where, limits)
    if found is not None:
        return found
    kept = finest(agreeing(where.settings[-1]))
    if found := _inside(kept, where, limits):
        return found
    return _outside(kept, where, limits)


def agreeing(setting: Sequence[RunSplits]) -> list[RunSplits]:
    """Give the runs of a setting, without the one that stands alone between two others which agree.

    Never without the first or the last: what changes and stays so was changed, whatever was written.
    """
    if _lie_apart(setting):
        for at in range(1, len(setting) - 1):
            others = [*setting[:at], *setting[at + 1 :]]
            if not _lie_apart(others):
                return others
    return list(setting)


def finest(runs: Sequence[RunSplits]) -> list[RunSplits]:
    """Give the runs that were read the finest way: a coarser reading tells nothing beside them."""
    best = min(run.scatter for run in runs)
    return [run for run in runs if run.scatter == best]


def _other_cause(where: Where, limits: Limits) -> End | None:
    last, rate = where.settings[-1][-1], where.own_rate
    if rate is not None and not limits.rule / 3 <= rate <= limits.rule * 3:
        return End.NOT_THE_RULE
    if max(map(abs, last.splits)) > limits.max_split:
        return End.TOO_LARGE
    runs = [run for setting in where.settings for run in setting]
    if _speeds_apart(runs):
        twice = len(runs) > 1 and runs[-2].speeds_apart == last.speeds_apart
        return End.TWO_SPEEDS if twice else End.SPEEDS_APART
    if _lie_apart(agreeing(where.settings[-1])):
        return End.UNSTEADY if _lie_apart(where.settings[-1][:-1]) else End.APART
    return None


def _speeds_apart(runs: Sequence[RunSplits]) -> bool:
    """Whether the splits at two speeds lie apart in the last run, and not by chance.

    What speed does to a split stays as it is when pitch is changed. So a run that lies apart alone, after
    runs that do not, is chance where the mean of them all does not lie apart either.
    """
    last = runs[-1]
    told = [run for run in runs if len(run.splits) > 1 and run.scatter <= last.scatter][-ENOUGH:]
    if not last.speeds_apart or any(run.speeds_apart for run in told[:-1]):
        return bool(last.speeds_apart)
    apart = sum((run.splits[0] - run.splits[-1] for run in told), Fraction(0))
    # The mean's own spread is that of one reading over the root of their number; both sides squared.
    return apart**2 > len(told) * (DIFFERENT * last.scatter) ** 2


def _lie_apart(runs: Sequence[RunSplits]) -> bool:
    return any(
        abs(one.mean - other.mean) > DIFFERENT * max(one.scatter, other.scatter)
        for one, other in combinations(runs, 2)
    )


def _inside(runs: Sequence[RunSplits], where: Where, limits: Limits) -> End | None:
    """Judge a setting whose last two runs are inside the limit at every speed; nothing where one is not."""
    limit = limits.good_enough
    if limit is None or not all(_is_inside(run, limit) for run in runs[-2:]):
        return None
    if DIFFERENT * max(run.scatter for run in runs) > limit:
        return End.BY_VIDEO
    if len(runs) < 2:
        return End.ONCE_MORE
    if any(len(run.splits) < limits.speeds for run in runs):
        return End.OTHER_SPEED
    if not all(
        _surely_inside(readings, runs, limit) for readings in zip(*(run.splits for run in runs), strict=False)
    ):
        return End.READ_AGAIN if len(runs) < ENOUGH else None
    if limits.max_total is None:
        return End.NO_MOST
    if where.total is None:
        return End.NO_TOTAL
    return End.DONE if abs(where.total) <= limits.max_total else End.PAST_TOTAL


def _is_inside(run: RunSplits, limit: Fraction) -> bool:
    return all(abs(split) <= limit for split in run.splits)


def _surely_inside(readings: Sequence[Fraction], runs: Sequence[RunSplits], limit: Fraction) -> bool:
    """Whether the split at one speed is surely not outside by more than the scatter of one reading.

    Besides every reading inside by itself: one rotor of forty that lies just so far outside would
    still pass by its mean alone.
    """
    mean, scatter = sum(readings, Fraction(0)) / len(readings), max(run.scatter for run in runs)
    return abs(mean) + _SURE * _of_mean(scatter, len(readings)) <= limit + scatter


def _of_mean(scatter: Fraction, count: int) -> Fraction:
    """Give one standard deviation of a mean; readings have errors in common, so few make it no surer."""
    return Fraction(float(scatter) / sqrt(min(count, ENOUGH))).limit_denominator(10_000)


def _outside(runs: Sequence[RunSplits], where: Where, limits: Limits) -> End:
    split = sum((run.mean for run in runs), Fraction(0)) / len(runs)
    scatter = _of_mean(max(run.scatter for run in runs), len(runs))
    limit, total = limits.good_enough, where.since if where.total is None else where.total
    before = [setting[-1].mean for setting in where.settings[:-1]]
    if limit is not None and limit < DIFFERENT * runs[-1].scatter >= abs(split):
        return End.BY_VIDEO
    if len(before) >= _CHANGES and abs(split) > abs(before[-_CHANGES]) / 2:
        return End.NOT_HALVED
    if limit is not None and len(runs) < ENOUGH and _is_inside(runs[-1], limit) and abs(split) <= limit:
        return End.READ_AGAIN
    # No step is larger than the rule's, however slowly this rotor answers.
    rate = min(where.own_rate or limits.rule, limits.rule)
    step = split * rate
    if abs(step) < max(limits.finest, scatter * rate):
        return End.NO_LIMIT if limit is None else _too_small(split, limit)
    if limits.max_total is not None and abs(total + step) > limits.max_total:
        return End.TOTAL
    return End.GO_ON


def _too_small(split: Fraction, limit: Fraction) -> End:
    return End.TOO_COARSE if abs(split) <= limit else End.TOO_SMALL
