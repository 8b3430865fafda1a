"""What comes of one fastener on one wrench: rows of settings, or why there are none."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from cardgen.figures.figure import Figure
from cardgen.spec.windows import Why

READ_HERE = "read on this wrench as it is fitted, before the nut seats"
READ_ELSEWHERE = "read on another wrench without an extension, before the nut seats"
READ_BORROWED = "read on a borrowed beam or dial wrench without an extension, before the nut seats"


@dataclass(frozen=True)
class Stage:
    """One stage of tightening on one wrench; low and high are missing where the wrench cannot hold it."""

    percent: Figure
    low: Figure | None
    high: Figure | None
    cannot: Why | None = None


@dataclass(frozen=True)
class DragRow:
    """Settings for one running drag, and the window at the nut they stand for.

    ``drag`` is as it is read, see `WrenchSettings.drag_read`; it is missing where the maker's figure
    has no drag to add. ``stages`` are those before the last.
    """

    drag: Figure | None
    low: Figure
    high: Figure
    nut_low: Figure
    nut_high: Figure
    stages: tuple[Stage, ...]


@dataclass(frozen=True)
class WrenchSettings:
    """How one wrench serves one fastener.

    ``aim`` plus the drag read is a setting inside the window for every drag up to ``drag_stop``; it
    is missing where no such number exists. Above ``drag_stop`` the work stops; it is missing where the
    most drag is not given, and then there is one row, for none, and ``aim`` with the drag read on top.
    ``drag_on`` is the key of the wrench that the drag is read on, if this bench has one. ``lever`` says in
    words what the extension does; ``arm`` is the effective length, missing without an extension.
    """

    wrench: str
    kind: str
    rows: tuple[DragRow, ...]
    aim: Figure | None
    drag_stop: Figure | None
    drag_read: str
    drag_on: str
    lever: str
    arm: Figure | None

    @property
    def rows_share(self) -> bool:
        """Whether each two neighbouring rows share a setting, which then serves every drag between them."""
        return all(_meet(before, after) for before, after in pairwise(self.rows))

    @property
    def stages_share(self) -> bool:
        """Whether the same holds at every stage before the last, as far as the wrench can hold it."""
        return all(
            _meet(first, second)
            for before, after in pairwise(self.rows)
            for first, second in zip(before.stages, after.stages, strict=True)
        )


def _meet(one: DragRow | Stage, more: DragRow | Stage) -> bool:
    """Whether the row with more drag begins, as printed, no higher than the row with less ends."""
    if one.high is None or more.low is None:
        return True
    return Fraction(more.low.parts.number) <= Fraction(one.high.parts.number)


@dataclass(frozen=True)
class WrenchCannot:
    """Why one wrench does not serve one fastener."""

    wrench: str
    kind: str
    reason: Why
