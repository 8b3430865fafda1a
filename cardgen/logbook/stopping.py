"""When a row of runs ends, and what its second reading says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import sqrt

from cardgen.figures.track_fit import Fit
from cardgen.figures.track_verdict import Judgement, State, StopRule, judge, speeds_differ, stop_rule
from cardgen.logbook.history import FlownRun, History
from cardgen.logbook.track_rule import TrackRule

#: No split is inside it: for a rotor whose limit nobody has given.
_NO_LIMIT = Fraction(-(10**6))
#: Beyond so many readings of one setting, the next decides nothing.
_ENOUGH = 3
TOO_COARSE = "the readings cannot decide: read from video, or ask the maker; do not adjust"
TOO_LARGE = "the split is larger than may be adjusted out: do not fly, find the cause"
TWO_SPEEDS = "the split differs between two speeds: not pitch alone, stop, ask the maker"
TOO_SMALL = (
    "the next step is too small to make: inside the maker's limit leave it, outside do not fly, ask the maker"
)


def stop_words(history: History, rule: TrackRule, own: Fit | None, limit: Fraction | None) -> str:
    """Say why the runs end, or that they go on; the heaviest reason first."""
    row = history.row
    if abs(row[-1].run.split) > rule.max_split:
        return TOO_LARGE
    if _speeds_differ(row):
        return TWO_SPEEDS
    settings = _settings(row)
    split, u = _mean(settings[-1])
    rate = own.rate if own is not None else rule.rate
    if limit is None and abs(split) * rate < max(rule.finest, u * rate):
        return TOO_SMALL
    state = State(
        splits=[*(each[-1].run.split for each in settings[:-1]), split],
        unchanged=False,
        limit=_NO_LIMIT if limit is None else limit,
        reading_uncertainty=u,
        total=history.net if history.net is not None else row[-1].since,
        max_total=rule.max_total,
        rule=rule.rate,
        finest=rule.finest,
        own_rate=None if own is None else own.rate,
    )
    found = stop_rule(state)
    if found != StopRule.UNDECIDED or len(settings[-1]) < 2:
        return found
    again = stop_rule(replace(state, splits=(split, split), unchanged=True))
    if again != StopRule.UNDECIDED or len(settings[-1]) < _ENOUGH:
        return again
    # The reading has been repeated and the limit still lies in its scatter: a step that the scatter
    # allows brings the split away from the limit; without one, nothing more can be told this way.
    onward = stop_rule(replace(state, limit=_NO_LIMIT))
    return onward if onward == StopRule.GO_ON else TOO_COARSE


def _settings(row: Sequence[FlownRun]) -> list[list[FlownRun]]:
    """Put together the readings between which nothing was changed."""
    settings = [[row[0]]]
    for before, each in pairwise(row):
        if before.unchanged:
            settings[-1].append(each)
        else:
            settings.append([each])
    return settings


def _mean(readings: Sequence[FlownRun]) -> tuple[Fraction, Fraction]:
    """Take the mean of readings of one setting, and its standard deviation.

    Readings have errors in common, so that more than a few of them make the mean no surer.
    """
    split = sum((each.run.split for each in readings), Fraction(0)) / len(readings)
    counted = min(len(readings), _ENOUGH)
    return split, Fraction(float(_coarser(*readings)) / sqrt(counted)).limit_denominator(10_000)


def _speeds_differ(row: Sequence[FlownRun]) -> bool:
    """Whether two runs with nothing changed between them, at two speeds, show two splits."""
    return any(
        first.since == second.since
        and None not in (first.run.speed, second.run.speed)
        and first.run.speed != second.run.speed
        and speeds_differ(first.run.split, second.run.split, _coarser(first, second))
        for first, second in pairwise(row)
    )


def _coarser(*runs: FlownRun) -> Fraction:
    return max(each.run.uncertainty for each in runs)


def second_reading(row: Sequence[FlownRun], rate: Fraction) -> tuple[Judgement | None, bool]:
    """Judge the last change by the reading after it; and whether a further reading has confirmed that one."""
    pairs = [at for at, (first, _) in enumerate(pairwise(row)) if first.applied]
    if not pairs:
        return None, False
    at = pairs[-1]
    first, second, applied = row[at].run.split, row[at + 1].run.split, row[at].applied
    assert applied  # chosen for it
    confirmed = len(row) > at + 2 and not speeds_differ(
        second, row[-1].run.split, _coarser(row[at + 1], row[-1])
    )
    return judge(first, second, applied, rate, _coarser(row[at], row[at + 1])), confirmed
