"""The second way to the track table, in floats, from the specification's text alone.

A rule in degrees turns the blade, and each place moves by its distance from the pitch pivot line times the
angle; a rule in flats turns the adjuster's screw; any other is a length, at the dial or at the adjuster.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import floor, pi, radians, tan
from typing import Any

from cardgen.proof.recheck_input import SI, quantity, si, thread_pitch
from cardgen.proof.recomputed import TINY, Recomputed

_FINE = {"thou/in": 0.01, "in/in": 1e-5, "mm/mm": 1e-5, "mm/m": 0.01, "deg/in": 0.001, "flats/in": 0.01}
#: One reading of a split by eye and on video, good to so many metres.
_SPREADS = {"by_eye": SI["in"] / 4, "on_video": SI["in"] / 16}


@dataclass(frozen=True)
class _Units:
    """What the table is ruled and read in, with the step of each."""

    split: str
    row: float
    judged: float
    differs: float
    thin: str
    mark: float
    decimal: float
    flat: float


_INCH = _Units("in", SI["in"] / 4, 0.01, 0.01, "thou", 0.5, 0.1, 0.01)
_METRIC = _Units("mm", 0.005, 1.0, 0.1, "mm", 0.01, 0.01, 0.001)


def tracks(spec: dict[str, Any]) -> Iterator[Recomputed]:
    """Compute the rate, every row of the table and what stands beside it; nothing where none is adjusted."""
    track = spec["track"]
    if track["method"] == "none":
        return
    used, rate, first = _rate(track, quantity(spec["rotor"]["diameter"])[0])
    unit = quantity(used[0]["rule"])[1]
    units = _INCH if unit.endswith("/in") else _METRIC
    doubled = 2 if track["split"] == "half" else 1
    between = len(used) == 2
    yield Recomputed("track.rate", rate, unit, _FINE[unit] if between or doubled == 2 else 0, "down")
    if between:
        yield Recomputed("track.rate_first_step", first[0], first[1], _FINE[first[1]], "down")
    most, split_unit = quantity(track["max_split"])
    most *= doubled
    if doubled == 2:
        yield Recomputed("track.max_split", most, split_unit, 0.001, "down")
        yield Recomputed("track.max_split_stated", most / 2, split_unit, 0, "down")
        if "good_enough" in track:
            enough, enough_unit = quantity(track["good_enough"])
            yield Recomputed("track.good_enough_total", 2 * enough, enough_unit, 0.001, "down")
    yield from _rows(track, "row", rate, rate, most, units)
    if between:
        yield from _rows(track, "first", first[0], rate, most, units)
    yield from _total_read(track, units)
    yield from _beside(track, rate / first[0], units)


def _beside(track: dict[str, Any], weaker: float, units: _Units) -> Iterator[Recomputed]:
    """Give what a reading tells, what a flat moves and what a teetering bar shows."""
    for name, spread in _SPREADS.items():
        judged = 1.65 * spread / 0.25 * weaker
        yield Recomputed(f"track.judged.{name}", judged, units.split, units.judged, "up")
        yield Recomputed(f"track.differs.{name}", 2.8 * spread, units.split, units.differs, "nearest")
    if "adjuster_thread" in track and not _two_threads(track):
        sixth = thread_pitch(track["adjuster_thread"]) / 6
        yield Recomputed("track.per_flat", sixth, units.thin, units.flat, "nearest")
    if "dial_offset" in track:
        for name, degrees in (("half_degree", 0.5), ("one_degree", 1.0)):
            shown = quantity(track["dial_offset"])[0] * tan(radians(degrees))
            yield Recomputed(f"track.false_reading.{name}", shown, units.thin, units.decimal, "up")


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
    track: dict[str, Any], table: str, rate: float, largest_rate: float, most: float, units: _Units
) -> Iterator[Recomputed]:
    splits = [units.row * count for count in range(1, floor(most / units.row + TINY) + 1)]
    if not splits or most - splits[-1] > units.row * TINY:
        splits.append(most)
    share = 0.5 if track["basis"] == "total of both" else 1.0
    for at, split in enumerate(splits, 1):
        if not _inside_total(track, largest_rate * split):
            return
        adjust, dial = _ends(track, rate * split * share)
        name, on_marks = f"track.{table}.{at}", units is _INCH
        yield Recomputed(f"{name}.split", split, units.split, 0.0001, "nearest")
        if adjust is not None:
            yield Recomputed(f"{name}.adjust", adjust, units.thin, units.mark, "down", on_marks)
            if "adjuster_thread" in track and not _two_threads(track):
                turned = adjust / thread_pitch(track["adjuster_thread"]) * 2 * pi
                yield Recomputed(f"{name}.flats", turned, "flats", 0.1, "down")
        if _two_threads(track) and quantity(track["points"][0]["rule"])[1] == "flats/in":
            yield Recomputed(f"{name}.flats", rate * split * share, "flats", 0.1, "down")
        if dial is not None and track["set_by"] == "dial":
            yield Recomputed(f"{name}.dial", dial, units.thin, units.mark, "down", on_marks)


def _two_threads(track: dict[str, Any]) -> bool:
    """Whether the adjuster is a turnbuckle: one turn may move it by two pitches."""
    moves = [track.get(way, {}).get(blade, {}) for way in ("to_lower", "to_raise") for blade in "ab"]
    return any({"shorten", "lengthen"} & move.keys() for move in moves)


def _inside_total(track: dict[str, Any], asked: float) -> bool:
    """Whether what a rule asks for stays inside the largest total, where and as that total is counted."""
    if "max_total" not in track:
        return True
    moved = _ends(track, asked)[1 if track["max_total_reads"] == "dial" else 0]
    added = track.get("max_total_of") == "both, added"
    times = {"total of both": 1.0 if added else 0.5, "amount on each": 2.0 if added else 1.0}
    counted = (moved or 0.0) * times.get(track["basis"], 1.0)
    return counted <= quantity(track["max_total"])[0] * (1 + TINY)


def _total_read(track: dict[str, Any], units: _Units) -> Iterator[Recomputed]:
    """Give the largest total as the hand reads it, where that is not as it is stated."""
    by_dial = track["set_by"] == "dial"
    if "max_total" not in track or (by_dial and track["max_total_reads"] == "dial"):
        return
    total, grows = quantity(track["max_total"])[0], _grows(track) or 0.0
    if by_dial:
        read = total * grows
        yield Recomputed("track.max_total_read", read, units.thin, units.mark, "down", units is _INCH)
    elif "adjuster_thread" in track:
        moved = total / grows if track["max_total_reads"] == "dial" else total
        turned = moved / thread_pitch(track["adjuster_thread"]) * 2 * pi
        yield Recomputed("track.max_total_read", turned, "flats", 0.1, "down")


def _grows(track: dict[str, Any]) -> float | None:
    """How far the dial moves for each unit at the adjuster."""
    lever, dial_lever = si(track.get("lever")), si(track.get("dial_lever"))
    return None if lever is None or dial_lever is None else dial_lever / lever


def _ends(track: dict[str, Any], asked: float) -> tuple[float | None, float | None]:
    """Give (adjuster, dial) for what a rule asks for: an angle, a turn, or a length where it is read."""
    unit, grows = quantity(track["points"][0]["rule"])[1], _grows(track)
    if unit == "deg/in":
        lever, dial_lever = si(track.get("lever")), si(track.get("dial_lever"))
        return (None if lever is None else lever * asked), (None if dial_lever is None else dial_lever * asked)
    if unit == "flats/in":
        if _two_threads(track):
            return None, None
        asked *= thread_pitch(track["adjuster_thread"]) / (2 * pi)
    elif track["rule_reads"] == "dial":
        return (None if grows is None else asked / grows), asked
    return asked, (None if grows is None else asked * grows)
