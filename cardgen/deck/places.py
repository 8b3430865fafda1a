"""Places in papers in the order in which pages are turned, and numbers in a row in few words."""

from __future__ import annotations

import re
from collections.abc import Iterable

_DIGITS = re.compile(r"(\d+)")


def natural(place: str) -> tuple[tuple[int, int, str], ...]:
    """Order places as a reader turns pages: p.3 before p.12."""
    parts = _DIGITS.split(place)
    return tuple((1, int(part), "") if part.isdecimal() else (0, 0, part) for part in parts)


def in_few_words(numbers: Iterable[int]) -> str:
    """Name numbers in rising order: ``1 to 4, 6``."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs)
