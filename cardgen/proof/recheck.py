"""The second calculation: every figure again, by another way, compared with what is printed.

All figures are computed from the specification's text in plain floats, and every stated number is read
a second time. A figure that is missing, that nobody expected, in another unit, on the wrong side of
the exact value, or with another bound than that side is a mismatch, and then nothing is issued.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import floor, log10
from typing import Any

from cardgen.figures.figure import Figure
from cardgen.proof.recheck_bench import bench
from cardgen.proof.recheck_input import SI, leaves, parsed, quantity, quantity_at
from cardgen.proof.recheck_torque import torques
from cardgen.proof.recheck_track import tracks
from cardgen.proof.recomputed import TINY, Recomputed, Side
from cardgen.spec.bound import Bound

# The other system's unit and the step it is printed in.
_SECOND = {
    "in·lbf": ("N·m", 0.1),
    "ft·lbf": ("N·m", 0.1),
    "N·m": ("in·lbf", 1.0),
    "kgf·cm": ("N·m", 0.1),
    "kgf·m": ("N·m", 0.1),
    "thou": ("mm", 0.001),
    "in": ("mm", 0.1),
    "ft": ("m", 0.01),
    "mm": ("in", 0.001),
    "m": ("ft", 0.1),
    "lb": ("kg", 0.01),
    "oz": ("g", 0.1),
    "kg": ("lb", 0.1),
    "g": ("oz", 0.01),
    "lbf": ("N", 1.0),
    "N": ("lbf", 0.1),
    "m/s": ("ft/s", 1.0),
    "kg/m²": ("lb/ft²", 0.01),
    "N/g": ("lbf/oz", 0.1),
    "N/mm": ("lbf/in", 1.0),
    "deg/thou": ("deg/mm", 1.0),
}
_PER_MILLION = 1e-6
_PERCENT = frozenset({"tightening.stages[]", "wrenches[].error"})
#: The sides of the stated values, from what is said of their keys. What a sum bounds stands beside it.
_STATED_SIDES: dict[str, Side] = {
    "balance.height_limit": "down",
    "balance.max_lead": "down",
    "care.interval": "down",
    "fasteners[].drag_max": "down",
    "fasteners[].torque_max": "down",
    "fasteners[].torque_min": "up",
    "head.radial_play": "down",
    "hub.joint_play_max": "down",
    "install.tail_gap_min": "up",
    "pitch.max_difference": "down",
    "pitch.tolerance": "down",
    "rotor.least_speed": "up",
    "rotor.most_speed": "down",
    "run.clear_radius": "up",
    "run.wind_limit": "down",
    "string.checks[].difference": "down",
    "string.checks[].limit": "down",
    "string.checks[].sweep_max": "down",
    "string.checks[].sweep_min": "up",
    "teeter.play_max": "down",
    "tip.cure[].time": "up",
    "track.adjuster_torque_max": "down",
    "track.adjuster_torque_min": "up",
    "track.good_enough": "down",
    "track.max_split": "down",
    "track.max_total": "down",
    "wrenches[].range_max": "down",
    "wrenches[].range_min": "up",
}
_BOUNDS: dict[Side, Bound] = {"up": Bound.AT_LEAST, "down": Bound.AT_MOST, "nearest": Bound.NEITHER}


@dataclass(frozen=True)
class Differs:
    """A figure on which the two calculations do not agree."""

    figure: str
    expected: str
    found: str


def check_second_path(text: bytes, figures: Mapping[str, Figure]) -> tuple[Differs, ...]:
    """Compare printed figures with a second calculation from the specification's text.

    ``text`` is the specification as it was read, ``figures`` every figure a card may show. Nothing
    is returned where both agree.
    """
    wanted = {each.figure: each for each in expected_figures(parsed(text), figures)}
    found = [differs for each in wanted.values() for differs in _compare(each, figures.get(each.figure))]
    unknown = [Differs(name, "no such figure", figures[name].shown) for name in figures if name not in wanted]
    return (*found, *unknown)


def expected_figures(spec: dict[str, Any], figures: Mapping[str, Figure]) -> Iterator[Recomputed]:
    """Say of every figure where it must lie; ``figures`` only tells which other texts are numbers.

    What is computed stands after what is stated, and over it where both have one name.
    """
    for key, typed in leaves(spec):
        if key == "schema" or isinstance(typed, bool):
            continue
        family = re.sub(r"\[\d+\]", "[]", key)
        side = _STATED_SIDES.get(family, "nearest")
        if isinstance(typed, int | float):
            unit = "percent" if family in _PERCENT else ""
            yield Recomputed(key, float(typed) * SI[unit], unit, 0, side)
        elif isinstance(typed, str) and (key in figures or family in _STATED_SIDES):
            yield Recomputed(key, *quantity_at(key, typed), 0, side)
    yield from torques(spec)
    yield from tracks(spec)
    yield from bench(spec)


def _compare(expected: Recomputed, figure: Figure | None) -> Iterator[Differs]:
    side = expected.side if expected.step else "as typed"
    wanted = f"{expected.value / SI[expected.unit]:.6g} {expected.unit}, {side}".strip()
    if figure is None:
        yield Differs(expected.figure, wanted, "nothing")
        return
    if figure.bound is not _BOUNDS[expected.side]:
        yield Differs(expected.figure, f"bound {_BOUNDS[expected.side]}", f"bound {figure.bound}")
    unit = expected.unit
    if figure.parts.unit != unit:
        yield Differs(expected.figure, wanted, figure.shown)
        return
    printed = quantity(f"{figure.parts.number} {unit}")[0] / SI[unit]
    if not _rounded(printed, expected.value / SI[unit], expected.step, expected.side):
        yield Differs(expected.figure, wanted, figure.shown)
    if figure.parts.second:
        again = printed * SI[unit] if expected.on_marks or not printed else expected.value
        yield from _second(expected, again, figure)


def _second(expected: Recomputed, value: float, figure: Figure) -> Iterator[Differs]:
    unit, step = _SECOND.get(expected.unit, ("", 1.0))
    if expected.step > 1:
        # As coarse as the first number: the power of ten just below its step.
        step = 10.0 ** floor(log10(expected.step * SI[expected.unit] / SI[unit]))
    elif value:
        # Two digits at least, so that a small limit keeps its size; nothing here is finer than a millionth.
        step = max(min(step, 10.0 ** (floor(log10(abs(value) / SI[unit]) + TINY) - 1)), 1e-6)
    printed, shown_unit = quantity(figure.parts.second)
    if shown_unit != unit or not _rounded(printed / SI[unit], value / SI[unit], step, expected.side):
        yield Differs(expected.figure, f"{value / SI[unit]:.6g} {unit}, {expected.side}", figure.parts.second)


def _rounded(printed: float, value: float, step: float, side: Side) -> bool:
    """Whether a printed number is a value rounded to a side by less than a step, or without one the value."""
    tiny = _PER_MILLION * max(step, abs(value) * 1e-3)
    if not step:
        return abs(printed - value) <= tiny
    if not _lies_on(printed, step):
        return False
    if side == "nearest":
        return abs(printed - value) <= step / 2 + tiny
    past = printed - value if side == "up" else value - printed
    return -tiny <= past < step - tiny


def lies_right(expected: Recomputed, shown: str) -> bool:
    """Whether a number, as it was read without its unit, is one that the second calculation allows."""
    printed = quantity(f"{shown} {expected.unit}")[0] / SI[expected.unit]
    return _rounded(printed, expected.value / SI[expected.unit], expected.step, expected.side)


def _lies_on(printed: float, step: float) -> bool:
    return abs(printed / step - round(printed / step)) < 1e-4
