"""Rules about the bolts of a joint together: their stations and the order they are tightened in."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from cardgen.spec.model.hardware import Fastener, Tightening
from cardgen.spec.rules.fasteners import Fasteners, yours
from cardgen.spec.rules.papers_and_marks import repeats
from cardgen.spec.rules.rule import Doubt, Doubts, rule


@rule("station-twice", "fasteners")
def station_twice(fasteners: Fasteners) -> Doubts:
    """Two bolts of one joint have the same station."""
    for place, (where, station) in repeats((bolt.where, bolt.station) for bolt in fasteners):
        why = f"another {where} bolt already stands at station {station}, so the order could mean either"
        yield Doubt(
            ("fasteners", place, "station"),
            why,
            "a number of its own for each bolt, counted from the root outward",
        )


@rule("station-gap", "fasteners")
def station_gap(fasteners: Fasteners) -> Doubts:
    """The stations of a joint leave out a number."""
    for where, bolts in _joints(fasteners):
        stations = {bolt.station for _, bolt in bolts}
        for place, bolt in bolts:
            if bolt.station > 1 and bolt.station - 1 not in stations:
                why = f"no {where} bolt stands at station {bolt.station - 1}, so a bolt may have been left out"
                write = "every bolt of the joint, those the maker fitted too, counted from 1 without a gap"
                yield Doubt(("fasteners", place, "station"), why, write)


@rule("abreast-unknown", "fasteners")
def abreast_unknown(fasteners: Fasteners) -> Doubts:
    """A bolt stands abreast of a station that its joint does not have."""
    for _, bolts in _joints(fasteners):
        stations = {bolt.station for _, bolt in bolts}
        for place, bolt in bolts:
            if bolt.abreast_of is not None and bolt.abreast_of not in stations:
                why = "no bolt of this joint has that station, so it cannot be drawn beside it"
                yield Doubt(("fasteners", place, "abreast_of"), why, "the station of the bolt it stands beside")


@rule("abreast-order", "fasteners")
def abreast_order(fasteners: Fasteners) -> Doubts:
    """A bolt stands abreast of itself or of a higher station."""
    for where, bolts in _joints(fasteners):
        stations = {bolt.station for _, bolt in bolts}
        for place, bolt in bolts:
            if bolt.abreast_of in stations and bolt.abreast_of is not None and bolt.abreast_of >= bolt.station:
                why = (
                    f"this is {where} station {bolt.station}, and of two bolts side by side the later "
                    "number names the earlier"
                )
                yield Doubt(
                    ("fasteners", place, "abreast_of"),
                    why,
                    "a station lower than its own; or leave this key out",
                )


@rule("order-unknown", "tightening", "fasteners")
def order_unknown(tightening: Tightening, fasteners: Fasteners) -> Doubts:
    """The order names a station that no strap bolt has."""
    stations = {bolt.station for bolt in fasteners if bolt.where == "strap"}
    # Without any strap bolt that is said by its own rule.
    for place, station in enumerate(tightening.order):
        if stations and station not in stations:
            why = f"no strap bolt stands at station {station}"
            yield Doubt(("tightening", "order", place), why, "stations of listed strap bolts only")


@rule("order-maker-bolt", "tightening", "fasteners")
def order_maker_bolt(tightening: Tightening, fasteners: Fasteners) -> Doubts:
    """The order holds a bolt that the maker fitted."""
    makers = {bolt.station for bolt in fasteners if bolt.where == "strap" and bolt.fitted_by == "maker"}
    for place, station in enumerate(tightening.order):
        if station in makers:
            why = f"the maker fitted the bolt at station {station}, and it is never touched at the bench"
            yield Doubt(("tightening", "order", place), why, "only the stations that you tighten")


@rule("order-incomplete", "tightening", "fasteners")
def order_incomplete(tightening: Tightening, fasteners: Fasteners) -> Doubts:
    """A strap bolt that you fit is not in the order."""
    for _, bolt in yours(fasteners):
        if bolt.where == "strap" and bolt.station not in tightening.order:
            why = (
                f"strap station {bolt.station} is yours to tighten but is not in the order, so it "
                "would stay loose"
            )
            yield Doubt(
                ("tightening", "order"), why, "every strap station that you tighten, in the maker's order"
            )


@rule("order-twice", "tightening")
def order_twice(tightening: Tightening) -> Doubts:
    """The order names a station twice."""
    for place, station in repeats(tightening.order):
        why = f"station {station} stands in the order already; repeated rounds are written as stages"
        yield Doubt(("tightening", "order", place), why, "each station once, and the rounds under stages")


@rule("order-not-outward", "tightening", kind="warning")
def order_not_outward(tightening: Tightening) -> Doubts:
    """Bolts in a row are tightened in an order that does not run from the root outward."""
    if tightening.pattern == "row" and list(tightening.order) != sorted(tightening.order):
        why = (
            "this row does not run from the root outward, the usual way; an order of the maker's own may differ"
        )
        yield Doubt(("tightening", "order"), why, "the order as the maker's document gives it")


@rule("stages-rising", "tightening")
def stages_rising(tightening: Tightening) -> Doubts:
    """The stages of tightening do not rise."""
    stages = tightening.stages or ()
    for place, (before, after) in enumerate(pairwise(stages), start=1):
        if after <= before:
            why = f"this stage is not above the one before it, {before} percent"
            yield Doubt(
                ("tightening", "stages", place), why, "rising percentages, the last of them the full torque"
            )


@rule("stages-end", "tightening")
def stages_end(tightening: Tightening) -> Doubts:
    """The stages of tightening do not end at the full torque, or leave 1 to 100."""
    stages = tightening.stages or ()
    if stages and stages[-1] != 100:
        why = "the last stage is not the full torque, so the bolts would stay below it or go beyond it"
        yield Doubt(
            ("tightening", "stages", len(stages) - 1), why, "percentages of the final torque that end with 100"
        )
    elif stages and stages[0] < 1:
        why = "a stage below one percent tightens nothing"
        yield Doubt(("tightening", "stages", 0), why, "percentages of the final torque that end with 100")


def _joints(fasteners: Fasteners) -> Iterator[tuple[str, list[tuple[int, Fastener]]]]:
    for where in dict.fromkeys(bolt.where for bolt in fasteners):
        yield where, [(place, bolt) for place, bolt in enumerate(fasteners) if bolt.where == where]


RULES = (
    station_twice,
    station_gap,
    abreast_unknown,
    abreast_order,
    order_unknown,
    order_maker_bolt,
    order_incomplete,
    order_twice,
    order_not_outward,
    stages_rising,
    stages_end,
)
