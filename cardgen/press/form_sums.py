"""What the log-entry form needs to do its sums: exact constants of this rotor, as fractions in text.

The page computes in whole numbers only, so that its answers are those of `cardgen.spec.windows`,
`cardgen.figures.balance` and `three_run` to the last digit. A sum whose constants are not stated is not
offered.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from cardgen.figures.balance import slug_length
from cardgen.figures.rounding import decimals_of
from cardgen.figures.three_run import ALIKE, LOST, SCATTER
from cardgen.figures.track_verdict import DIFFERENT, GUARD
from cardgen.figures.wrench_reading import drag_reading
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.bench import Balance
from cardgen.spec.model.hardware import Fastener, Wrench
from cardgen.spec.typed_quantity import reading_of
from cardgen.spec.units import magnitude, quantity, unit_of
from cardgen.spec.windows import folds_back, lever_ratio, scale_unit, stated_window


def sums(spec: RotorSpec) -> dict[str, Any]:
    """Gather the constants of every sum this rotor's form can do, by the card each belongs to."""
    found = {"torque": _wrenches(spec), "balance": _lead(spec), "shake": _trial(spec)}
    return {card: constants for card, constants in found.items() if constants}


def _wrenches(spec: RotorSpec) -> list[dict[str, Any]]:
    bench = tuple(spec.wrenches or ())
    made = (
        _wrench(fastener, wrench, bench)
        for fastener in spec.fasteners
        if fastener.fitted_by == "you"
        for wrench in bench
    )
    return [constants for constants in made if constants]


def _wrench(fastener: Fastener, wrench: Wrench, bench: tuple[Wrench, ...]) -> dict[str, Any] | None:
    window = stated_window(fastener)
    if wrench.graduation is None or wrench.range_min is None or wrench.range_max is None:
        return None
    unit = scale_unit(wrench)
    mark = magnitude(wrench.graduation, unit)
    decimals = decimals_of(mark)
    if window is None or decimals is None or wrench.error >= 100 or folds_back(wrench):
        return None
    if fastener.drag == "add" and fastener.drag_max is None:
        return None
    return {
        "bolt": f"{fastener.where} {', '.join(map(str, fastener.stations))}: {fastener.name}",
        "wrench": wrench.id,
        "unit": unit,
        "low": str(magnitude(window.low, unit)),
        "high": str(magnitude(window.high, unit)),
        "ratio": str(lever_ratio(wrench)),
        "kept": str(1 - Fraction(wrench.error) / 100),
        "mark": str(mark),
        "decimals": decimals,
        "range": [str(magnitude(wrench.range_min, unit)), str(magnitude(wrench.range_max, unit))],
        "drag": _drag(fastener, wrench, bench),
    }


def _drag(fastener: Fastener, wrench: Wrench, bench: tuple[Wrench, ...]) -> dict[str, Any] | None:
    """Say how drag is read for a wrench: in which unit, up to where, and what one unit may be at the nut."""
    if fastener.drag != "add" or fastener.drag_max is None:
        return None
    reading = drag_reading(wrench, "", bench)
    return {
        "unit": reading.unit,
        "most": str(reading.most(fastener.drag_max)),
        "atNut": [str(magnitude(each, scale_unit(wrench))) for each in reading.at_nut(Fraction(1))],
    }


def _lead(spec: RotorSpec) -> dict[str, Any] | None:
    balance: Balance | None = spec.balance
    if balance is None:
        return None
    unit = "in" if unit_of(balance.cavity_depth).system == "inch" else "mm"
    most, depth = (reading_of(spec, ("balance", key)) for key in ("max_lead", "cavity_depth"))
    return {
        "unit": unit,
        "decimals": 2 if unit == "in" else 1,
        "gramsPerLength": str(1 / magnitude(slug_length(quantity(1, "g"), balance), unit)),
        "mostGrams": str(magnitude(balance.max_lead, "g")),
        "mostShown": f"{most.number} {most.unit}",
        "depth": str(magnitude(balance.cavity_depth, unit)),
        "depthShown": f"{depth.number} {depth.unit}",
    }


def _trial(spec: RotorSpec) -> dict[str, Any] | None:
    """Give what the three runs with a trial mass are judged by; nothing where no most is stated."""
    if spec.shake is None or spec.balance is None:
        return None
    most = reading_of(spec, ("balance", "max_lead"))
    return {
        "grams": str(magnitude(spec.shake.trial_mass, "g")),
        "mostGrams": str(magnitude(spec.balance.max_lead, "g")),
        "mostShown": f"{most.number} {most.unit}",
        "scatter": str(SCATTER),
        "guard": str(GUARD),
        "different": str(DIFFERENT),
        "lost": LOST,
        "alike": ALIKE,
    }
