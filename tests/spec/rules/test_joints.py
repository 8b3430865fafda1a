"""Stations, stages and bolts side by side, on the edge and beyond it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.spec.rules.edges import Changes, Edge, judged, speaks_just_beyond

#: Two more strap stations, in the block of the outer bolt.
FOUR = {"fasteners.1.stations": [2, 3, 4], "tightening.order": [1, 2, 3, 4]}
CIRCLE = {"tightening.pattern": "circle", "tightening.counted": "clockwise", "tightening.seen_from": "above"}
MAKERS = {"fasteners.0.fitted_by": "maker", "fasteners.1.fitted_by": "maker"}

EDGES: list[Edge] = [
    ("stages-rising", {"tightening.stages": [99, 100]}, {"tightening.stages": [100, 100]}),
    ("stages-end", {"tightening.stages": [1, 100]}, {"tightening.stages": [0, 100]}),
    ("stages-end", {"tightening.stages": [50, 100]}, {"tightening.stages": [50, 99]}),
    ("stages-end", {"tightening.stages": [50, 100]}, {"tightening.stages": [50, 101]}),
    # Drag up to 25 of a least of 165 in·lbf: 15.15 percent; with a drag of 33, 20 percent exactly.
    ("stage-below-drag", {"tightening.stages": [16, 100]}, {"tightening.stages": [15, 100]}),
    (
        "stage-below-drag",
        {"tightening.stages": [20, 100], "fasteners.0.drag_max": "33 in·lbf"},
        {"tightening.stages": [20, 100], "fasteners.0.drag_max": "33.1 in·lbf"},
    ),
    # The maker's own bolts are not tightened in stages.
    (
        "stage-below-drag",
        {"tightening.stages": [15, 100], **MAKERS},
        {"tightening.stages": [15, 100], "fasteners.0.fitted_by": "maker"},
    ),
    ("station-gap", {"fasteners.1.stations": [2]}, {"fasteners.1.stations": [3]}),
    ("station-gap", {"fasteners.1.stations": [3, 2]}, {"fasteners.1.stations": [2, 4]}),
    ("station-twice", {"fasteners.1.stations": [2, 3]}, {"fasteners.1.stations": [2, 2]}),
    ("station-twice", {"fasteners.1.stations": [2, 3]}, {"fasteners.1.stations": [2, 1]}),
    # Stations of another joint are numbers of their own.
    ("station-twice", {"fasteners.2.stations": [1]}, {"fasteners.2.where": "strap"}),
    ("places-count", {"fasteners.1.places": ["outer"]}, {"fasteners.1.places": ["outer", "tip"]}),
    (
        "places-count",
        {**FOUR, "fasteners.1.places": ["a", "b", "c"]},
        {**FOUR, "fasteners.1.places": ["a", "b"]},
    ),
    ("abreast-unknown", {"tightening.abreast": [[1, 2]]}, {"tightening.abreast": [[1, 3]]}),
    ("abreast-twice", {"tightening.abreast": [[2, 1]]}, {"tightening.abreast": [[2, 2]]}),
    (
        "abreast-twice",
        {**FOUR, "tightening.abreast": [[1, 2], [3, 4]]},
        {**FOUR, "tightening.abreast": [[1, 2], [3, 2]]},
    ),
    ("abreast-stray", CIRCLE, {**CIRCLE, "tightening.abreast": [[1, 2]]}),
    *(
        ("circle-key-missing", CIRCLE, {key: value for key, value in CIRCLE.items() if key != lacking})
        for lacking in ("tightening.counted", "tightening.seen_from")
    ),
    ("circle-key-stray", CIRCLE, {"tightening.counted": "clockwise"}),
    # Of two side by side neither is further out: numbered in turn, or one row after the other.
    (
        "order-not-outward",
        {**FOUR, "tightening.abreast": [[2, 3]], "tightening.order": [1, 3, 2, 4]},
        {**FOUR, "tightening.order": [1, 3, 2, 4]},
    ),
    (
        "order-not-outward",
        {**FOUR, "tightening.abreast": [[1, 3], [2, 4]], "tightening.order": [1, 3, 2, 4]},
        {**FOUR, "tightening.abreast": [[1, 3], [2, 4]], "tightening.order": [1, 2, 3, 4]},
    ),
    ("order-not-outward", {**CIRCLE, "tightening.order": [2, 1]}, {"tightening.order": [2, 1]}),
    ("order-maker-bolt", {}, {"fasteners.1.fitted_by": "maker"}),
    ("tightening-stray", {"fasteners.1.fitted_by": "maker"}, MAKERS),
    ("tightening-missing", {**MAKERS, "tightening": None}, {"tightening": None}),
    ("strap-bolt-missing", MAKERS, {"fasteners.0.where": "head", "fasteners.1.where": "head"}),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)


def test_a_rotor_whose_strap_bolts_are_all_the_makers_needs_no_order() -> None:
    assert judged({**MAKERS, "tightening": None}).keys() == {"override-unused"}


def test_of_the_makers_bolts_only_joint_stations_and_name_are_asked() -> None:
    makers = {"where": "strap", "stations": [3], "name": "doubler bolt", "fitted_by": "maker"}
    block = {**makers, "source": "MAKER-1 p.7"}
    assert judged({"fasteners.1": block, "fasteners.1.stations": [2], "tightening.order": [1]}).keys() == {
        "override-unused"
    }


def test_the_makers_own_bolts_may_stand_without_stations_and_yours_may_not() -> None:
    unnumbered = {"where": "strap", "name": "doubler rivet-bolt", "source": "MAKER-1 p.7"}
    makers = {"fasteners.1": {**unnumbered, "fitted_by": "maker"}, "tightening.order": [1]}
    assert judged(makers).keys() == {"override-unused"}
    assert judged({"fasteners.0.stations": None})["bolt-key-missing"]


def test_a_pair_that_crosses_blocks_is_one_pair() -> None:
    assert "abreast-unknown" not in judged({"tightening.abreast": [[2, 1]]})


@st.composite
def joints(draw: st.DrawFn) -> tuple[Changes, list[int]]:
    """Strap bolts of any number in two blocks, each with its own stations, and some order of yours."""
    count = draw(st.integers(2, 24))
    stations = draw(st.permutations(range(1, count + 1)))
    cut = draw(st.integers(1, count - 1))
    order = draw(st.permutations(stations))
    return {"fasteners.0.stations": stations[:cut], "fasteners.1.stations": stations[cut:]}, order


JOINT = {"station-twice", "station-gap", "order-unknown", "order-twice", "order-incomplete", "order-maker-bolt"}


@settings(max_examples=4, deadline=None)
@given(joints(), st.data())
def test_every_numbering_in_any_blocks_is_taken_and_every_slip_in_it_found(
    joint: tuple[Changes, list[int]], data: st.DataObject
) -> None:
    blocks, order = joint
    assert not judged({**blocks, "tightening.order": order}).keys() & JOINT
    at = data.draw(st.integers(0, len(order) - 1))
    left_out = {**blocks, "tightening.order": [*order[:at], *order[at + 1 :]]}
    assert judged(left_out).keys() & JOINT == {"order-incomplete"}
    again = {**blocks, "tightening.order": [*order, order[at]]}
    assert judged(again).keys() & JOINT == {"order-twice"}
    beyond = {**blocks, "tightening.order": [*order, len(order) + 1]}
    assert judged(beyond).keys() & JOINT == {"order-unknown"}
    makers = {**blocks, "tightening.order": order, "fasteners.1.fitted_by": "maker"}
    assert judged(makers).keys() & JOINT == {"order-maker-bolt"}
