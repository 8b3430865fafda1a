"""Balancing two blades from amplitudes alone: as it is, a trial mass at tip A, the same at tip B.

A two-blade rotor can be corrected in one direction only, toward one tip or the other. With shake V
once per revolution, and t the shake of the trial mass by itself:

    t squared    = (VA squared + VB squared)/2 - V0 squared
    mass at A    = trial mass x (VB squared - VA squared) / (4 t squared)

Both follow from the cosine rule on the two triangles that share V0 (the method of three or four
runs without phase of the balancing handbooks, for two opposite places).

No instrument reads the same twice. A trial whose own shake is lost in the scatter of the readings tells
nothing, and where A and B shake alike within it there is nothing to correct.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import hypot
from typing import Literal

from cardgen.figures.track_verdict import DIFFERENT, GUARD

#: One standard deviation of an amplitude, as a share of the largest. Common practice, no source.
SCATTER = Fraction(1, 20)
#: Why three readings give no mass.
LOST = "the trial masses changed nothing that can be told from the scatter: no mass"
ALIKE = "the trial shakes alike in A and in B, as far as this can be read: no mass"


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


@dataclass(frozen=True)
class NoCorrection:
    """The three readings fit no rotor: something else changed between the runs."""

    why: str


def three_run(
    as_is: Fraction,
    with_a: Fraction,
    with_b: Fraction,
    trial: Fraction,
    most: Fraction,
    scatter: Fraction | None = None,
) -> Correction | NoCorrection:
    """Find the correction from three amplitudes, all read once per revolution at the same speed.

    ``trial`` and ``most`` are masses at the same radius and in the same unit. ``scatter`` is one standard
    deviation of an amplitude in its own unit, where it is known. Amplitudes are never negative, and the trial
    is some mass; anything else raises `ValueError`.
    """
    if min(as_is, with_a, with_b) < 0 or trial <= 0 or most < 0:
        raise ValueError("an amplitude or a mass below nothing")
    spread = SCATTER * max(as_is, with_a, with_b) if scatter is None else scatter
    squared = (with_a**2 + with_b**2) / 2 - as_is**2
    # JCGM 100, 5.1.2: each amplitude's scatter times how fast the sum changes with it, added in squares.
    unsure = float(spread) * hypot(with_a, with_b, 2 * as_is)
    if squared <= 0 or squared <= float(GUARD) * unsure:
        return NoCorrection(LOST)
    if abs(with_a - with_b) <= DIFFERENT * spread:
        return NoCorrection(ALIKE)
    wanted = trial * (with_b**2 - with_a**2) / (4 * squared)
    mass = min(abs(wanted), most)
    return Correction("A" if wanted >= 0 else "B", mass, abs(wanted), abs(wanted) > most)
