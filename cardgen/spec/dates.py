"""Days: of papers, as far as a paper gives one; and for messages, days as people write them."""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import date

#: How a date stands in a specification, said to somebody who wrote it in another way.
DAY_FORM = "year, month and day without quotes, such as 2027-11-30"

#: What a specification says of a paper that bears no date, and of one that bears no revision.
UNDATED, NO_REVISION = "undated", "none"

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_FIGURES = r"(\d{1,4})([./-])(\d{1,2})\2(\d{1,4})\.?"
_NAMED = r"(\d{1,2})(?:st|nd|rd|th)?[ .-]+([a-z]{3,9})\.?[ .,-]+(\d{4})"
_MONTH_FIRST = r"([a-z]{3,9})\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4})"


@dataclass(frozen=True)
class PaperDate:
    """The date of a paper: a day, a month or a year. ``first`` is the earliest day it can mean.

    There is none where the paper bears no date.
    """

    text: str
    first: date | None

    def __str__(self) -> str:
        """Write it as the paper does."""
        return self.text


def read_paper_date(text: str) -> PaperDate | None:
    """Read ``2025-03-01``, ``2025-03``, ``2025`` or ``undated``; nothing where it is none of them."""
    if text == UNDATED:
        return PaperDate(text, None)
    found = re.fullmatch(r"(\d{4})(?:-(\d{2})(?:-(\d{2}))?)?", text, re.ASCII)
    first = _day(int(found[1]), int(found[2] or 1), int(found[3] or 1)) if found else None
    return PaperDate(text, first) if first else None


def day_meant(text: str) -> date | None:
    """Find the day a text means; nothing where it could mean two, as 5/6/2027 could."""
    days = {day for year, month, number in _readings(text) if (day := _day(year, month, number))}
    return days.pop() if len(days) == 1 else None


def _readings(text: str) -> list[tuple[int, int, int]]:
    if found := _whole(_FIGURES, text):
        first, second, third = int(found[1]), int(found[3]), int(found[4])
        if len(found[1]) == 4:
            return [(first, second, third)]
        return [(third, second, first), (third, first, second)] if len(found[4]) == 4 else []
    if found := _whole(_NAMED, text):
        return [(int(found[3]), _month(found[2]), int(found[1]))]
    if found := _whole(_MONTH_FIRST, text):
        return [(int(found[3]), _month(found[1]), int(found[2]))]
    return []


def _whole(form: str, text: str) -> re.Match[str] | None:
    return re.fullmatch(form, text, re.ASCII | re.IGNORECASE)


def _month(name: str) -> int:
    short = name[:3].lower()
    return _MONTHS.index(short) + 1 if short in _MONTHS else 0


def _day(year: int, month: int, number: int) -> date | None:
    # A day that is in no calendar is no day, and the caller tells it.
    with suppress(ValueError):
        return date(year, month, number)
    return None
