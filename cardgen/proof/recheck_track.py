"""The second way to the track table, in floats, from the specification's text alone."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor, pi, radians, tan
from typing import Any

from cardgen.proof.recheck_input import SI, quantity, si, thread_pitch
from cardgen.proof.recomputed import TINY, Recomputed


def tracks(spec: dict[str, Any]) -> Iterator[Recomputed]:
    """Compute the rate, every row of the table and what stands beside it; nothing where none is adjusted."""
    track = spec["track"]
    if track["method"] == "none":
        return
    used, rate, first = _rate(track, quantity(spec["rotor"]["diameter"])[0])
    unit = quantity(used[0]["rule"])[1]
    halves = 0.5 if track["split"] == "half" else 1.0
    plain = len(used) == 1 and halves == 1.0
    fine = {"thou/in": 0.01, "mm/mm": 0.00001}
    yield Recomputed("track.rate", rate, unit, 0 if plain else fine[unit], "down")
    if len(used) == 2:
        yield Recomputed("track.rate_first_step", first[0], first[1], fine[first[1]], "down")
    most, split_unit = quantity(track["max_split"])
    if halves != 1:
        yield Recomputed("track.max_split", most / halves, split_unit, 0.001, "down")
        yield Recomputed("track.max_split_stated", most, split_unit, 0, "down")
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
    splits = [row * count for count in range(1, floor(most / row + TINY) + 1)]
    if not splits or most - splits[-1] > row * TINY:
        splits.append(most)
    both = track["basis"] == "total of both"
    for at, split in enumerate(splits, 1):
        ends = [end for end in _ends(track, largest_rate * split) if end is not None]
        if "max_total" in track and max(ends) > quantity(track["max_total"])[0] * (1 + TINY):
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
