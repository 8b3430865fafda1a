"""Balancing two blades from amplitudes alone: as it is, a trial mass at tip A, the same at tip B.

A two-blade rotor can be corrected in one direction only, toward one tip or the other. With shake V
once per revolution, and t the shake of the trial mass by itself:

    t squared    = (VA squared + VB squared)/2 - V0 squared
    mass at A    = trial mass x (VB squared - VA squared) / (4 t squared)

Both follow from the cosine rule on the two triangles that share V0 (the method of three or four
runs without phase of the balancing handbooks, for two opposite places).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

#: A trial about this many times the imbalance gives the least scatter in simulated runs.
BEST_TRIAL = Fraction(3, 2)


@dataclass(frozen=True)
class Correction:
    """A mass for one tip, in the unit of the trial mass, never more than the most lead allowed.

    ``wanted`` is what the sums ask for; where ``capped``, the maker's limit is less and the cause is
    to be looked for.
    """

    blade: Literal["A", "B"]
    mass: Fraction
    wanted: Fraction
    capped: bool
    trial_shake_squared: Fraction


@dataclass(frozen=True)
class NoCorrection:
    """The three readings fit no rotor: something else changed between the runs."""

    why: str


def three_run(
    as_is: Fraction, with_a: Fraction, with_b: Fraction, trial: Fraction, most: Fraction
) -> Correction | NoCorrection:
    """Find the correction from three amplitudes, all read once per revolution at the same speed.

    ``trial`` and ``most`` are masses at the same radius and in the same unit. Amplitudes are never
    negative, and the trial is some mass; anything else raises `ValueError`.
    """
    if min(as_is, with_a, with_b) < 0 or trial <= 0 or most < 0:
        raise ValueError("an amplitude or a mass below nothing")
    squared = (with_a**2 + with_b**2) / 2 - as_is**2
    if squared <= 0:
        return NoCorrection("the trial masses changed nothing that can be told from the rest: run again")
    wanted = trial * (with_b**2 - with_a**2) / (4 * squared)
    mass = min(abs(wanted), most)
    return Correction("A" if wanted >= 0 else "B", mass, abs(wanted), abs(wanted) > most, squared)
