"""The second way to the safety figures: torque on wrenches, track, lead and loads, in floats.

Each sum is written out from the specification's text without the modules that made the cards. What
comes out is not a printed text but where a printed number may lie: the value, the step of its
rounding, and to which side.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from math import ceil, cos, floor, pi, radians, tan
from typing import Any, Literal

from cardgen.proof.recheck_input import SI, quantity, si, thread_pitch

Side = Literal["up", "down", "nearest", "exact"]

# Floats do not hit a mark exactly; this share of a step is no difference.
_TINY = 1e-7
_LEAD = 11340.0


@dataclass(frozen=True)
class Recomputed:
    """Where a printed number must lie: ``value`` in SI units, ``unit`` and ``step`` as printed.

    ``allowed`` stands in for the value where several numbers are right. With ``on_marks`` the second
    unit says the printed number again and not the value.
    """

    figure: str
    value: float
    unit: str
    step: float
    side: Side
    allowed: Callable[[float], bool] | None = None
    on_marks: bool = False


def expected_figures(spec: dict[str, Any]) -> Iterator[Recomputed]:
    """Compute every safety figure of a specification a second time."""
    yield from _torques(spec)
    yield from _track(spec)
    yield from _lead(spec)
    yield from _loads(spec)


def _torques(spec: dict[str, Any]) -> Iterator[Recomputed]:
    order = spec["tightening"]["order"]
    arms = set()
    for bolt in spec["fasteners"]:
        if bolt["where"] == "strap" and bolt["station"] in order:
            place = order.index(bolt["station"]) + 1
            yield Recomputed(f"torque.strap.{bolt['station']}.order", place, "", 0, "exact")
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
        wide = (high - low) / SI["in·lbf"] >= 10 - _TINY
        nut_step = 1.0 if nut_unit == "in·lbf" and wide else 0.01 if nut_unit == "kgf·m" else 0.1
        rows += pair
        rows.append(Recomputed(f"{row}.nut_low", low + drag, nut_unit, nut_step, "up"))
        rows.append(Recomputed(f"{row}.nut_high", high + drag, nut_unit, nut_step, "down"))
        if adds:
            rows.append(Recomputed(f"{row}.drag", reading, unit, step, "exact"))
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
    least, largest = ceil(low / mark - _TINY) * mark, floor(high / mark + _TINY) * mark
    close = mark * _TINY
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
    close = mark * _TINY

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
        yield Recomputed(f"{name}.aim", 0.0, unit, mark / SI[unit], "exact", right)


def _spread(most: float, mark: float) -> list[float]:
    marks = floor(most / mark + _TINY)
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


def _track(spec: dict[str, Any]) -> Iterator[Recomputed]:
    track = spec["track"]
    if track["method"] == "none":
        return
    used, rate, first = _rate(track, quantity(spec["rotor"]["diameter"])[0])
    unit = quantity(used[0]["rule"])[1]
    halves = 0.5 if track["split"] == "half" else 1.0
    plain = len(used) == 1 and halves == 1.0
    fine = {"thou/in": 0.01, "mm/mm": 0.00001}
    yield Recomputed("track.rate", rate, unit, fine[unit], "exact" if plain else "down")
    if len(used) == 2:
        yield Recomputed("track.rate_first_step", first[0], first[1], fine[first[1]], "down")
    most, split_unit = quantity(track["max_split"])
    yield Recomputed("track.max_split", most / halves, split_unit, 0.001, "exact" if halves == 1 else "down")
    inches = unit == "thou/in"
    yield from _rows(track, "row", rate, rate, most / halves, inches)
    if len(used) == 2:
        yield from _rows(track, "first", first[0], rate, most / halves, inches)
    thin, step = ("thou", 0.5) if inches else ("mm", 0.01)
    judged, fine_split = ("in", 0.01) if inches else ("mm", 1.0)
    for name, spread in (("by_eye", SI["in"] / 4), ("on_video", SI["in"] / 16)):
        yield Recomputed(f"track.judged.{name}", 1.65 * spread / 0.25, judged, fine_split, "up")
    if "adjuster_thread" in track:
        yield Recomputed(
            "track.per_flat",
            thread_pitch(track["adjuster_thread"]) / 6,
            thin,
            0.01 if inches else 0.001,
            "nearest",
        )
    if "dial_offset" in track:
        offset, tenth = quantity(track["dial_offset"])[0], 0.1 if inches else step
        for name, degrees in (("half_degree", 0.5), ("one_degree", 1.0)):
            shown = offset * tan(radians(degrees))
            yield Recomputed(f"track.false_reading.{name}", shown, thin, tenth, "up")


def _rate(track: dict[str, Any], diameter: float) -> tuple[list[dict[str, Any]], float, tuple[float, str]]:
    halves = 0.5 if track["split"] == "half" else 1.0
    points = sorted(track["points"], key=lambda point: quantity(point["diameter"])[0])
    sizes = [quantity(point["diameter"])[0] for point in points]
    rates = [quantity(point["rule"])[0] * halves for point in points]
    for point, size, rate in zip(points, sizes, rates, strict=True):
        if abs(size - diameter) <= SI["in"] / 4 + 1e-12:
            return [point], rate, (rate, "")
    above = next(at for at, size in enumerate(sizes) if size > diameter)
    pair = points[above - 1 : above + 1]
    share = (diameter - sizes[above - 1]) / (sizes[above] - sizes[above - 1])
    rate = rates[above - 1] * (1 - share) + rates[above] * share
    smaller = above - 1 if rates[above - 1] <= rates[above] else above
    return pair, rate, (rates[smaller], quantity(points[smaller]["rule"])[1])


def _rows(
    track: dict[str, Any], table: str, rate: float, largest_rate: float, most: float, inches: bool
) -> Iterator[Recomputed]:
    row, split_unit = (SI["in"] / 4, "in") if inches else (0.005, "mm")
    thin, step = ("thou", 0.5) if inches else ("mm", 0.01)
    splits = [row * count for count in range(1, floor(most / row + _TINY) + 1)]
    if not splits or most - splits[-1] > row * _TINY:
        splits.append(most)
    both = track["basis"] == "total of both"
    for at, split in enumerate(splits, 1):
        ends = [end for end in _ends(track, largest_rate * split) if end is not None]
        if "max_total" in track and max(ends) > quantity(track["max_total"])[0] * (1 + _TINY):
            return
        adjust, dial = _ends(track, rate * split * (0.5 if both else 1.0))
        name = f"track.{table}.{at}"
        yield Recomputed(f"{name}.split", split, split_unit, 0.0001, "nearest")
        if adjust is not None:
            yield Recomputed(f"{name}.adjust", adjust, thin, step, "down", on_marks=inches)
            if "adjuster_thread" in track:
                turns = adjust / thread_pitch(track["adjuster_thread"])
                yield Recomputed(f"{name}.flats", turns * 2 * pi, "flats", 0.1, "down")
        if dial is not None:
            yield Recomputed(f"{name}.dial", dial, thin, step, "down", on_marks=inches)


def _ends(track: dict[str, Any], read: float) -> tuple[float | None, float | None]:
    """Give (adjuster, dial) for an amount read where the rule is read."""
    lever, dial_lever = si(track.get("lever")), si(track.get("dial_lever"))
    known = lever is not None and dial_lever is not None
    grows = dial_lever / lever if lever is not None and dial_lever is not None else 1.0
    if track["rule_reads"] == "dial":
        return (read / grows if known else None), read
    return read, (read * grows if known else None)


def _lead(spec: dict[str, Any]) -> Iterator[Recomputed]:
    if "balance" not in spec:
        return
    balance, spin = spec["balance"], quantity(spec["rotor"]["normal_speed"])[0]
    radius, (bore, bore_unit) = quantity(balance["tip_radius"])[0], quantity(balance["cavity_diameter"])
    most, depth = quantity(balance["max_lead"])[0], quantity(balance["cavity_depth"])[0]
    unit, step = ("in", 0.01) if bore_unit == "in" else ("mm", 0.1)
    every = next((step for step in (1, 2, 5, 10, 20, 50) if most * 1000 / step <= 8 + _TINY), 100) / 1000
    masses = [every * count for count in range(1, floor(most / every + _TINY) + 1)]
    if not masses or most - masses[-1] > every * _TINY:
        masses.append(most)
    for at, mass in enumerate(masses, 1):
        length = mass / (_LEAD * pi * bore**2 / 4)
        if length > depth * (1 + _TINY):
            break
        whole = abs(mass * 1000 - round(mass * 1000)) < 1e-6
        yield Recomputed(f"balance.lead.{at}.mass", mass, "g", 1.0 if whole else 0.1, "down")
        yield Recomputed(f"balance.lead.{at}.ounces", mass, "oz", 0.01, "down")
        yield Recomputed(f"balance.lead.{at}.length", length, unit, step, "down")
    yield Recomputed("balance.shake_per_gram", radius * spin**2, "N/g", 0.1, "up")


def _loads(spec: dict[str, Any]) -> Iterator[Recomputed]:
    rotor, spin = spec["rotor"], quantity(spec["rotor"]["normal_speed"])[0]
    radius, square = quantity(rotor["diameter"])[0] / 2, spin**2
    yield Recomputed("loads.tip_speed", radius * spin, "m/s", 1, "nearest")
    yield Recomputed("loads.pull_per_gram", radius * square, "N/g", 0.1, "up")
    yield Recomputed("loads.loose_item", 0.01, "g", 1, "exact")
    yield Recomputed("loads.loose_item_pull", 0.01 * radius * square, "N", 1, "up")
    yield Recomputed("loads.loose_item_energy", 0.005 * (radius * spin) ** 2, "J", 1, "up")
    reflector = si(spec.get("reflectors", {}).get("mass"))
    if reflector is not None:
        yield Recomputed("loads.reflector_pull", reflector * radius * square, "N", 1, "up")
    if "balance" in spec:
        balance = spec["balance"]
        lead = quantity(balance["max_lead"])[0] * quantity(balance["tip_radius"])[0] * square
        yield Recomputed("loads.lead_pull", lead, "N", 1, "up")
    mass, centre = si(spec["blades"].get("mass")), si(spec["blades"].get("mass_centre"))
    if mass is not None and centre is not None:
        yield Recomputed("loads.blade_pull", mass * centre * square, "N", 100, "up", on_marks=True)
    if "aircraft" in spec:
        loading = quantity(spec["aircraft"]["mass"])[0] / (pi * radius**2)
        yield Recomputed("loads.disc_loading", loading, "kg/m²", 0.1, "nearest")
