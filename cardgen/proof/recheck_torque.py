"""The second way to the torques on the wrenches, in floats.

Each sum is written out from the specification's text without the modules that made the cards.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, cos, floor
from typing import Any

from cardgen.proof.recheck_input import SI, quantity, si
from cardgen.proof.recomputed import TINY, Recomputed


def torques(spec: dict[str, Any]) -> Iterator[Recomputed]:
    """Compute every wrench's settings for every bolt."""
    order = spec["tightening"]["order"]
    arms = set()
    for bolt in spec["fasteners"]:
        if bolt["where"] == "strap" and bolt["station"] in order:
            place = order.index(bolt["station"]) + 1
            yield Recomputed(f"torque.strap.{bolt['station']}.order", place, "", 0, "nearest")
        if bolt["fitted_by"] != "you" or "torque_min" not in bolt:
            continue
        stages = spec["tightening"].get("stages", []) if bolt["where"] == "strap" else []
        for wrench in spec.get("wrenches", []):
            found = list(_on_wrench(bolt, wrench, [stage for stage in stages if stage < 100]))
            yield from found
            if found and "extension" in wrench and wrench["id"] not in arms:
                arms.add(wrench["id"])
                length = quantity(wrench["length"])
                step = 0.01 if length[1] in {"in", "ft"} else 0.1
                yield Recomputed(
                    f"torque.arm.{wrench['id']}", length[0] / _ratio(wrench), length[1], step, "nearest"
                )


def _ratio(wrench: dict[str, Any]) -> float:
    """What the wrench shows for each unit at the nut; 0 where its extension folds back over it."""
    length, extension = quantity(wrench["length"])[0], si(wrench.get("extension")) or 0.0
    arm = length + extension * cos(si(wrench.get("angle"), angle=True) or 0.0)
    return length / arm if arm > 1e-9 else 0.0


def _on_wrench(bolt: dict[str, Any], wrench: dict[str, Any], stages: list[int]) -> Iterator[Recomputed]:
    """Give every row of one fastener on one wrench; none at all where any row cannot be held."""
    ratio, error = _ratio(wrench), float(wrench["error"]) / 100
    mark, unit = quantity(wrench["graduation"])
    if not ratio or error >= 1 or not _writable(mark / SI[unit]):
        return
    low, high = quantity(bolt["torque_min"])[0], quantity(bolt["torque_max"])[0]
    adds, clicks = bolt.get("drag") == "add", wrench["kind"] == "click"
    scale = 1.0 if clicks else 1 / ratio
    most = (si(bolt.get("drag_max")) or 0.0) / scale if adds else 0.0
    readings = _spread(most, mark) if adds else [0.0]
    name = f"torque.{bolt['where']}.{bolt['station']}.{wrench['id']}"
    step = mark / SI[unit]
    rows: list[Recomputed] = []
    for at, reading in enumerate(readings, 1):
        drag = reading * scale
        row = f"{name}.drag.{at}"
        pair = _pair(row, (low + drag) * ratio / (1 - error), (high + drag) * ratio * (1 - error), wrench)
        if not pair:
            return
        nut_unit = quantity(bolt["torque_min"])[1]
        wide = (high - low) / SI["in·lbf"] >= 10 - TINY
        nut_step = 1.0 if nut_unit == "in·lbf" and wide else 0.01 if nut_unit == "kgf·m" else 0.1
        rows += pair
        rows.append(Recomputed(f"{row}.nut_low", low + drag, nut_unit, nut_step, "up"))
        rows.append(Recomputed(f"{row}.nut_high", high + drag, nut_unit, nut_step, "down"))
        if adds:
            rows.append(Recomputed(f"{row}.drag", reading, unit, 0, "nearest"))
        for count, stage in enumerate(stages, 1):
            share = stage / 100
            ends = (low + drag) * share * ratio / (1 - error), (high + drag) * share * ratio * (1 - error)
            rows += _pair(f"{row}.stage.{count}", *ends, wrench)
    yield from rows
    if readings and adds:
        yield Recomputed(f"{name}.drag_stop", most, unit, min(0.1, _last_decimal(step)), "down")
        yield from _aim(name, (low, high), most, scale, wrench)


def _pair(name: str, low: float, high: float, wrench: dict[str, Any]) -> list[Recomputed]:
    mark, unit = quantity(wrench["graduation"])
    least, largest = ceil(low / mark - TINY) * mark, floor(high / mark + TINY) * mark
    close = mark * TINY
    if least > largest + close or low > high:
        return []
    if least < quantity(wrench["range_min"])[0] - close or largest > quantity(wrench["range_max"])[0] + close:
        return []
    step = mark / SI[unit]
    return [
        Recomputed(f"{name}.low", low, unit, step, "up"),
        Recomputed(f"{name}.high", high, unit, step, "down"),
    ]


def _aim(
    name: str, window: tuple[float, float], most: float, scale: float, wrench: dict[str, Any]
) -> Iterator[Recomputed]:
    """Give the sum's aim: any mark is right that keeps the nut inside for every drag, and none other."""
    ratio, error = _ratio(wrench), float(wrench["error"]) / 100
    mark, unit = quantity(wrench["graduation"])
    close = mark * TINY

    def right(aim: float) -> bool:
        aim *= SI[unit]
        for share in range(41):
            reading = most * share / 40
            true_low, true_high = (end + reading * scale for end in window)
            low, high = true_low * ratio / (1 - error), true_high * ratio * (1 - error)
            if not low - close <= aim + reading <= high + close:
                return False
        bottom, top = quantity(wrench["range_min"])[0], quantity(wrench["range_max"])[0]
        return bottom - close <= aim and aim + most <= top + close

    marks = range(int(quantity(wrench["range_max"])[0] / mark) + 2)
    if any(right(count * mark / SI[unit]) for count in marks):
        yield Recomputed(f"{name}.aim", 0.0, unit, mark / SI[unit], "nearest", right)


def _spread(most: float, mark: float) -> list[float]:
    marks = floor(most / mark + TINY)
    if marks == 0:
        return []
    every = ceil(marks / 5)
    return [count * mark for count in [*range(0, marks, every), marks]]


def _last_decimal(step: float) -> float:
    return next((10.0**-count for count in range(6) if _whole(step * 10**count)), 1e-6)


def _whole(value: float) -> bool:
    return abs(value - round(value)) < 1e-6


def _writable(step: float) -> bool:
    return abs(step * 1e6 - round(step * 1e6)) < 1e-4
