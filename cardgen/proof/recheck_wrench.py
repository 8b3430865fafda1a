"""The second reading of a torque wrench: its lever, its marks, and how drag is read for it.

A wrench shows its length over the length with the extension of what the nut gets. Its error is a share of the
reading or of the truth, whichever is worse. Nothing here comes from the modules that made the cards.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, cos, floor
from typing import Any

from cardgen.proof.recheck_input import SI, quantity, si
from cardgen.proof.recomputed import TINY, Recomputed


@dataclass(frozen=True)
class Scale:
    """A wrench as its scale, torques in N·m.

    It ``shows`` so much for each unit at the nut; ``kept`` is one less its error. ``one`` is a preset wrench,
    whose only mark is its setting.
    """

    name: str
    unit: str
    mark: float
    bottom: float
    top: float
    shows: float
    kept: float
    one: bool
    reads: bool

    @property
    def step(self) -> float:
        """One mark in the unit of the scale."""
        return self.mark / SI[self.unit]

    @property
    def usable(self) -> bool:
        """Whether anything can be set on it: a lever that levers, an error below the whole, marks that end."""
        millionths = self.step * 1e6
        return self.shows > 0 and self.kept > 0 and abs(millionths - round(millionths)) < 1e-4

    def pair(self, name: str, low: float, high: float) -> list[Recomputed]:
        """Give both ends of a window at the nut as the scale shows them; nothing where no mark keeps it."""
        low, high = low * self.shows / self.kept, high * self.shows * self.kept
        least, largest = ceil(low / self.mark - TINY) * self.mark, floor(high / self.mark + TINY) * self.mark
        close = self.mark * TINY
        if self.one:
            least = largest = self.mark
            if not low - close <= self.mark <= high + close:
                return []
        if low > high or least > largest + close or least < self.bottom - close or largest > self.top + close:
            return []
        low, high, step = (self.mark, self.mark, 0.0) if self.one else (low, high, self.step)
        return [
            Recomputed(f"{name}.low", low, self.unit, step, "up"),
            Recomputed(f"{name}.high", high, self.unit, step, "down"),
        ]


@dataclass(frozen=True)
class Reader:
    """How drag is read: in which marks, what is shown for each unit at the nut, and how far that is sure.

    Where the wrench that is set reads ``itself``, its error is in the setting already: ``spread`` is then one.
    """

    unit: str
    mark: float
    shows: float
    kept: float
    spread: float
    itself: bool = False

    def at_nut(self, read: float) -> tuple[float, float]:
        """Give the least and the most drag at the nut that a reading may mean."""
        return read / self.shows * self.spread, read / self.shows / self.spread


def scale(wrench: dict[str, Any]) -> Scale:
    """Read a wrench from the specification's text."""
    one = "preset" in wrench
    mark, unit = quantity(wrench["preset" if one else "graduation"])
    bottom, top = (mark, mark) if one else (quantity(wrench[key])[0] for key in ("range_min", "range_max"))
    reads = not one and wrench["kind"] in {"beam", "dial"}
    kept = 1 - float(wrench["error"]) / 100
    return Scale(wrench["id"], unit, mark, bottom, top, _shows(wrench), kept, one, reads)


def arm(wrench: dict[str, Any]) -> tuple[float, str] | None:
    """Give the length with the extension along the handle, and its unit; nothing without an extension."""
    if "extension" not in wrench or "length" not in wrench:
        return None
    length, unit = quantity(wrench["length"])
    along = (si(wrench["extension"]) or 0.0) * cos(si(wrench.get("angle"), angle=True) or 0.0)
    return length + along, unit


def reader(own: Scale, bench: list[Scale]) -> Reader:
    """Say how drag is read for a wrench: on itself, on the first that can without extension, or borrowed."""
    if own.reads:
        return Reader(own.unit, own.mark, own.shows, own.kept, 1.0, itself=True)
    other = next((each for each in bench if each.reads), None)
    if other is not None:
        return Reader(other.unit, other.mark, 1.0, other.kept, other.kept)
    return Reader(own.unit, SI[own.unit] if own.one else own.mark, 1.0, 1.0, 1.0)


def _shows(wrench: dict[str, Any]) -> float:
    found = arm(wrench)
    if found is None:
        return 1.0
    return quantity(wrench["length"])[0] / found[0] if found[0] > 1e-9 else 0.0
