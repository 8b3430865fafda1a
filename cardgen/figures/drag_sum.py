"""The one number that the drag read is added to, so that nobody looks up a row.

With no drag and with the most, low end, high end and setting are on straight lines over the drag: what holds at
both holds for all drag between.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from cardgen.figures.rounding import on_grid
from cardgen.spec.bound import Bound
from cardgen.spec.model.hardware import Wrench
from cardgen.spec.units import magnitude
from cardgen.spec.windows import Window, guarded, scale_unit


@dataclass(frozen=True)
class DragSum:
    """A wrench with a scale, and the window at the nut that a drag reading stands for.

    Drag is read in the unit of this scale, on its side of any extension.
    """

    wrench: Wrench
    nut: Callable[[Fraction], Window]
    mark: Fraction

    def marks(self, most: Fraction) -> tuple[Fraction, Fraction] | None:
        """Give the outermost marks that are right for every drag up to the most; nothing where none is."""
        (least, largest), (least_at_most, largest_at_most) = self._less(Fraction(0)), self._less(most)
        low = on_grid(max(least, least_at_most, self._bottom), self.mark, Bound.AT_LEAST)
        high = on_grid(min(largest, largest_at_most, self._top - most), self.mark, Bound.AT_MOST)
        return (low, high) if low <= high else None

    def widest(self) -> Fraction | None:
        """Give the mark that is right for the widest range of drags, where nobody knows the most.

        The least sum rises with the drag and the largest falls, by the errors of both wrenches; they meet
        at this number.
        """
        least, largest = self._less(Fraction(0))
        rises, falls = (
            later - now for later, now in zip(self._less(Fraction(1)), (least, largest), strict=True)
        )
        share = rises / (rises - falls) if rises > falls else Fraction(1, 2)
        found = on_grid(least + share * (largest - least), self.mark)
        return found if max(least, self._bottom) <= found <= min(largest, self._top) else None

    def _less(self, read: Fraction) -> tuple[Fraction, Fraction]:
        """Give both ends of what may be set for a reading, less that reading."""
        window, unit = guarded(self.nut(read), self.wrench), scale_unit(self.wrench)
        return magnitude(window.low, unit) - read, magnitude(window.high, unit) - read

    @property
    def _bottom(self) -> Fraction:
        return self._end("range_min")

    @property
    def _top(self) -> Fraction:
        return self._end("range_max")

    def _end(self, key: str) -> Fraction:
        end = getattr(self.wrench, key)
        if end is None:
            raise ValueError("a wrench without a scale has no range")
        return magnitude(end, scale_unit(self.wrench))
