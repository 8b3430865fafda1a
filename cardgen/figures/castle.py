"""Castle nuts: how far a nut turns from slot to slot, and what a change of washer does to the slot.

Six slots are 60 degrees apart, and a turn advances one pitch. A washer that is thicker by some
amount stops the nut earlier by that part of a turn, so the turn still needed grows. Washers are
made too loosely for a table of nominal sizes: measure both and count by the difference.
"""

from __future__ import annotations

from dataclasses import dataclass

from cardgen.figures.figure import Figure, computed
from cardgen.spec.model import RotorSpec
from cardgen.spec.units import magnitude, quantity


@dataclass(frozen=True)
class CastleNut:
    """One kind of thread that is locked with a cotter pin on this rotor."""

    thread: str
    stations: tuple[str, ...]
    per_thickness: Figure
    slot_advance: Figure


def castle_figures(spec: RotorSpec) -> tuple[CastleNut, ...]:
    """Compute one entry a thread, for the fasteners that are yours and have a cotter pin."""
    pinned: dict[str, list[int]] = {}
    for at, fastener in enumerate(spec.fasteners):
        if fastener.locking == "cotter pin" and fastener.fitted_by == "you" and fastener.thread is not None:
            pinned.setdefault(fastener.thread.name, []).append(at)
    return tuple(_nut(spec, places) for places in pinned.values())


def _nut(spec: RotorSpec, places: list[int]) -> CastleNut:
    blocks = [spec.fasteners[at] for at in places]
    thread, key = blocks[0].thread, f"fasteners[{places[0] + 1}].thread"
    if thread is None:
        raise ValueError("a bolt of yours without a thread")
    stations = tuple(f"{block.where} {station}" for block in blocks for station in block.stations)
    thin = "thou" if thread.unified else "mm"
    pitch = magnitude(thread.pitch, thin)
    return CastleNut(
        thread=thread.name,
        stations=stations,
        per_thickness=computed(
            f"castle.{thread.name}.per_thickness",
            quantity(360 / pitch, f"deg/{thin}"),
            f"deg/{thin}",
            decimals=1 if thread.unified else 0,
            formula="a whole turn over the thread's pitch",
            inputs=(key,),
        ),
        slot_advance=computed(
            f"castle.{thread.name}.slot_advance",
            quantity(pitch / 6, thin),
            thin,
            decimals=1 if thread.unified else 2,
            formula="pitch of the thread over six slots",
            inputs=(key,),
        ),
    )
