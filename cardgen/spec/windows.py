"""Torque windows, exact: at the nut, and as a setting on a wrench.

At the nut the running drag is added to both ends of the stated window (FAA AC 43.13-1B, 7-40d and
7-40f). A wrench of length L with an extension E at an angle shows L/(L + E cos angle) of what the
nut gets (7-40h; worked examples in Army TM 1-1500-204-23-9, chapter 8). A wrench's error is quoted
by some as a share of the reading and by others as a share of the true torque; the guarded window
``[low/(1 - e), high (1 - e)]`` holds the nut inside its limits for either meaning.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import ceil, floor

from cardgen.spec.model.hardware import Fastener, Wrench
from cardgen.spec.trig import cosine
from cardgen.spec.units import Quantity, magnitude, quantity, unit_of


class Why(StrEnum):
    """Why a wrench cannot be used for a torque; words for a card."""

    ERROR = "its error is wider than the torque window"
    MARKS = "none of its marks lies inside the torque window"
    BELOW = "the setting lies below its range"
    ABOVE = "the setting lies above its range"
    DRAG = "its marks are too coarse to read the running drag"
    SCALE = "its graduation is no whole decimal"
    LEVER = "its extension folds back over the handle"
    PRESET = "its one setting lies outside the torque window"


@dataclass(frozen=True)
class Window:
    """Every torque from ``low`` to ``high``, both allowed; exact."""

    low: Quantity
    high: Quantity


@dataclass(frozen=True)
class WrenchSetting:
    """What a wrench may be set to: the exact guarded window, and its outermost marks inside it.

    All four are in the unit of the wrench's own scale.
    """

    exact: Window
    low: Quantity
    high: Quantity


@dataclass(frozen=True)
class CannotHold:
    """Why a wrench cannot keep the nut inside its window."""

    reason: Why


def stated_window(fastener: Fastener) -> Window | None:
    """Give the maker's window, or nothing where the fit is said in words instead."""
    if fastener.torque_min is None or fastener.torque_max is None:
        return None
    return Window(fastener.torque_min, fastener.torque_max)


def at_nut(fastener: Fastener, drag: Quantity) -> Window | None:
    """Give the window at the nut for a running drag, also measured at the nut.

    The drag counts only where the maker's figure is without it (``drag = "add"``).
    """
    window = stated_window(fastener)
    if window is None or fastener.drag != "add":
        return window
    return Window(window.low + drag, window.high + drag)


def stage_at_nut(fastener: Fastener, stage: Quantity, drag: Quantity) -> Window | None:
    """Give the window at the nut at a stage: a share of the maker's window, the drag on top whole.

    50 percent of 175 to 205 with a drag of 30 is 117.5 to 132.5, and not half of 205 to 235: running drag
    turns the nut and stretches nothing (FAA AC 43.13-1B, 7-40d, adds it to the torque that is wanted).
    """
    window = stated_window(fastener)
    if window is None:
        return None
    share = magnitude(stage, "percent") / 100
    low, high = window.low * share, window.high * share
    return Window(low + drag, high + drag) if fastener.drag == "add" else Window(low, high)


def scale_unit(wrench: Wrench) -> str:
    """Name the unit of a wrench's own scale, or of its one setting.

    Raises `ValueError` for a wrench that has neither; the rules of a specification refuse it.
    """
    mark = wrench.graduation if wrench.preset is None else wrench.preset
    if mark is None:
        raise ValueError("a wrench without a scale and without a setting")
    return unit_of(mark).shown


def lever_ratio(wrench: Wrench) -> Fraction:
    """Give what the wrench shows for each unit of torque at the nut: L/(L + E cos angle), else 1.

    Raises `ValueError` where the extension reaches back to the grip, so that nothing is levered.
    """
    effective = arm(wrench)
    if effective is None or wrench.length is None:
        return Fraction(1)
    if magnitude(effective, "in") <= 0:
        raise ValueError("the extension folds back over the handle")
    return magnitude(wrench.length, "in") / magnitude(effective, "in")


def arm(wrench: Wrench) -> Quantity | None:
    """Give the effective length with an extension: middle of the grip to the nut, along the handle."""
    if wrench.extension is None or wrench.length is None:
        return None
    along = wrench.extension * (Fraction(1) if wrench.angle is None else cosine(wrench.angle))
    total: Quantity = wrench.length + along
    return total


def folds_back(wrench: Wrench) -> bool:
    """Whether the extension reaches back over the handle, so that nothing is levered."""
    effective = arm(wrench)
    return effective is not None and magnitude(effective, "in") <= 0


def drag_at_nut(reading: Quantity, wrench: Wrench) -> Quantity:
    """Convert a drag read on a wrench as it is fitted, extension and all, to the nut.

    A click wrench cannot read drag: never call this for one.
    """
    converted: Quantity = reading / lever_ratio(wrench)
    return converted


def guarded(window: Window, wrench: Wrench) -> Window:
    """Give the wrench's side of a window at the nut, narrowed by its error; it may turn out empty.

    In the unit of the wrench's scale. Raises `ValueError` for an error of 100 percent or more.
    """
    unit, ratio, kept = scale_unit(wrench), lever_ratio(wrench), 1 - wrench.error / 100
    if kept <= 0:
        raise ValueError("an error of 100 percent leaves nothing")
    low = magnitude(window.low, unit) * ratio / kept
    high = magnitude(window.high, unit) * ratio * kept
    return Window(quantity(low, unit), quantity(high, unit))


def setting(window: Window, wrench: Wrench) -> WrenchSetting | CannotHold:
    """Find the outermost marks of a wrench that keep the nut inside a window, or say why none do."""
    if folds_back(wrench):
        return CannotHold(Why.LEVER)
    if wrench.error >= 100:
        return CannotHold(Why.ERROR)
    exact = guarded(window, wrench)
    if exact.low > exact.high:
        return CannotHold(Why.ERROR)
    if wrench.preset is not None:
        held = exact.low <= wrench.preset <= exact.high
        return WrenchSetting(exact, wrench.preset, wrench.preset) if held else CannotHold(Why.PRESET)
    return _on_scale(exact, wrench)


def _on_scale(exact: Window, wrench: Wrench) -> WrenchSetting | CannotHold:
    if wrench.graduation is None or wrench.range_min is None or wrench.range_max is None:
        raise ValueError("a wrench without a scale has no marks")
    unit = scale_unit(wrench)
    mark = magnitude(wrench.graduation, unit)
    low = ceil(magnitude(exact.low, unit) / mark) * mark
    high = floor(magnitude(exact.high, unit) / mark) * mark
    if low > high:
        return CannotHold(Why.MARKS)
    if low < magnitude(wrench.range_min, unit):
        return CannotHold(Why.BELOW)
    if high > magnitude(wrench.range_max, unit):
        return CannotHold(Why.ABOVE)
    return WrenchSetting(exact, quantity(low, unit), quantity(high, unit))
