"""What the second reading says about the first adjustment, and when to stop.

    effect = (first split - second split) x rate / adjustment really applied

One means the rule fits this rotor. Splits are signed: plus when A flies high, so a split without
knowing which blade was high says nothing. The adjustment is read again after locking.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

#: An effect is told from its neighbours when it lies this near to one of the known ones.
NEAR = Fraction(1, 4)
#: One-sided 95 percent of a normal distribution.
GUARD = Fraction(165, 100)
#: Two readings differ beyond chance, 95 percent both sides, when further apart than this many u.
DIFFERENT = Fraction(28, 10)


class Verdict(StrEnum):
    """What the effect says; words for a card."""

    FITS = "the rule fits this rotor"
    HALF = "half of what was needed was made"
    ONE_AND_A_HALF = "half as much again as was needed was made"
    TWICE = "twice as much as was needed was made"
    NOTHING = "nothing moved, or a reading is wrong"
    WRONG = "the wrong way, or the wrong blade"
    READ_AGAIN = "the reading is too coarse to tell: read again"
    STOP = "nothing known does this: back to the last good setting, and stop"


_KNOWN = (
    (Fraction(1), Verdict.FITS),
    (Fraction(1, 2), Verdict.HALF),
    (Fraction(3, 2), Verdict.ONE_AND_A_HALF),
    (Fraction(2), Verdict.TWICE),
    (Fraction(0), Verdict.NOTHING),
    (Fraction(-1), Verdict.WRONG),
)
_CONFIRM = frozenset({Verdict.TWICE, Verdict.WRONG, Verdict.STOP})


@dataclass(frozen=True)
class Judgement:
    """The effect, its standard uncertainty, what it says, and whether a third reading comes first."""

    effect: Fraction
    uncertainty: Fraction
    verdict: Verdict
    confirm_marks: bool


def judge(
    first: Fraction, second: Fraction, applied: Fraction, rate: Fraction, reading_uncertainty: Fraction
) -> Judgement:
    """Judge a second reading; splits in inches, ``applied`` in thou, ``rate`` in thou for an inch.

    ``reading_uncertainty`` is what one reading adds to the change of split, in inches. Raises
    `ValueError` where nothing was applied.
    """
    if applied == 0:
        raise ValueError("without an adjustment there is no effect to judge")
    effect = (first - second) * rate / applied
    uncertainty = abs(reading_uncertainty * rate / applied)
    if GUARD * uncertainty > NEAR:
        return Judgement(effect, uncertainty, Verdict.READ_AGAIN, confirm_marks=effect < 0)
    distance, verdict = min((abs(effect - known), said) for known, said in _KNOWN)
    if distance > NEAR:
        verdict = Verdict.STOP
    return Judgement(effect, uncertainty, verdict, verdict in _CONFIRM or effect < 0)


def smallest_first_split(reading_uncertainty: Fraction) -> Fraction:
    """Give the first split that a full correction of can be judged by, in the unit of the reading."""
    return GUARD * reading_uncertainty / NEAR


def speeds_differ(one: Fraction, other: Fraction, reading_uncertainty: Fraction) -> bool:
    """Whether a split differs between two rotor speeds: then it is not pitch alone."""
    return abs(one - other) > DIFFERENT * reading_uncertainty


class StopRule(StrEnum):
    """Why the runs end, or that they go on; words for a card."""

    GOOD = "inside the limit on two runs without a change between: done"
    UNDECIDED = "the limit lies inside the scatter of the reading: read again, do not adjust"
    NOT_SERVICEABLE = "the next step is too small to make and the split is outside: do not fly, ask the maker"
    TOTAL = "the next step would pass the largest total: stop, find the cause"
    NOT_HALVED = "four runs did not halve the split: stop, find the cause"
    NOT_THE_RULE = "this rotor answers unlike its rule: stop, ask the maker"
    GO_ON = "one more step"


@dataclass(frozen=True)
class State:
    """Where the runs stand; splits in inches, the oldest first, adjustments in thou.

    ``unchanged`` says that nothing was changed between the last two runs. ``finest`` is the smallest
    adjustment that can be repeated: half a flat, or two divisions of the dial.
    """

    splits: Sequence[Fraction]
    unchanged: bool
    limit: Fraction
    reading_uncertainty: Fraction
    total: Fraction
    max_total: Fraction
    rule: Fraction
    finest: Fraction
    own_rate: Fraction | None = None


def stop_rule(state: State) -> StopRule:
    """Decide whether to go on; anything that points to another cause is looked at first."""
    last = abs(state.splits[-1])
    unsure = GUARD * state.reading_uncertainty
    if state.own_rate is not None and not state.rule / 3 <= state.own_rate <= state.rule * 3:
        return StopRule.NOT_THE_RULE
    if last + unsure <= state.limit:
        return StopRule.GOOD if _twice_good(state, unsure) else StopRule.UNDECIDED
    if len(state.splits) >= 4 and last > abs(state.splits[-4]) / 2:
        return StopRule.NOT_HALVED
    if abs(last - state.limit) < unsure:
        return StopRule.UNDECIDED
    rate = state.own_rate or state.rule
    step = state.splits[-1] * rate
    if abs(step) < max(state.finest, state.reading_uncertainty * rate):
        return StopRule.NOT_SERVICEABLE
    if abs(state.total + step) > state.max_total:
        return StopRule.TOTAL
    return StopRule.GO_ON


def _twice_good(state: State, unsure: Fraction) -> bool:
    return len(state.splits) >= 2 and state.unchanged and abs(state.splits[-2]) + unsure <= state.limit
