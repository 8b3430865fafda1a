"""When a row of runs ends, and what its second reading says: the row put into the terms of the figures."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from cardgen.figures.track_end import End, Limits, RunSplits, Where, agreeing, end_of, finest
from cardgen.figures.track_fit import Fit
from cardgen.figures.track_verdict import DIFFERENT, Judgement, judge
from cardgen.logbook.history import FlownRun, History
from cardgen.logbook.track_rule import TrackRule


def end_of_row(history: History, rule: TrackRule, own: Fit | None) -> End:
    """Say why the runs end, or that they go on; the heaviest reason first."""
    where = Where(
        settings=[[splits_of(each) for each in setting] for setting in settings_of(history.row)],
        total=history.net,
        since=history.row[-1].since,
        own_rate=None if own is None else own.rate,
    )
    limits = Limits(
        good_enough=rule.good_enough,
        max_split=rule.max_split,
        max_total=rule.max_total,
        rule=rule.rate,
        finest=rule.finest,
        speeds=rule.speeds,
    )
    return end_of(where, limits)


def settled_split(row: Sequence[FlownRun]) -> Fraction:
    """Give the split that the next change is made by: of the last setting, the mean of what agrees."""
    runs = finest(agreeing([splits_of(each) for each in settings_of(row)[-1]]))
    return sum((run.mean for run in runs), Fraction(0)) / len(runs)


def splits_of(flown: FlownRun) -> RunSplits:
    """Take a run's splits at the named speeds, and the scatter of one reading."""
    return RunSplits(tuple(each.split for each in flown.run.readings), flown.run.uncertainty)


def settings_of(row: Sequence[FlownRun]) -> list[list[FlownRun]]:
    """Put together the runs between which nothing was changed."""
    settings = [[row[0]]]
    for before, each in pairwise(row):
        if before.unchanged:
            settings[-1].append(each)
        else:
            settings.append([each])
    return settings


def second_reading(row: Sequence[FlownRun], rate: Fraction) -> tuple[Judgement | None, bool]:
    """Judge the last change by the reading after it; and whether a further reading has confirmed that one."""
    pairs = [at for at, (first, _) in enumerate(pairwise(row)) if first.applied]
    if not pairs:
        return None, False
    at = pairs[-1]
    first, second, applied = row[at], row[at + 1], row[at].applied
    assert applied  # chosen for it
    judged = judge(first.run.split, second.run.split, applied, rate, _coarser(first, second))
    again = row[-1]
    apart = abs(second.run.split - again.run.split)
    confirmed = len(row) > at + 2 and apart <= DIFFERENT * _coarser(second, again)
    return judged, confirmed


def _coarser(*runs: FlownRun) -> Fraction:
    return max(each.run.uncertainty for each in runs)
