"""The second way to the torques on the wrenches, in floats: bolts, adjuster's lock and tip screw.

Drag turns the nut and stretches nothing, so it comes whole on top of the maker's window and of every share of
it (FAA AC 43.13-1B, 7-40d). A castle nut is set to the least and goes on to a slot (7-40f).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor
from typing import Any

from cardgen.proof.recheck_input import SI, quantity, si
from cardgen.proof.recheck_wrench import Reader, Scale, arm, reader, scale
from cardgen.proof.recomputed import TINY, Recomputed


def torques(spec: dict[str, Any]) -> Iterator[Recomputed]:
    """Compute every wrench's settings for every block of bolts, the adjuster's lock and the tip screw."""
    order = spec.get("tightening", {}).get("order", [])
    stages = [stage for stage in spec.get("tightening", {}).get("stages", []) if stage < 100]
    wrenches = spec.get("wrenches", [])
    bench = [scale(wrench) for wrench in wrenches]
    used = set()
    for at, bolt in enumerate(spec["fasteners"], 1):
        strap = bolt["where"] == "strap"
        for station in bolt.get("stations", ()):
            if strap and station in order:
                place = order.index(station) + 1
                yield Recomputed(f"torque.strap.{station}.order", place, "", 0, "nearest")
        if bolt["fitted_by"] != "you" or "torque_min" not in bolt:
            continue
        for own in bench:
            name = f"torque.fasteners[{at}].{own.name}"
            found = list(_Bolt(bolt, own, reader(own, bench)).rows(name, stages if strap else []))
            used |= {own.name} if found else set()
            yield from found
    for wrench in wrenches:
        along = arm(wrench)
        if along is not None and wrench["id"] in used:
            step = 0.01 if along[1] in {"in", "ft"} else 0.1
            yield Recomputed(f"torque.arm.{wrench['id']}", *along, step, "nearest")
    yield from _locks(spec, bench)


@dataclass(frozen=True)
class _Bolt:
    """One block of bolts on one wrench."""

    bolt: dict[str, Any]
    own: Scale
    reader: Reader

    @property
    def _adds(self) -> bool:
        return self.bolt.get("drag") == "add"

    @property
    def _most(self) -> float:
        """The most drag as its wrench shows it, before it is brought down to a mark."""
        return (si(self.bolt.get("drag_max")) or 0.0) * self.reader.shows * self.reader.kept

    def rows(self, name: str, stages: list[int]) -> Iterator[Recomputed]:
        """Give every row; none at all where any of them cannot be held."""
        told = self._adds and "drag_max" in self.bolt
        readings = _spread(self._most, self.reader.mark) if told else [0.0]
        rows = [self._row(f"{name}.drag.{at}", read, stages, told) for at, read in enumerate(readings, 1)]
        if not self.own.usable or not rows or not all(rows):
            return
        for row in rows[:1] if self.own.one else rows:
            yield from row
        if told:
            step = self.reader.mark / SI[self.reader.unit]
            yield Recomputed(f"{name}.drag_stop", self._most, self.reader.unit, step, "down")
        if self._adds and not self.own.one:
            yield from self._aim(f"{name}.aim")

    def _ends(self, read: float, share: float = 1.0) -> tuple[float, float]:
        """Give the window at the nut that holds for every drag a reading may mean."""
        low, high = (quantity(self.bolt[key])[0] * share for key in ("torque_min", "torque_max"))
        least, most = self.reader.at_nut(read) if self._adds else (0.0, 0.0)
        return low + most, high + least

    def _row(self, name: str, read: float, stages: list[int], told: bool) -> list[Recomputed]:
        if not self.own.usable:
            return []
        low, high = self._ends(read)
        pair = self.own.pair(name, low, high)
        if not pair:
            return []
        unit, step = self._nut()
        row = [
            *pair,
            Recomputed(f"{name}.nut_low", low, unit, step, "up"),
            Recomputed(f"{name}.nut_high", high, unit, step, "down"),
        ]
        if told:
            row.append(Recomputed(f"{name}.drag", read, self.reader.unit, 0, "nearest"))
        for at, stage in enumerate(stages, 1):
            row += self.own.pair(f"{name}.stage.{at}", *self._ends(read, stage / 100))
        return row

    def _nut(self) -> tuple[str, float]:
        """The unit at the nut and its finest step: whole inch pounds only where they leave something over."""
        low, unit = quantity(self.bolt["torque_min"])
        wide = (quantity(self.bolt["torque_max"])[0] - low) / SI["in·lbf"] >= 10 - TINY
        return unit, 1.0 if unit == "in·lbf" and wide else 0.01 if unit == "kgf·m" else 0.1

    def _aim(self, name: str) -> Iterator[Recomputed]:
        """Give what drag is added to: of the marks that are right for every drag, the least or the middle."""
        if self.reader.unit != self.own.unit or abs(self.reader.shows - self.own.shows) > TINY:
            return
        if "drag_max" not in self.bolt and not self.reader.itself:
            yield from self._widest(name)
            return
        most = floor(self._most / self.reader.mark + TINY) * self.reader.mark
        marks = (count * self.own.mark for count in range(int(self.own.top / self.own.mark) + 2))
        right = [mark for mark in marks if self._right(mark, most)]
        if right:
            pinned = re.search("cotter|split", self.bolt["locking"], re.IGNORECASE)
            aim = right[0] if pinned else (right[0] + right[-1]) / 2
            yield Recomputed(name, aim, self.own.unit, self.own.step, "nearest")

    def _widest(self, name: str) -> Iterator[Recomputed]:
        """Give the number that is right for the largest drag, where the most is not given: halve to find it."""
        small, large = 0.0, 100 * self.own.top
        for _ in range(200):
            read = (small + large) / 2
            low, high = self._shown(read)
            small, large = (read, large) if low <= high else (small, read)
        aim = sum(self._shown(small)) / 2 - small
        low, high = self._shown(0.0)
        on_mark = floor(aim / self.own.mark + 0.5 + TINY) * self.own.mark
        close = self.own.mark * TINY
        if max(low, self.own.bottom) - close <= on_mark <= min(high, self.own.top) + close:
            yield Recomputed(name, aim, self.own.unit, self.own.step, "nearest")

    def _shown(self, read: float) -> tuple[float, float]:
        """Give both ends of what the wrench may be set to for a reading."""
        low, high = self._ends(read)
        return low * self.own.shows / self.own.kept, high * self.own.shows * self.own.kept

    def _right(self, aim: float, most: float) -> bool:
        close = self.own.mark * TINY
        for share in range(5):
            read = most * share / 4
            low, high = self._shown(read)
            if not low - close <= aim + read <= high + close:
                return False
        return self.own.bottom - close <= aim and aim + most <= self.own.top + close


def _locks(spec: dict[str, Any], bench: list[Scale]) -> Iterator[Recomputed]:
    """Give the adjuster's lock as a window and the tip screw as the mark nearest to its one figure."""
    low, high = (si(spec["track"].get(f"adjuster_torque_{end}")) for end in ("min", "max"))
    screw = si(spec.get("tip", {}).get("screw_torque"))
    for own in (each for each in bench if each.usable):
        if low is not None and high is not None:
            yield from own.pair(f"lock.adjuster.{own.name}", low, high)
        if screw is None:
            continue
        wanted = screw * own.shows
        held = own.mark if own.one else floor(wanted / own.mark + 0.5 + TINY) * own.mark
        apart = (1 - own.kept) if own.one else 0.1
        close = own.mark * TINY
        if abs(held - wanted) <= wanted * apart + close and own.bottom - close <= held <= own.top + close:
            yield Recomputed(f"lock.tip.{own.name}", held, own.unit, 0, "nearest")


def _spread(most: float, mark: float) -> list[float]:
    """Spread at most six readings over the marks from none to the most; none where not one mark fits."""
    marks = floor(most / mark + TINY)
    if marks == 0:
        return []
    every = ceil(marks / 5)
    return [count * mark for count in [*range(0, marks, every), marks]]
