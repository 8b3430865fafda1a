"""Numbers as a hand types them into a box: exactly, or not at all.

The log-entry form reads the same spellings, so nothing is a number here that was none there.
"""

from __future__ import annotations

import re
from fractions import Fraction

_DECIMAL = re.compile(r"-?\d{1,6}(?:\.\d{1,6})?", re.ASCII)
_FRACTION = re.compile(r"(?:(\d{1,6})[-+ ])?(\d{1,4})/([1-9]\d{0,3})", re.ASCII)
#: What to write where no number was read.
A_NUMBER = "a number such as 12.5 or 1+1/4"


def read_number(typed: str) -> Fraction | None:
    """Read ``12``, ``12.5``, ``1/4``, ``1+1/4`` or ``1-1/4``; nothing for anything else."""
    if _DECIMAL.fullmatch(typed):
        return Fraction(typed)
    if match := _FRACTION.fullmatch(typed):
        return int(match[1] or 0) + Fraction(int(match[2]), int(match[3]))
    return None
