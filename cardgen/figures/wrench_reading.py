"""How the running drag of a nut is read for a wrench that is then set: on which wrench, and what it may mean.

A beam or dial wrench reads it as it is fitted. For a wrench that cannot read, the first of the bench that can
is taken to the nut without its extension; where the bench has none, one is borrowed, whose error nobody knows
here. A reading r of a wrench with an error e means a torque from r (1 - e) to r / (1 - e), whichever way its
error is quoted.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cardgen.figures.rounding import on_grid
from cardgen.figures.setting_rows import READ_BORROWED, READ_ELSEWHERE, READ_HERE
from cardgen.spec.bound import Bound
from cardgen.spec.model.hardware import Wrench
from cardgen.spec.units import Quantity, magnitude, quantity
from cardgen.spec.windows import lever_ratio, scale_unit

_READERS = ("beam", "dial")


@dataclass(frozen=True)
class DragReading:
    """One way to read drag: the scale it is read on, what it shows for each unit at the nut, and its error.

    ``itself`` where the wrench that is set reads too: its error is then already in the setting, because
    setting and drag are read on one scale. ``key`` is empty for a borrowed wrench.
    """

    key: str
    words: str
    unit: str
    mark: Fraction
    ratio: Fraction
    error: Fraction
    itself: bool

    def at_nut(self, read: Fraction) -> tuple[Quantity, Quantity]:
        """Give the least and the most drag at the nut that a reading may mean."""
        at = read / self.ratio
        spread = Fraction(1) if self.itself else 1 - self.error / 100
        return quantity(at * spread, self.unit), quantity(at / spread, self.unit)

    def most(self, limit: Quantity) -> Fraction:
        """Give the largest reading on a mark that keeps the drag at the nut inside its limit."""
        return on_grid(
            magnitude(limit, self.unit) * self.ratio * (1 - self.error / 100), self.mark, Bound.AT_MOST
        )

    def adds_to(self, wrench: Wrench) -> bool:
        """Whether the drag as read adds to a setting of a wrench: same unit, same side of any extension."""
        return self.unit == scale_unit(wrench) and self.ratio == lever_ratio(wrench)

    @property
    def inputs(self) -> tuple[str, ...]:
        """The keys of the wrench that reads."""
        return (f"{self.key}.graduation", f"{self.key}.error") if self.key else ()


def drag_reading(wrench: Wrench, key: str, bench: tuple[Wrench, ...]) -> DragReading:
    """Choose how the drag is read for a wrench that is set."""
    if wrench.kind in _READERS and wrench.graduation is not None:
        unit = scale_unit(wrench)
        mark = magnitude(wrench.graduation, unit)
        return DragReading(key, READ_HERE, unit, mark, lever_ratio(wrench), wrench.error, itself=True)
    for at, other in enumerate(bench, 1):
        if other.kind in _READERS and other.graduation is not None:
            unit = scale_unit(other)
            mark = magnitude(other.graduation, unit)
            return DragReading(
                f"wrenches[{at}]", READ_ELSEWHERE, unit, mark, Fraction(1), other.error, itself=False
            )
    unit = scale_unit(wrench)
    held = wrench.graduation if wrench.graduation is not None else wrench.preset
    mark = magnitude(held, unit) if wrench.graduation is not None and held is not None else Fraction(1)
    return DragReading("", READ_BORROWED, unit, mark, Fraction(1), Fraction(0), itself=False)
