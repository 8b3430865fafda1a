"""Every fastener's torque window, its place in the order, and every wrench of the bench."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cardgen.figures.figure import Figure, Parts, source_and_origin, stated
from cardgen.figures.setting_rows import WrenchCannot, WrenchSettings
from cardgen.figures.stated import plain
from cardgen.figures.wrench_settings import FastenerOnWrench
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.hardware import Fastener
from cardgen.spec.problem import key_of
from cardgen.spec.units import quantity
from cardgen.spec.windows import stated_window

FINAL = 100


@dataclass(frozen=True)
class FastenerFigures:
    """One block of fasteners: its stated window, its places in the order, and every wrench of the bench.

    ``low`` and ``high`` are missing where the fit is said in words. ``wrenches`` is empty there, for
    the maker's own fasteners, and where the bench lists no wrench. ``orders`` has one entry a station,
    missing where the maker's order does not list it.
    """

    index: int
    where: str
    stations: tuple[int, ...]
    low: Figure | None
    high: Figure | None
    drag_max: Figure | None
    orders: tuple[Figure | None, ...]
    wrenches: tuple[WrenchSettings | WrenchCannot, ...]


def fastening_figures(spec: RotorSpec) -> tuple[FastenerFigures, ...]:
    """Compute every block's figures, in the order of the specification."""
    return tuple(_fastener(spec, index, fastener) for index, fastener in enumerate(spec.fasteners))


def _fastener(spec: RotorSpec, index: int, fastener: Fastener) -> FastenerFigures:
    path = ("fasteners", index)
    has_torque = stated_window(fastener) is not None
    return FastenerFigures(
        index=index,
        where=fastener.where,
        stations=fastener.stations,
        low=stated(spec, (*path, "torque_min")) if has_torque else None,
        high=stated(spec, (*path, "torque_max")) if has_torque else None,
        drag_max=stated(spec, (*path, "drag_max")) if fastener.drag_max is not None else None,
        orders=tuple(_order(spec, fastener, station) for station in fastener.stations),
        wrenches=_wrenches(spec, index) if has_torque and fastener.fitted_by == "you" else (),
    )


def _wrenches(spec: RotorSpec, index: int) -> tuple[WrenchSettings | WrenchCannot, ...]:
    fastener, bench = spec.fasteners[index], tuple(spec.wrenches or ())
    return tuple(
        FastenerOnWrench(
            fastener=fastener,
            fastener_key=key_of(("fasteners", index)),
            wrench=wrench,
            wrench_key=key_of(("wrenches", at)),
            bench=bench,
            stages=_early_stages(spec) if fastener.where == "strap" else (),
        ).settings()
        for at, wrench in enumerate(bench)
    )


def _early_stages(spec: RotorSpec) -> tuple[Figure, ...]:
    stages = (spec.tightening.stages if spec.tightening else None) or ()
    return tuple(plain(spec, ("tightening", "stages", at)) for at, part in enumerate(stages) if part < FINAL)


def _order(spec: RotorSpec, fastener: Fastener, station: int) -> Figure | None:
    order = spec.tightening.order if spec.tightening else ()
    if fastener.where != "strap" or station not in order:
        return None
    place = order.index(station)
    source, origin = source_and_origin(spec, ("tightening", "order"))
    return Figure(
        id=f"torque.strap.{station}.order",
        quantity=quantity(Fraction(place + 1), ""),
        parts=Parts(str(place + 1), ""),
        origin=origin,
        reference=source,
        formula="place of this station in the maker's order",
        inputs=(key_of(("tightening", "order", place)),),
    )


__all__ = ["FINAL", "FastenerFigures", "WrenchCannot", "WrenchSettings", "fastening_figures"]
