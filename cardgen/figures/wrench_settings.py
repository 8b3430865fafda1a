"""What one wrench is set to for one fastener, for running drag from none to the most allowed.

How much drag a nut has is known only when it is run down. A beam or dial wrench reads the drag
itself, as it is fitted, extension and all; for a click wrench it is read at the nut with another
wrench. Windows, levers and the wrench's error are those of `cardgen.spec.windows`; every setting
lies on a mark of the scale inside the exact window.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cardgen.figures.figure import Figure, computed
from cardgen.figures.lever import lever_words
from cardgen.figures.rounding import decimals_of, on_grid
from cardgen.figures.setting_rows import READ_AT_NUT, READ_HERE, DragRow, Stage, WrenchCannot, WrenchSettings
from cardgen.spec.bound import Bound
from cardgen.spec.model.hardware import Fastener, Wrench
from cardgen.spec.units import Quantity, magnitude, quantity, unit_of
from cardgen.spec.windows import (
    CannotHold,
    Why,
    WrenchSetting,
    arm,
    at_nut,
    drag_at_nut,
    guarded,
    lever_ratio,
    part_of,
    scale_unit,
    setting,
    stated_window,
)

#: More rows than this are not read off a card with gloves on.
MOST_ROWS = 6


@dataclass(frozen=True)
class FastenerOnWrench:
    """One fastener with a stated torque on one wrench; the keys name both in the specification."""

    fastener: Fastener
    fastener_key: str
    wrench: Wrench
    wrench_key: str
    stages: tuple[Figure, ...]

    def settings(self) -> WrenchSettings | WrenchCannot:
        """Compute every row, or say why this wrench cannot be used up to the most drag allowed."""
        if magnitude(arm(self.wrench), "in") <= 0:
            return self._cannot(Why.LEVER)
        if decimals_of(self._mark) is None:
            return self._cannot(Why.SCALE)
        readings = self._readings()
        if not readings:
            return self._cannot(Why.DRAG)
        rows = []
        for at, reading in enumerate(readings, 1):
            row = self._row(at, reading)
            if isinstance(row, CannotHold):
                return self._cannot(row.reason)
            rows.append(row)
        return WrenchSettings(
            wrench=self.wrench.id,
            kind=self.wrench.kind,
            rows=tuple(rows),
            aim=self._aim(),
            drag_stop=self._drag_stop(),
            drag_read=(READ_AT_NUT if self._clicks else READ_HERE) if self._adds_drag else "",
            lever=lever_words(self.wrench),
            arm=self._arm(),
        )

    @property
    def _name(self) -> str:
        return f"torque.{self.fastener.where}.{self.fastener.station}.{self.wrench.id}"

    @property
    def _unit(self) -> str:
        return scale_unit(self.wrench)

    @property
    def _mark(self) -> Fraction:
        return magnitude(self.wrench.graduation, self._unit)

    @property
    def _lever_keys(self) -> tuple[str, ...]:
        """What the lever of a wrench with an extension is made of."""
        return ("length", "extension", *(("angle",) if self.wrench.angle is not None else ()))

    @property
    def _clicks(self) -> bool:
        return self.wrench.kind == "click"

    @property
    def _adds_drag(self) -> bool:
        return self.fastener.drag == "add"

    @property
    def _most_reading(self) -> Fraction:
        """The most drag allowed, as it is read, in the unit of the scale; exact."""
        if self.fastener.drag_max is None:
            raise ValueError("drag is to be added but its limit is not stated")
        at_the_nut = magnitude(self.fastener.drag_max, self._unit)
        return at_the_nut if self._clicks else at_the_nut * lever_ratio(self.wrench)

    def _nut_drag(self, reading: Fraction) -> Quantity:
        read = quantity(reading, self._unit)
        return read if self._clicks else drag_at_nut(read, self.wrench)

    def _cannot(self, reason: Why) -> WrenchCannot:
        return WrenchCannot(self.wrench.id, self.wrench.kind, reason)

    def _readings(self) -> tuple[Fraction, ...]:
        """Spread at most six readings over the marks from none to the most drag; none if it has no mark."""
        if not self._adds_drag:
            return (Fraction(0),)
        marks = self._most_reading // self._mark
        if marks == 0:
            return ()
        every = -(-marks // (MOST_ROWS - 1))
        counts = [*range(0, marks, every), marks]
        return tuple(count * self._mark for count in counts)

    def _row(self, at: int, reading: Fraction) -> DragRow | CannotHold:
        nut = at_nut(self.fastener, self._nut_drag(reading))
        if nut is None:
            raise ValueError("a fastener without a stated torque has no setting")
        final = setting(nut, self.wrench)
        if isinstance(final, CannotHold):
            return final
        name = f"{self._name}.drag.{at}"
        low, high = self._pair(name, final, "")
        stages = tuple(
            self._stage(f"{name}.stage.{count}", percent, setting(part_of(nut, percent.quantity), self.wrench))
            for count, percent in enumerate(self.stages, 1)
        )
        return DragRow(
            drag=self._drag(name, reading),
            low=low,
            high=high,
            nut_low=self._at_nut(name, "nut_low", nut.low),
            nut_high=self._at_nut(name, "nut_high", nut.high),
            stages=stages,
        )

    def _pair(self, name: str, found: WrenchSetting, stage: str) -> tuple[Figure, Figure]:
        ends = (
            ("low", found.exact.low, Bound.AT_LEAST, "torque_min", "over", "up"),
            ("high", found.exact.high, Bound.AT_MOST, "torque_max", "times", "down"),
        )
        figures = []
        for end, exact, bound, key, guard, way in ends:
            words = key
            inputs = [f"{self.fastener_key}.{key}"]
            lever = ", times wrench length over length with extension" if self.wrench.extension else ""
            # What this wrench reads itself has been through its lever already.
            drag = " plus the drag at the nut" if self._clicks else ", plus the drag as read on this wrench"
            if self._adds_drag:
                words += f"{drag}{lever}" if self._clicks else f"{lever}{drag}"
                inputs.append(f"{name.split('.stage.')[0]}.drag")
            else:
                words += lever
            if stage:
                words += ", the stage's share of it"
                inputs.append(stage)
            if lever:
                inputs += [f"{self.wrench_key}.{key}" for key in self._lever_keys]
            words += f", {guard} one less the wrench's error, rounded {way} to a mark"
            inputs += [f"{self.wrench_key}.error", f"{self.wrench_key}.graduation"]
            figures.append(
                computed(
                    f"{name}.{end}",
                    exact,
                    self._unit,
                    decimals=decimals_of(self._mark) or 0,
                    step=self._mark,
                    bound=bound,
                    one_unit=True,
                    formula=words,
                    inputs=tuple(inputs),
                )
            )
        return figures[0], figures[1]

    def _stage(self, name: str, percent: Figure, found: WrenchSetting | CannotHold) -> Stage:
        if isinstance(found, CannotHold):
            return Stage(percent, None, None, found.reason)
        low, high = self._pair(name, found, percent.id)
        return Stage(percent, low, high)

    def _drag(self, name: str, reading: Fraction) -> Figure | None:
        if not self._adds_drag:
            return None
        return computed(
            f"{name}.drag",
            quantity(reading, self._unit),
            self._unit,
            decimals=decimals_of(self._mark) or 0,
            one_unit=True,
            formula="running drag on a mark of this wrench, from none to the most allowed",
            inputs=(f"{self.fastener_key}.drag_max", f"{self.wrench_key}.graduation"),
        )

    def _at_nut(self, name: str, what: str, torque: Quantity) -> Figure:
        low = what == "nut_low"
        stated = "torque_min" if low else "torque_max"
        unit = unit_of(self.fastener.torque_min or torque).shown
        key = f"{self.fastener_key}.{stated}"
        return computed(
            f"{name}.{what}",
            quantity(magnitude(torque, unit), unit),
            unit,
            decimals=self._nut_decimals(unit),
            bound=Bound.AT_LEAST if low else Bound.AT_MOST,
            formula=f"{stated} plus the drag at the nut" if self._adds_drag else f"{stated} as stated",
            inputs=(key, f"{name}.drag") if self._adds_drag else (key,),
        )

    def _nut_decimals(self, unit: str) -> int:
        # Whole inch pounds would eat up a narrow window, and a tenth of a kilogram-force metre is ten of them.
        if unit == "kgf·m":
            return 2
        stated = stated_window(self.fastener)
        if unit != "in·lbf" or stated is None:
            return 1
        return 0 if magnitude(stated.high - stated.low, unit) >= 10 else 1

    def _aim(self) -> Figure | None:
        """Find a number that, with the drag read added, is a right setting for every drag allowed.

        Low end, high end and setting are straight lines over the drag, so what holds at no drag and
        at the most drag holds for all drag between.
        """
        if not self._adds_drag:
            return None
        most = self._most_reading
        lows, highs = [], []
        for reading in (Fraction(0), most):
            nut = at_nut(self.fastener, self._nut_drag(reading))
            if nut is None:
                return None
            window = guarded(nut, self.wrench)
            lows.append(magnitude(window.low, self._unit) - reading)
            highs.append(magnitude(window.high, self._unit) - reading)
        least = max(*lows, magnitude(self.wrench.range_min, self._unit))
        largest = min(*highs, magnitude(self.wrench.range_max, self._unit) - most)
        low = on_grid(least, self._mark, Bound.AT_LEAST)
        high = on_grid(largest, self._mark, Bound.AT_MOST)
        if low > high:
            return None
        aim = on_grid((low + high) / 2, self._mark)
        return computed(
            f"{self._name}.aim",
            quantity(aim, self._unit),
            self._unit,
            decimals=decimals_of(self._mark) or 0,
            one_unit=True,
            formula="middle of the marks that stay inside the window for every drag up to the most allowed",
            inputs=(
                f"{self.fastener_key}.torque_min",
                f"{self.fastener_key}.torque_max",
                f"{self.fastener_key}.drag_max",
                f"{self.wrench_key}.error",
                f"{self.wrench_key}.graduation",
            ),
        )

    def _drag_stop(self) -> Figure | None:
        if not self._adds_drag:
            return None
        limit = self._most_reading
        return computed(
            f"{self._name}.drag_stop",
            quantity(limit, self._unit),
            self._unit,
            decimals=max(decimals_of(self._mark) or 0, 1) if decimals_of(limit) != 0 else 0,
            bound=Bound.AT_MOST,
            one_unit=True,
            formula="most drag allowed, as it is read",
            inputs=(f"{self.fastener_key}.drag_max", f"{self.wrench_key}.length"),
        )

    def _arm(self) -> Figure | None:
        if self.wrench.extension is None:
            return None
        unit = unit_of(self.wrench.length).shown
        effective = arm(self.wrench)
        return computed(
            f"torque.arm.{self.wrench.id}",
            quantity(magnitude(effective, unit), unit),
            unit,
            decimals=2 if unit in {"in", "ft"} else 1,
            formula="wrench length plus extension times the cosine of its angle",
            inputs=tuple(f"{self.wrench_key}.{key}" for key in self._lever_keys),
        )
