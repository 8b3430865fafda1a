"""What one wrench is set to for one block of fasteners, for running drag from none to the most allowed.

How much drag a nut has is known only when it is run down. A beam or dial wrench reads the drag itself, as it
is fitted, extension and all; for a click or preset wrench it is read at the nut, without an extension, on
another wrench, whose own error then counts as well. Windows, levers and the wrench's error are those of
`cardgen.spec.windows`; every setting lies on a mark of the scale inside the exact window.

A castle nut is brought to the least of its window and then on to the first slot, never past the most (FAA AC
43.13-1B, 7-40f): the number to set for it is the least. Any other nut aims at the middle.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cardgen.figures.drag_sum import DragSum
from cardgen.figures.figure import Figure, computed
from cardgen.figures.lever import lever_words
from cardgen.figures.rounding import decimals_of, on_grid
from cardgen.figures.setting_rows import DragRow, Stage, WrenchCannot, WrenchSettings
from cardgen.figures.wrench_reading import DragReading, drag_reading
from cardgen.spec.bound import Bound
from cardgen.spec.model.hardware import Fastener, Wrench
from cardgen.spec.units import Quantity, magnitude, quantity, unit_of
from cardgen.spec.windows import (
    CannotHold,
    Why,
    Window,
    WrenchSetting,
    arm,
    at_nut,
    folds_back,
    scale_unit,
    setting,
    stage_at_nut,
    stated_window,
)

#: More rows than this are not read off a card with gloves on.
MOST_ROWS = 6


@dataclass(frozen=True)
class FastenerOnWrench:
    """One block of fasteners with a stated torque on one wrench; the keys name both in the specification.

    ``bench`` are all wrenches of the bench, for the one that reads the drag.
    """

    fastener: Fastener
    fastener_key: str
    wrench: Wrench
    wrench_key: str
    bench: tuple[Wrench, ...]
    stages: tuple[Figure, ...]

    def settings(self) -> WrenchSettings | WrenchCannot:
        """Compute every row, or say why this wrench cannot be used up to the most drag allowed."""
        if folds_back(self.wrench):
            return self._cannot(Why.LEVER)
        if decimals_of(self._mark) is None:
            return self._cannot(Why.SCALE)
        readings = self._readings()
        if not readings:
            return self._cannot(Why.DRAG)
        rows = []
        for at, read in enumerate(readings, 1):
            row = self._row(at, read)
            if isinstance(row, CannotHold):
                return self._cannot(row.reason)
            rows.append(row)
        shown = rows[:1] if self.wrench.preset is not None else rows
        return WrenchSettings(
            wrench=self.wrench.id,
            kind=self.wrench.kind,
            rows=tuple(shown),
            aim=self._aim(),
            drag_stop=self._drag_stop(),
            drag_read=self._reading.words if self._adds_drag else "",
            drag_on=self._reading.key if self._adds_drag else "",
            lever=lever_words(self.wrench),
            arm=self._arm(),
        )

    @property
    def _name(self) -> str:
        return f"torque.{self.fastener_key}.{self.wrench.id}"

    @property
    def _unit(self) -> str:
        return scale_unit(self.wrench)

    @property
    def _mark(self) -> Fraction:
        held = self.wrench.preset if self.wrench.graduation is None else self.wrench.graduation
        if held is None:
            raise ValueError("a wrench without a scale and without a setting")
        return magnitude(held, self._unit)

    @property
    def _reading(self) -> DragReading:
        return drag_reading(self.wrench, self.wrench_key, self.bench)

    @property
    def _adds_drag(self) -> bool:
        return self.fastener.drag == "add"

    @property
    def _tells_drag(self) -> bool:
        """Whether the rows go by drag; without a largest drag there is only the row for none."""
        return self._adds_drag and self.fastener.drag_max is not None

    @property
    def _most(self) -> Fraction | None:
        """The most drag that may be read, on a mark of the wrench that reads it; none where it is not given."""
        if self.fastener.drag_max is None:
            return None
        return self._reading.most(self.fastener.drag_max)

    def _cannot(self, reason: Why) -> WrenchCannot:
        return WrenchCannot(self.wrench.id, self.wrench.kind, reason)

    def _readings(self) -> tuple[Fraction, ...]:
        """Spread at most six readings over the marks from none to the most drag; none if it has no mark."""
        most = self._most
        if not self._adds_drag or most is None:
            return (Fraction(0),)
        mark = self._reading.mark
        marks = most // mark
        if marks == 0:
            return ()
        every = -(-marks // (MOST_ROWS - 1))
        return tuple(count * mark for count in (*range(0, marks, every), marks))

    def _row(self, at: int, read: Fraction) -> DragRow | CannotHold:
        nut = self._nut(read)
        final = setting(nut, self.wrench)
        if isinstance(final, CannotHold):
            return final
        name = f"{self._name}.drag.{at}"
        low, high = self._pair(name, final, "")
        stages = tuple(
            self._stage(f"{name}.stage.{count}", percent, read) for count, percent in enumerate(self.stages, 1)
        )
        return DragRow(
            drag=self._drag(name, read),
            low=low,
            high=high,
            nut_low=self._at_nut(name, "nut_low", nut.low),
            nut_high=self._at_nut(name, "nut_high", nut.high),
            stages=stages,
        )

    def _nut(self, read: Fraction, stage: Figure | None = None) -> Window:
        """Give the window at the nut that holds for every drag a reading may mean."""
        least, most = self._reading.at_nut(read)
        windows = [
            at_nut(self.fastener, drag) if stage is None else stage_at_nut(self.fastener, stage.quantity, drag)
            for drag in (least, most)
        ]
        if windows[0] is None or windows[1] is None:
            raise ValueError("a fastener without a stated torque has no setting")
        return Window(windows[1].low, windows[0].high)

    def _pair(self, name: str, found: WrenchSetting, stage: str) -> tuple[Figure, Figure]:
        ends = (
            ("low", "min", "over", Bound.AT_LEAST, found.exact.low, found.low),
            ("high", "max", "times", Bound.AT_MOST, found.exact.high, found.high),
        )
        return tuple(self._end(name, stage, *end) for end in ends)  # type: ignore[return-value]

    def _end(
        self,
        name: str,
        stage: str,
        end: str,
        key: str,
        guard: str,
        bound: Bound,
        exact: Quantity,
        mark: Quantity,
    ) -> Figure:
        words, inputs = f"torque_{key}", [f"{self.fastener_key}.torque_{key}"]
        if stage:
            words += ", the stage's share of it"
            inputs.append(stage)
        if self._tells_drag:
            words += ", plus the drag at the nut"
            inputs.append(f"{name.split('.stage.')[0]}.drag")
        if self.wrench.extension is not None:
            words += ", times wrench length over length with extension"
            bent = ("angle",) if self.wrench.angle is not None else ()
            inputs += [f"{self.wrench_key}.{key}" for key in ("length", "extension", *bent)]
        words += f", {guard} one less the wrench's error"
        inputs.append(f"{self.wrench_key}.error")
        if self.wrench.preset is not None:
            return self._preset_end(f"{name}.{end}", mark, bound, tuple(inputs))
        way = "up" if bound is Bound.AT_LEAST else "down"
        return computed(
            f"{name}.{end}",
            exact,
            self._unit,
            decimals=decimals_of(self._mark) or 0,
            step=self._mark,
            bound=bound,
            one_unit=True,
            formula=f"{words}, rounded {way} to a mark",
            inputs=(*inputs, f"{self.wrench_key}.graduation"),
        )

    def _preset_end(self, name: str, mark: Quantity, bound: Bound, inputs: tuple[str, ...]) -> Figure:
        return computed(
            name,
            mark,
            self._unit,
            decimals=decimals_of(self._mark) or 0,
            bound=bound,
            one_unit=True,
            formula="the wrench's one setting, which keeps the nut inside its window for every drag allowed",
            inputs=(f"{self.wrench_key}.preset", *inputs),
        )

    def _stage(self, name: str, percent: Figure, read: Fraction) -> Stage:
        found = setting(self._nut(read, percent), self.wrench)
        if isinstance(found, CannotHold):
            return Stage(percent, None, None, found.reason)
        low, high = self._pair(name, found, percent.id)
        return Stage(percent, low, high)

    def _drag(self, name: str, read: Fraction) -> Figure | None:
        if not self._tells_drag:
            return None
        reading = self._reading
        return computed(
            f"{name}.drag",
            quantity(read, reading.unit),
            reading.unit,
            decimals=decimals_of(reading.mark) or 0,
            one_unit=True,
            formula="running drag on a mark of the wrench that reads it, from none to the most allowed",
            inputs=(f"{self.fastener_key}.drag_max", *reading.inputs),
        )

    def _at_nut(self, name: str, what: str, torque: Quantity) -> Figure:
        low = what == "nut_low"
        key = "torque_min" if low else "torque_max"
        unit = unit_of(self.fastener.torque_min or torque).shown
        full = f"{self.fastener_key}.{key}"
        return computed(
            f"{name}.{what}",
            quantity(magnitude(torque, unit), unit),
            unit,
            decimals=self._nut_decimals(unit),
            bound=Bound.AT_LEAST if low else Bound.AT_MOST,
            formula=f"{key} plus the drag at the nut" if self._tells_drag else f"{key} as stated",
            inputs=(full, f"{name}.drag") if self._tells_drag else (full,),
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

        Where the most drag is not given, what is set and read on one scale is off alike, so that the number of
        no drag holds for all. Read on another, it is the number that holds for the widest range of drags.
        """
        if not self._adds_drag or self.wrench.preset is not None or not self._reading.adds_to(self.wrench):
            return None
        found = DragSum(self.wrench, self._nut, self._mark)
        if self._most is None and not self._reading.itself:
            aim, which = found.widest(), "the mark that stays inside the window for the widest range of drags"
        else:
            marks, to_slot = found.marks(self._most or Fraction(0)), self.fastener.locking == "cotter pin"
            aim = marks and (marks[0] if to_slot else on_grid((marks[0] + marks[1]) / 2, self._mark))
            which = (
                f"{'least' if to_slot else 'middle'} of the marks that stay inside the window for every drag"
            )
            which += " up to the most allowed"
        if aim is None:
            return None
        keys = ["torque_min", "torque_max", *(["drag_max"] if self._tells_drag else [])]
        return computed(
            f"{self._name}.aim",
            quantity(aim, self._unit),
            self._unit,
            decimals=decimals_of(self._mark) or 0,
            one_unit=True,
            formula=which,
            inputs=(
                *(f"{self.fastener_key}.{key}" for key in keys),
                *(f"{self.wrench_key}.{key}" for key in ("error", "graduation")),
            ),
        )

    def _drag_stop(self) -> Figure | None:
        most = self._most
        if not self._adds_drag or most is None:
            return None
        reading = self._reading
        return computed(
            f"{self._name}.drag_stop",
            quantity(most, reading.unit),
            reading.unit,
            decimals=decimals_of(reading.mark) or 0,
            bound=Bound.AT_MOST,
            one_unit=True,
            formula="most drag allowed, as the wrench that reads it shows it less its error, down to a mark",
            inputs=(f"{self.fastener_key}.drag_max", *reading.inputs),
        )

    def _arm(self) -> Figure | None:
        effective = arm(self.wrench)
        if effective is None or self.wrench.length is None:
            return None
        unit = unit_of(self.wrench.length).shown
        keys = ["length", "extension"] + (["angle"] if self.wrench.angle is not None else [])
        return computed(
            f"torque.arm.{self.wrench.id}",
            quantity(magnitude(effective, unit), unit),
            unit,
            decimals=2 if unit in {"in", "ft"} else 1,
            formula="wrench length plus extension times the cosine of its angle",
            inputs=tuple(f"{self.wrench_key}.{key}" for key in keys),
        )
