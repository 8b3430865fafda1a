"""What the log-entry form needs to do its sums: exact constants of this rotor, as fractions in text.

The page computes in whole numbers only, so that its answers are those of `cardgen.spec.windows`,
`cardgen.figures.balance` and `cardgen.figures.track_table` to the last digit. A sum whose constants are
not stated is not offered.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from cardgen.deck.moves import move_text
from cardgen.figures.balance import slug_length
from cardgen.figures.figure import Figure
from cardgen.figures.rounding import decimals_of
from cardgen.figures.track_facts import INCH, METRIC
from cardgen.figures.track_table import amount_to_read, track_table
from cardgen.figures.track_total import moved_to_hand
from cardgen.figures.wrench_reading import drag_reading
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.bench import Balance
from cardgen.spec.model.hardware import Fastener, Wrench
from cardgen.spec.rate import NoRate
from cardgen.spec.typed_quantity import reading_of
from cardgen.spec.units import magnitude, quantity, unit_of
from cardgen.spec.windows import folds_back, lever_ratio, scale_unit, stated_window


def sums(spec: RotorSpec) -> dict[str, Any]:
    """Gather the constants of every sum this rotor's form can do, by the card each belongs to."""
    found = {"torque": _wrenches(spec), "balance": _lead(spec), "track": _track(spec)}
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


def _track(spec: RotorSpec) -> dict[str, Any] | None:
    track, table = spec.track, track_table(spec)
    if isinstance(table, NoRate):
        return None
    scale = INCH if table.unit == INCH.thin else METRIC

    def moves(rate: Figure) -> dict[str, str | None]:
        ends = amount_to_read(track, rate.quantity, quantity(1, scale.split))
        return {
            end: None if moved is None else str(magnitude(moved, scale.thin))
            for end, moved in zip(("adjust", "dial"), ends, strict=True)
        }

    first = table.rate_first_step
    return {
        "splitUnit": scale.split,
        "unit": scale.thin,
        "mark": str(scale.mark),
        "decimals": scale.decimals,
        # Between two points the first change is made by the smaller of them, on paper and here.
        **moves(first or table.rate),
        "later": moves(table.rate) if first else None,
        "flats": _flats(table.per_flat, scale.thin),
        "maxSplit": str(magnitude(table.max_split.quantity, scale.split)),
        # Where the hand reads it, like all that it adds up.
        "maxTotal": None
        if track.max_total is None
        else str(magnitude(moved_to_hand(track, track.max_total)[0], scale.thin)),
        "blades": 2 if track.basis in {"total of both", "amount on each"} else 1,
        "counts": 2 if track.max_total_of == "both, added" else 1,
        "lower": [move_text(spec, "to_lower", blade) for blade in ("a", "b")],
        "raise": [move_text(spec, "to_raise", blade) for blade in ("a", "b")],
    }


def _flats(per_flat: Figure | None, unit: str) -> str | None:
    return None if per_flat is None else str(1 / magnitude(per_flat.quantity, unit))
