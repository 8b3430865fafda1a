"""What the second reading says about the first adjustment.

    effect = (first split - second split) x rate / adjustment really applied

One means the rule fits this rotor. Splits are signed: plus when A flies high, so a split without
knowing which blade was high says nothing. The adjustment is read again after locking.
"""

from __future__ import annotations

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
    SLIP = "far more than a rotor answers: a number is ten times off, or another blade was moved"
    STOP = "nothing known does this: back to the last good setting, and stop"


#: What an effect says that lies near one of these.
KNOWN = (
    (Fraction(1), Verdict.FITS),
    (Fraction(1, 2), Verdict.HALF),
    (Fraction(3, 2), Verdict.ONE_AND_A_HALF),
    (Fraction(2), Verdict.TWICE),
    (Fraction(0), Verdict.NOTHING),
    (Fraction(-1), Verdict.WRONG),
)
#: These are asked about with a third reading before anything is undone.
CONFIRM = frozenset({Verdict.TWICE, Verdict.WRONG, Verdict.SLIP, Verdict.STOP})
#: These need a look at the rotor before anything is changed, however sure they are.
LOOK_FIRST = frozenset({Verdict.NOTHING, Verdict.WRONG, Verdict.SLIP, Verdict.STOP})
#: What surely does more than so many times what was needed is read again before a step, however coarse.
TOO_MUCH = Fraction(3, 2)
#: No rotor answers its rule with more than three times what the rule says.
FAR = 3


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
    verdict = _verdict(effect, uncertainty)
    # Too coarse to tell what it is, yet surely too much: read again, before a step goes as far back.
    too_much = verdict is Verdict.READ_AGAIN and effect - GUARD * uncertainty > TOO_MUCH
    return Judgement(effect, uncertainty, verdict, verdict in CONFIRM or effect < 0 or too_much)


def _verdict(effect: Fraction, uncertainty: Fraction) -> Verdict:
    # These two are slips of a hand at any rate, and are told however coarse the reading.
    if effect > FAR and effect - DIFFERENT * uncertainty > 1:
        return Verdict.SLIP
    if effect + DIFFERENT * uncertainty < 0:
        return Verdict.WRONG
    if GUARD * uncertainty > NEAR:
        return Verdict.READ_AGAIN
    distance, verdict = min((abs(effect - known), said) for known, said in KNOWN)
    if distance > NEAR:
        return Verdict.WRONG if effect < 0 else Verdict.STOP
    return verdict


def smallest_first_split(reading_uncertainty: Fraction) -> Fraction:
    """Give the first split that a full correction of can be judged by, in the unit of the reading."""
    return GUARD * reading_uncertainty / NEAR
