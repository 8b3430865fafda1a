"""What a change undoes, as rows of words for the care card."""

from __future__ import annotations

from dataclasses import dataclass

from cardgen.figures.care_matrix import CHANGES, Again, Check, Disturbance

_PEOPLE = Check.SECOND


@dataclass(frozen=True)
class Undone:
    """One change: what is done again, what is looked at, and whether a second person must come."""

    changed: str
    again: str
    check: str
    second: str


def changes_undo() -> tuple[Undone, ...]:
    """Write every change as a row."""
    return tuple(
        Undone(change.what, _listed(change, "yes"), _listed(change, "check"), change.again[_PEOPLE])
        for change in CHANGES
    )


def _listed(change: Disturbance, answer: Again) -> str:
    named = [_words(change, check) for check in Check if check is not _PEOPLE and change.again[check] == answer]
    return ", ".join(named) or "nothing"


def _words(change: Disturbance, check: Check) -> str:
    return change.fasteners if check is Check.FASTENERS and change.fasteners else check.value
