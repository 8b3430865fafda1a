"""Rules about the bolts of a joint together: their stations and the order they are tightened in."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from cardgen.spec.model.hardware import Fastener, Tightening
from cardgen.spec.rules.families import twice
from cardgen.spec.rules.fasteners import Fasteners, yours
from cardgen.spec.rules.rule import Doubt, Doubts, rule

TWICE = (
    twice(
        "order-twice",
        "tightening.order",
        (),
        "The order names a station twice.",
        "station {it} stands in the order already; repeated rounds are written as stages",
        "each station once, and the rounds under stages",
    ),
)


@rule("station-twice", "fasteners: where, stations")
def station_twice(fasteners: Fasteners) -> Doubts:
    """Two bolts of one joint have the same station."""
    seen: set[tuple[str, int]] = set()
    for place, bolt in enumerate(fasteners):
        for at, station in enumerate(bolt.stations):
            if (bolt.where, station) in seen:
                why = (
                    f"another {bolt.where} bolt already stands at station {station}, so the order could "
                    "mean either"
                )
                write = "a number of its own for each bolt, counted from the root outward"
                yield Doubt((place, "stations", at), why, write)
            seen.add((bolt.where, station))


@rule("station-gap", "fasteners: where, stations")
def station_gap(fasteners: Fasteners) -> Doubts:
    """The stations of a joint leave out a number."""
    for place, bolt, stations in _stations(fasteners):
        for at, station in enumerate(bolt.stations):
            if station > 1 and station - 1 not in stations:
                why = f"no {bolt.where} bolt stands at station {station - 1}, so a bolt may have been left out"
                write = "every bolt of the joint, those the maker fitted too, counted from 1 without a gap"
                yield Doubt((place, "stations", at), why, write)


@rule("order-unknown", "tightening: order", "fasteners: where, stations")
def order_unknown(tightening: Tightening, fasteners: Fasteners) -> Doubts:
    """The order names a station that no strap bolt has."""
    stations = {station for bolt in fasteners if bolt.where == "strap" for station in bolt.stations}
    # Without any strap bolt that is said by its own rule.
    for place, station in enumerate(tightening.order):
        if stations and station not in stations:
            why = f"no strap bolt stands at station {station}"
            yield Doubt(("order", place), why, "stations of listed strap bolts only")


@rule("order-maker-bolt", "tightening: order", "fasteners: where, stations, fitted_by")
def order_maker_bolt(tightening: Tightening, fasteners: Fasteners) -> Doubts:
    """The order holds a bolt that the maker fitted."""
    fitted = (bolt for bolt in fasteners if bolt.where == "strap" and bolt.fitted_by == "maker")
    makers = {station for bolt in fitted for station in bolt.stations}
    for place, station in enumerate(tightening.order):
        if station in makers:
            why = f"the maker fitted the bolt at station {station}, and it is never touched at the bench"
            yield Doubt(("order", place), why, "only the stations that you tighten")


@rule("order-incomplete", "tightening: order", "fasteners: where, stations, fitted_by")
def order_incomplete(tightening: Tightening, fasteners: Fasteners) -> Doubts:
    """A strap bolt that you fit is not in the order."""
    for _, bolt in yours(fasteners):
        for station in bolt.stations if bolt.where == "strap" else ():
            if station in tightening.order:
                continue
            why = f"strap station {station} is yours to tighten but is not in the order, so it would stay loose"
            yield Doubt(("order",), why, "every strap station that you tighten, in the maker's order")


@rule("order-not-outward", "tightening: pattern, order", kind="warning")
def order_not_outward(tightening: Tightening) -> Doubts:
    """Bolts in a row are tightened in an order that does not run from the root outward."""
    if tightening.pattern == "row" and list(tightening.order) != sorted(tightening.order):
        why = (
            "this row does not run from the root outward, the usual way; an order of the maker's own may differ"
        )
        yield Doubt(("order",), why, "the order as the maker's document gives it")


@rule("stages-rising", "tightening: stages")
def stages_rising(tightening: Tightening) -> Doubts:
    """The stages of tightening do not rise."""
    for place, (before, after) in enumerate(pairwise(tightening.stages or ()), start=1):
        if after <= before:
            why = f"this stage is not above the one before it, {before} percent"
            yield Doubt(("stages", place), why, "rising percentages, the last of them the full torque")


@rule("stages-end", "tightening: stages")
def stages_end(tightening: Tightening) -> Doubts:
    """The stages of tightening do not end at the full torque, or leave 1 to 100."""
    stages = tightening.stages or ()
    write = "percentages of the final torque that end with 100"
    if stages and stages[-1] != 100:
        why = "the last stage is not the full torque, so the bolts would stay below it or go beyond it"
        yield Doubt(("stages", len(stages) - 1), why, write)
    elif stages and stages[0] < 1:
        yield Doubt(("stages", 0), "a stage below one percent tightens nothing", write)


def _stations(fasteners: Fasteners) -> Iterator[tuple[int, Fastener, set[int]]]:
    """Give every bolt with its place in the file and the stations of its joint."""
    stations: dict[str, set[int]] = {}
    for bolt in fasteners:
        stations.setdefault(bolt.where, set()).update(bolt.stations)
    yield from ((place, bolt, stations[bolt.where]) for place, bolt in enumerate(fasteners))
