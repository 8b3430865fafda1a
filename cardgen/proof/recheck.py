"""The second calculation: every safety figure again, by another way, compared with what is printed.

Torque, wrench, track, lead and load figures are computed from the specification's text in plain
floats, and every stated number is read a second time. A figure that is missing, that nobody
expected, in another unit, or rounded to the wrong side is a mismatch, and then nothing is issued.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import floor, log10
from typing import Any

from cardgen.figures.figure import Figure
from cardgen.proof.recheck_input import SI, leaves, parsed, quantity, quantity_at
from cardgen.proof.recheck_sums import Recomputed, Side, expected_figures

#: Figures whose every member the second calculation must know.
COMPUTED = ("torque.", "track.row.", "track.first.", "track.judged.", "balance.lead.", "loads.")

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
}
_PER_MILLION = 1e-6
_LEAST = frozenset({"torque_min", "adjuster_torque_min", "sweep_min", "range_min", "clear_radius"})
_MOST = frozenset({"difference", "height_limit", "limit", "play_max", "radial_play", "tolerance", "wind_limit"})
_STATED_AS_COMPUTED = frozenset({"track.max_split"})


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
    spec = parsed(text)
    found = list(_stated(spec, figures))
    known = set()
    for expected in expected_figures(spec):
        known.add(expected.figure)
        found += _compare(expected, figures.get(expected.figure))
    for name in figures:
        if name.startswith(COMPUTED) and name not in known:
            found.append(Differs(name, "no such figure", figures[name].shown))
    return tuple(found)


def _stated(spec: dict[str, Any], figures: Mapping[str, Figure]) -> Iterator[Differs]:
    for key, typed in leaves(spec):
        figure = figures.get(key)
        if key in _STATED_AS_COMPUTED or key == "schema" or isinstance(typed, bool):
            continue
        if isinstance(typed, int | float):
            unit = "percent" if figure is not None and figure.parts.unit == "percent" else ""
            expected = Recomputed(key, float(typed) * SI[unit], unit, 0, "exact")
            yield from _compare(expected, figure)
        elif figure is not None and isinstance(typed, str):
            value, unit = quantity_at(key, typed)
            yield from _compare(Recomputed(key, value, unit, 0, "exact"), figure)
            yield from _bound(key, value, figure)


def _compare(expected: Recomputed, figure: Figure | None) -> Iterator[Differs]:
    wanted = f"{expected.value / SI[expected.unit]:.6g} {expected.unit}, {expected.side}".strip()
    if figure is None:
        yield Differs(expected.figure, wanted, "nothing")
        return
    printed, unit = quantity(f"{figure.parts.number} {figure.parts.unit}")
    if unit != expected.unit:
        yield Differs(expected.figure, wanted, figure.shown)
        return
    printed /= SI[unit]
    if expected.allowed is not None:
        if not expected.allowed(printed) or not _lies_on(printed, expected.step):
            yield Differs(expected.figure, "a sum that stays inside the window for every drag", figure.shown)
        return
    value = expected.value / SI[unit]
    if not _rounded(printed, value, expected.step, expected.side):
        yield Differs(expected.figure, wanted, figure.shown)
    if figure.parts.second and figure.formula:
        side: Side = "nearest" if expected.side == "exact" else expected.side
        again = printed * SI[unit] if expected.on_marks else expected.value
        yield from _second(expected.figure, again, side, figure, expected.step)


def _bound(key: str, value: float, figure: Figure) -> Iterator[Differs]:
    last = key.rpartition(".")[2]
    if not figure.parts.second:
        return
    if last in _LEAST:
        yield from _second(key, value, "up", figure)
    elif last in _MOST or last.endswith("_max") or last.startswith("max_"):
        yield from _second(key, value, "down", figure)
    else:
        yield from _second(key, value, "nearest", figure)


def _second(name: str, value: float, side: Side, figure: Figure, first_step: float = 1.0) -> Iterator[Differs]:
    unit, step = _SECOND[figure.parts.unit]
    if first_step > 1:
        # As coarse as the first number: the power of ten just below its step.
        step = 10.0 ** floor(log10(first_step * SI[figure.parts.unit] / SI[unit]))
    printed, shown_unit = quantity(figure.parts.second)
    if shown_unit != unit or not _rounded(printed / SI[unit], value / SI[unit], step, side):
        yield Differs(name, f"{value / SI[unit]:.6g} {unit}, {side}", figure.parts.second)


def _rounded(printed: float, value: float, step: float, side: Side) -> bool:
    """Whether a printed number is a value rounded to a side by less than a step."""
    tiny = _PER_MILLION * max(step, abs(value) * 1e-3)
    if side == "exact":
        return abs(printed - value) <= tiny
    if step and not _lies_on(printed, step):
        return False
    if side == "nearest":
        return abs(printed - value) <= step / 2 + tiny
    past = printed - value if side == "up" else value - printed
    return -tiny <= past < step - tiny


def _lies_on(printed: float, step: float) -> bool:
    return not step or abs(printed / step - round(printed / step)) < 1e-4
