"""What the log-entry form needs to do its sums: exact constants of this rotor, as fractions in text.

The page computes in whole numbers only, so that its answers are those of `cardgen.spec.windows`,
`cardgen.figures.balance` and `cardgen.figures.track_table` to the last digit. A sum whose constants are
not stated is not offered.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from cardgen.figures.balance import slug_length
from cardgen.figures.rounding import decimals_of
from cardgen.figures.track_facts import INCH, METRIC
from cardgen.figures.track_table import amount_to_read
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.bench import Balance
from cardgen.spec.model.hardware import Fastener, Wrench
from cardgen.spec.rate import NoRate, total_of, track_rate
from cardgen.spec.typed_quantity import reading_of
from cardgen.spec.units import Quantity, magnitude, quantity, unit_of
from cardgen.spec.windows import arm, lever_ratio, scale_unit, stated_window


def sums(spec: RotorSpec) -> dict[str, Any]:
    """Gather the constants of every sum this rotor's form can do, by the card each belongs to."""
    found = {"torque": _wrenches(spec), "balance": _lead(spec), "track": _track(spec)}
    return {card: constants for card, constants in found.items() if constants}


def _wrenches(spec: RotorSpec) -> list[dict[str, Any]]:
    made = (
        _wrench(fastener, wrench)
        for fastener in spec.fasteners
        if fastener.fitted_by == "you"
        for wrench in spec.wrenches or ()
    )
    return [constants for constants in made if constants]


def _wrench(fastener: Fastener, wrench: Wrench) -> dict[str, Any] | None:
    window, unit = stated_window(fastener), scale_unit(wrench)
    mark = magnitude(wrench.graduation, unit)
    decimals = decimals_of(mark)
    if window is None or decimals is None or wrench.error >= 100 or magnitude(arm(wrench), "in") <= 0:
        return None
    adds = fastener.drag == "add"
    if adds and fastener.drag_max is None:
        return None
    return {
        "bolt": f"{fastener.where} {fastener.station}, {fastener.name}",
        "wrench": wrench.id,
        "unit": unit,
        "low": str(magnitude(window.low, unit)),
        "high": str(magnitude(window.high, unit)),
        "ratio": str(lever_ratio(wrench)),
        "kept": str(1 - Fraction(wrench.error) / 100),
        "mark": str(mark),
        "decimals": decimals,
        "range": [str(magnitude(wrench.range_min, unit)), str(magnitude(wrench.range_max, unit))],
        "clicks": wrench.kind == "click",
        "dragMost": str(_most_drag(fastener, wrench, unit)) if adds else None,
    }


def _most_drag(fastener: Fastener, wrench: Wrench, unit: str) -> Fraction:
    most = magnitude(fastener.drag_max or quantity(0, unit), unit)
    return most if wrench.kind == "click" else most * lever_ratio(wrench)


def _lead(spec: RotorSpec) -> dict[str, Any] | None:
    balance: Balance | None = spec.balance
    if balance is None:
        return None
    unit = unit_of(balance.cavity_depth).shown
    unit = "in" if unit in {"in", "ft"} else "mm"
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


def _track(spec: RotorSpec) -> dict[str, Any] | None:
    track = spec.track
    found = track_rate(track, spec.rotor.diameter)
    if isinstance(found, NoRate) or track.max_split is None:
        return None
    scale = INCH if unit_of(found.rate).shown == "thou/in" else METRIC
    # Between two points the first step is taken from the smaller of them, on paper and here.
    adjust, dial = amount_to_read(track, found.first_step, quantity(1, scale.split))
    return {
        "splitUnit": scale.split,
        "unit": scale.thin,
        "mark": str(scale.mark),
        "decimals": scale.decimals,
        "adjust": _per_split(adjust, scale.thin),
        "dial": _per_split(dial, scale.thin),
        "flats": _flats(track.adjuster_thread.pitch, scale.thin)
        if track.adjuster_thread and adjust is not None
        else None,
        "maxSplit": str(magnitude(total_of(track, track.max_split), scale.split)),
        "maxTotal": None if track.max_total is None else str(magnitude(track.max_total, scale.thin)),
        "blades": 2 if track.basis in {"total of both", "amount on each"} else 1,
        "counts": 2 if track.basis == "total of both" else 1,
        "interpolated": found.interpolated,
        "lower": [track.to_lower_a or "", track.to_lower_b or ""],
        "raise": [track.to_raise_a or "", track.to_raise_b or ""],
    }


def _per_split(moved: Quantity | None, unit: str) -> str | None:
    return None if moved is None else str(magnitude(moved, unit))


def _flats(pitch: Quantity, unit: str) -> str:
    return str(6 / magnitude(pitch, unit))
