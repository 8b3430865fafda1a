"""What comes of one fastener on one wrench: rows of settings, or why there are none."""

from __future__ import annotations

from dataclasses import dataclass

from cardgen.figures.figure import Figure
from cardgen.spec.windows import Why

READ_HERE = "read on this wrench as it is fitted, before the nut seats"
READ_AT_NUT = "read at the nut with a beam or dial wrench, without an extension"


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
    is missing where no such number exists. Above ``drag_stop`` the work stops. ``lever`` says in words
    what the extension does; ``arm`` is the effective length, missing without an extension.
    """

    wrench: str
    kind: str
    rows: tuple[DragRow, ...]
    aim: Figure | None
    drag_stop: Figure | None
    drag_read: str
    lever: str
    arm: Figure | None


@dataclass(frozen=True)
class WrenchCannot:
    """Why one wrench does not serve one fastener."""

    wrench: str
    kind: str
    reason: Why
