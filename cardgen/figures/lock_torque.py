"""Torques beside the strap bolts', as settings on a named wrench: the adjuster's lock and the tip screw.

No running drag comes on top here. A torque stated as a window is guarded as a bolt's is; one stated as a single
figure is set to the nearest mark, because any error leaves a single figure no window at all.
"""

from __future__ import annotations

from dataclasses import dataclass

from cardgen.figures.figure import Figure, computed
from cardgen.figures.rounding import decimals_of, on_grid
from cardgen.spec.bound import Bound
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.hardware import Wrench
from cardgen.spec.units import Quantity, magnitude, quantity
from cardgen.spec.windows import (
    CannotHold,
    Why,
    Window,
    WrenchSetting,
    folds_back,
    lever_ratio,
    scale_unit,
    setting,
)


@dataclass(frozen=True)
class LockSetting:
    """What one wrench is set to: from ``low`` to ``high``, or ``at`` for a torque stated as one figure."""

    wrench: str
    low: Figure | None = None
    high: Figure | None = None
    at: Figure | None = None
    cannot: Why | None = None


@dataclass(frozen=True)
class LockTorque:
    """One such torque on every wrench of the bench; ``serves`` are those that can."""

    subject: str
    settings: tuple[LockSetting, ...]

    @property
    def serves(self) -> tuple[LockSetting, ...]:
        """The wrenches that can be used for it."""
        return tuple(each for each in self.settings if each.cannot is None)


def lock_torques(spec: RotorSpec) -> tuple[LockTorque, ...]:
    """Compute the adjuster's lock and the tip screw, where their torque is stated."""
    found = []
    track, bench = spec.track, tuple(spec.wrenches or ())
    if track.adjuster_torque_min is not None and track.adjuster_torque_max is not None:
        window = Window(track.adjuster_torque_min, track.adjuster_torque_max)
        keys = ("track.adjuster_torque_min", "track.adjuster_torque_max")
        found.append(
            LockTorque(
                "adjuster",
                tuple(_window("lock.adjuster", at, wrench, window, keys) for at, wrench in enumerate(bench, 1)),
            )
        )
    if spec.tip is not None and spec.tip.screw_torque is not None:
        torque = spec.tip.screw_torque
        found.append(
            LockTorque(
                "tip", tuple(_single("lock.tip", at, wrench, torque) for at, wrench in enumerate(bench, 1))
            )
        )
    return tuple(found)


def _window(name: str, at: int, wrench: Wrench, window: Window, keys: tuple[str, str]) -> LockSetting:
    if _decimals(wrench) is None:
        return LockSetting(wrench.id, cannot=Why.SCALE)
    found = setting(window, wrench)
    if isinstance(found, CannotHold):
        return LockSetting(wrench.id, cannot=found.reason)
    low, high = (
        _figure(f"{name}.{wrench.id}.{end}", found, wrench, at, key, bound)
        for end, key, bound in (("low", keys[0], Bound.AT_LEAST), ("high", keys[1], Bound.AT_MOST))
    )
    return LockSetting(wrench.id, low, high)


def _decimals(wrench: Wrench) -> int | None:
    """Count the decimals of a wrench's marks, or of its one setting; nothing where they do not end."""
    mark = wrench.graduation if wrench.preset is None else wrench.preset
    return None if mark is None else decimals_of(magnitude(mark, scale_unit(wrench)))


def _wrench_keys(at: int, wrench: Wrench, *others: str) -> tuple[str, ...]:
    """Name what of a wrench goes into its setting: its lever, its marks, and what else is named."""
    lever = ("length", "extension", "angle") if wrench.extension is not None else ()
    used = (*lever, *others, "graduation", "preset")
    return tuple(f"wrenches[{at}].{key}" for key in used if getattr(wrench, key) is not None)


def _figure(name: str, found: WrenchSetting, wrench: Wrench, at: int, key: str, bound: Bound) -> Figure:
    held, side = (found.low, "over") if bound is Bound.AT_LEAST else (found.high, "times")
    unit = scale_unit(wrench)
    return computed(
        name,
        held,
        unit,
        decimals=_decimals(wrench) or 0,
        bound=bound,
        one_unit=True,
        formula=f"{key.rpartition('.')[2]}, as the wrench shows it, {side} one less its error, on a mark",
        inputs=(key, *_wrench_keys(at, wrench, "error")),
    )


def _single(name: str, at: int, wrench: Wrench, torque: Quantity) -> LockSetting:
    if folds_back(wrench):
        return LockSetting(wrench.id, cannot=Why.LEVER)
    if _decimals(wrench) is None:
        return LockSetting(wrench.id, cannot=Why.SCALE)
    unit = scale_unit(wrench)
    wanted = magnitude(torque, unit) * lever_ratio(wrench)
    if wrench.preset is not None:
        held = magnitude(wrench.preset, unit)
        if abs(held - wanted) > wanted * wrench.error / 100:
            return LockSetting(wrench.id, cannot=Why.PRESET)
    elif wrench.graduation is None or wrench.range_min is None or wrench.range_max is None:
        raise ValueError("a wrench without a scale has no marks")
    else:
        held = on_grid(wanted, magnitude(wrench.graduation, unit))
        if held < magnitude(wrench.range_min, unit):
            return LockSetting(wrench.id, cannot=Why.BELOW)
        if held > magnitude(wrench.range_max, unit):
            return LockSetting(wrench.id, cannot=Why.ABOVE)
        if abs(held - wanted) > wanted / 10:
            return LockSetting(wrench.id, cannot=Why.MARKS)
    figure = computed(
        f"{name}.{wrench.id}",
        quantity(held, unit),
        unit,
        decimals=_decimals(wrench) or 0,
        one_unit=True,
        formula="screw_torque, as the wrench shows it, on its nearest mark",
        inputs=("tip.screw_torque", *_wrench_keys(at, wrench)),
    )
    return LockSetting(wrench.id, at=figure)
