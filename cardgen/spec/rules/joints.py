"""Rules about the bolts of a joint together: their stations and the order they are tightened in."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from cardgen.spec.model.hardware import Fastener, Tightening
from cardgen.spec.problem import Path
from cardgen.spec.rules.families import missing, repeats, says, says_not, stray, twice
from cardgen.spec.rules.fasteners import Fasteners, yours
from cardgen.spec.rules.rule import Doubt, Doubts, rule, typed
from cardgen.spec.units import Quantity
from cardgen.spec.unjudged import Unjudged

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

#: What says how the stations of a circle are counted; a row is counted from the root.
_OF_A_CIRCLE = {
    "counted": '"clockwise" or "counter-clockwise", as the maker\'s drawing counts them',
    "seen_from": '"above" or "below", as the maker\'s drawing shows the circle',
}

CIRCLE = tuple(
    made
    for key, write in _OF_A_CIRCLE.items()
    for made in (
        missing(
            "circle-key-missing",
            f"tightening.{key}",
            "Bolts stand on a circle, but not how their stations are counted round it.",
            {"pattern": says("circle")},
            "counted the other way round or seen from the other side, every number names another bolt",
            write,
        ),
        stray(
            "circle-key-stray",
            f"tightening.{key}",
            "Bolts stand in a row, yet it is said how a circle is counted.",
            {"pattern": says_not("circle")},
            "a row is counted from the root outward, and nothing goes round it",
            'pattern = "circle" if they stand on one; if not, leave this key out',
        ),
    )
)

ABREAST_CIRCLE = stray(
    "abreast-stray",
    "tightening.abreast",
    "Bolts on a circle are said to stand side by side.",
    {"pattern": says("circle")},
    "a circle has a place for each station, and the map draws none beside another",
    'pattern = "row" if they stand in one; if not, leave this key out',
)


@rule("places-count", "fasteners[]: stations, places")
def places_count(bolt: Fastener) -> Doubts:
    """A block names more or fewer places than it has stations."""
    if bolt.places is not None and len(bolt.places) != len(bolt.stations):
        why = f"of {len(bolt.stations)} stations {len(bolt.places)} have a place, so a place could be another's"
        yield Doubt(("places",), why, "one place for each station, in the order of the stations")


@rule("station-twice", "fasteners: where, stations")
def station_twice(fasteners: Fasteners) -> Doubts:
    """Two bolts of one joint have the same station."""
    every = [
        (bolt.where, station, (place, "stations", at))
        for place, bolt in enumerate(fasteners)
        for at, station in enumerate(bolt.stations)
    ]
    for row, (where, station) in repeats(bolt[:2] for bolt in every):
        why = f"another {where} bolt already stands at station {station}, so the order could mean either"
        yield Doubt(every[row][2], why, "a number of its own for each bolt, counted from the root outward")


@rule("station-gap", "fasteners: where, stations")
def station_gap(fasteners: Fasteners) -> Doubts:
    """The stations of a joint leave out a number."""
    for place, bolt in enumerate(fasteners):
        stations = {station for each in fasteners if each.where == bolt.where for station in each.stations}
        for at, station in enumerate(bolt.stations):
            if station > 1 and station - 1 not in stations:
                why = f"no {bolt.where} bolt stands at station {station - 1}, so a bolt may have been left out"
                write = "every bolt of the joint, those the maker fitted too, counted from 1 without a gap"
                yield Doubt((place, "stations", at), why, write)


@rule("tightening-missing", "fasteners: where, fitted_by, name", "tightening?")
def tightening_missing(fasteners: Fasteners, tightening: Tightening | None) -> Doubts:
    """You fit strap bolts, but nothing says in which order."""
    place = next((place for place, bolt in yours(fasteners) if bolt.where == "strap"), None)
    if tightening is None and place is not None:
        why = f"the {fasteners[place].name} is yours to tighten, and the order is the maker's to say"
        yield Doubt((place, "fitted_by"), why, "the group [tightening] from the maker's document")


@rule("tightening-stray", "tightening", "fasteners: where, fitted_by")
def tightening_stray(_tightening: Tightening, fasteners: Fasteners) -> Doubts:
    """The maker fits every strap bolt, yet an order of tightening is given."""
    if any(bolt.where == "strap" for bolt in fasteners) and not _your_straps(fasteners):
        why = "every strap bolt listed is the maker's and is never touched, so nothing is tightened here"
        yield Doubt((), why, 'fitted_by = "you" for those that you tighten; or leave [tightening] out')


@rule("order-unknown", "tightening: order", "fasteners: where, stations")
def order_unknown(tightening: Tightening, fasteners: Fasteners) -> Doubts:
    """The order names a station that no strap bolt has."""
    yield from _unknown(fasteners, ((("order", at), station) for at, station in enumerate(tightening.order)))


@rule("abreast-unknown", "tightening: abreast", "fasteners: where, stations")
def abreast_unknown(tightening: Tightening, fasteners: Fasteners) -> Doubts:
    """A pair of bolts side by side names a station that no strap bolt has."""
    yield from _unknown(fasteners, _abreast(tightening))


@rule("abreast-twice", "tightening: abreast")
def abreast_twice(tightening: Tightening) -> Doubts:
    """A bolt stands beside itself, or in two pairs."""
    pairs = list(_abreast(tightening))
    for row, station in repeats(station for _, station in pairs):
        why = f"station {station} stands in a pair already, and a bolt has one other beside it"
        yield Doubt(pairs[row][0], why, "each station in one pair, the one at the leading edge first")


@rule("order-maker-bolt", "tightening: order", "fasteners: where, stations, fitted_by")
def order_maker_bolt(tightening: Tightening, fasteners: Fasteners) -> Doubts:
    """The order holds a bolt that the maker fitted."""
    fitted = (bolt for bolt in fasteners if bolt.where == "strap" and bolt.fitted_by == "maker")
    makers = {station for bolt in fitted for station in bolt.stations}
    # Where all of them are the maker's, the whole group has nothing to say, by a rule of its own.
    for place, station in enumerate(tightening.order if _your_straps(fasteners) else ()):
        if station in makers:
            why = f"the maker fitted the bolt at station {station}, and it is never touched at the bench"
            yield Doubt(("order", place), why, "only the stations that you tighten")


@rule("order-incomplete", "tightening: order", "fasteners: where, stations, fitted_by")
def order_incomplete(tightening: Tightening, fasteners: Fasteners) -> Doubts:
    """A strap bolt that you fit is not in the order."""
    for station in (station for bolt in _your_straps(fasteners) for station in bolt.stations):
        if station not in tightening.order:
            why = f"strap station {station} is yours to tighten but is not in the order, so it would stay loose"
            yield Doubt(("order",), why, "every strap station that you tighten, in the maker's order")


@rule("order-not-outward", "tightening: pattern, order, abreast", kind="warning")
def order_not_outward(tightening: Tightening) -> Doubts:
    """Bolts in a row are tightened in an order that does not run from the root outward."""
    # Of two that stand side by side neither is further out, whatever their numbers are.
    level = {station: min(pair) for pair in tightening.abreast or () for station in pair}
    places = [level.get(station, station) for station in tightening.order]
    if tightening.pattern == "row" and places != sorted(places):
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


@rule(
    "stage-below-drag",
    "tightening: stages",
    "fasteners: where, fitted_by, name, torque_min, drag_max",
    "draft",
    plausible=True,
)
def stage_below_drag(tightening: Tightening, fasteners: Fasteners, draft: Unjudged) -> Doubts:
    """A stage of tightening is less than the running drag that a nut may have."""
    for place, bolt in yours(fasteners):
        if bolt.where == "strap" and bolt.torque_min is not None and bolt.drag_max is not None:
            for at, stage in enumerate(tightening.stages or ()):
                share: Quantity = bolt.torque_min * stage / 100
                if 1 <= stage < 100 and share < bolt.drag_max:
                    least, drag = (typed(draft, "fasteners", place, key) for key in ("torque_min", "drag_max"))
                    why = (
                        f"{stage} percent of {least} is less than the {drag} that a nut of the {bolt.name} may "
                        "drag, so the drag alone would be taken for the stage"
                    )
                    yield Doubt(("stages", at), why, "the stages that the maker states, each above the drag")


def _abreast(tightening: Tightening) -> Iterator[tuple[Path, int]]:
    """Give every station of every pair, with its place."""
    for at, pair in enumerate(tightening.abreast or ()):
        yield from ((("abreast", at, side), station) for side, station in enumerate(pair))


def _unknown(fasteners: Fasteners, named: Iterable[tuple[Path, int]]) -> Doubts:
    stations = {station for bolt in fasteners if bolt.where == "strap" for station in bolt.stations}
    # Without any strap bolt that is said by its own rule.
    for place, station in named if stations else ():
        if station not in stations:
            yield Doubt(
                place, f"no strap bolt stands at station {station}", "stations of listed strap bolts only"
            )


def _your_straps(fasteners: Fasteners) -> list[Fastener]:
    return [bolt for _, bolt in yours(fasteners) if bolt.where == "strap"]
