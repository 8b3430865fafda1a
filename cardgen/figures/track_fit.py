"""A rotor's own track rate, learned from its runs, by weighted least squares with a prior.

    split after run k = split as delivered - slope x total adjustment before run k + scatter

The adjustment is known exactly and the split is noisy, so the split is fitted on the adjustment and
the slope turned over afterwards: rate = 1/slope. The maker's rule enters as one more observation of
the slope, trusted to about a third. The sums are the normal equations of weighted least squares and
are exact; only the uncertainties need a square root.

Splits are in inches of total split, plus when A flies high; adjustments in thou, plus when A's pitch
is reduced against B's.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

#: How far a rotor's own slope may be from the rule's before the runs have spoken: one standard
#: deviation, as a share of the slope. The physics leaves out about as much.
PRIOR = Fraction(35, 100)

#: Before this many runs a fitted rate is provisional.
ENOUGH_RUNS = 3


@dataclass(frozen=True)
class FitPoint:
    """One run: the net adjustment it was flown with, and the split that was read."""

    total: Fraction
    split: Fraction


@dataclass(frozen=True)
class Spread:
    """Variances of the split as delivered and of the slope, and what the two have in common."""

    start: Fraction
    slope: Fraction
    common: Fraction

    def at(self, total: Fraction) -> Fraction:
        """Give the variance of the fitted split at a total (JCGM 100, 5.2.2: a sum of correlated parts).

        At the total where the split is nothing, divided by the slope squared, it is that total's own.
        """
        return self.start - 2 * total * self.common + total**2 * self.slope


@dataclass(frozen=True)
class Fit:
    """A rotor's own rate in thou for an inch of split, and the total that would make the split nothing.

    ``next_total`` is held inside the largest total and the next step inside the table's largest row;
    ``wanted_total`` is what the fit asks for by itself, and ``total_uncertainty`` its one standard
    deviation.
    """

    rate: Fraction
    rate_uncertainty: float
    wanted_total: Fraction
    total_uncertainty: float
    next_total: Fraction
    capped: bool
    provisional: bool
    runs: int
    spread: Spread

    def split_at(self, total: Fraction) -> tuple[Fraction, float]:
        """Give the fitted split at a total, and its one standard deviation."""
        return (self.wanted_total - total) / self.rate, sqrt(self.spread.at(total))


@dataclass(frozen=True)
class NoFit:
    """The runs do not say how this rotor answers."""

    why: str


def fit(
    runs: Sequence[FitPoint],
    rule: Fraction,
    scatter: Fraction,
    *,
    max_split: Fraction,
    max_total: Fraction,
    max_step: Fraction,
) -> Fit | NoFit:
    """Fit a rotor's own rate to its runs, the oldest first.

    ``rule`` is the maker's rate in thou for an inch, ``scatter`` one standard deviation of a split
    reading in inches, ``max_step`` the table's largest row in thou. Runs with a split beyond
    ``max_split`` do not enter: there the rotor was not only out of track.
    """
    used = [run for run in runs if abs(run.split) <= max_split]
    if not used:
        return NoFit("no run lies inside the largest split")
    start, slope, spread = _solve(used, rule, scatter)
    if slope <= 0:
        return NoFit("the split did not fall with the adjustment: judge the second reading first")
    wanted = start / slope
    last = runs[-1].total
    inside = _held(wanted, max_total)
    next_total = _held(last + _held(inside - last, max_step), max_total)
    return Fit(
        rate=1 / slope,
        rate_uncertainty=sqrt(spread.slope) / float(slope) ** 2,
        wanted_total=wanted,
        total_uncertainty=sqrt(spread.at(wanted)) / float(slope),
        next_total=next_total,
        capped=next_total != wanted,
        provisional=len(used) < ENOUGH_RUNS,
        runs=len(used),
        spread=spread,
    )


def shrinks_by(rule: Fraction, own: Fraction) -> Fraction:
    """Give what one more step by the rule multiplies the split by; beyond one either way it diverges."""
    return 1 - rule / own


def _solve(runs: Sequence[FitPoint], rule: Fraction, scatter: Fraction) -> tuple[Fraction, Fraction, Spread]:
    """Solve the two normal equations; gives the split as delivered, the slope and their spread."""
    weight = 1 / scatter**2
    prior = 1 / rule
    prior_weight = 1 / (PRIOR * prior) ** 2
    count = weight * len(runs)
    totals = weight * sum(run.total for run in runs)
    squares = weight * sum(run.total**2 for run in runs) + prior_weight
    splits = weight * sum(run.split for run in runs)
    mixed = weight * sum(run.total * run.split for run in runs) - prior_weight * prior
    determinant = count * squares - totals**2
    slope = (totals * splits - count * mixed) / determinant
    start = (squares * splits - totals * mixed) / determinant
    return start, slope, Spread(squares / determinant, count / determinant, totals / determinant)


def _held(value: Fraction, most: Fraction) -> Fraction:
    return max(-most, min(most, value))
