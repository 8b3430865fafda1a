"""What the second calculation says of one printed number: where it may lie, and on which side of the exact.

The sides stand here and in the sums beside each value, written from the sources of the sums. They are
never taken from the figures that they judge.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

#: Up for what is at least so much, down for what is at most so much, nearest for what bounds nothing.
Side = Literal["up", "down", "nearest"]

#: Floats do not hit a mark exactly; this share of a step is no difference.
TINY = 1e-7


@dataclass(frozen=True)
class Recomputed:
    """Where a printed number must lie: ``value`` in SI units, ``unit`` and ``step`` as printed.

    Without a step the number is printed just as it was typed, and only its second unit has a side.
    With ``on_marks`` the second unit says the printed number again and not the value.
    """

    figure: str
    value: float
    unit: str
    step: float
    side: Side
    on_marks: bool = False
