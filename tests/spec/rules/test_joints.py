"""Stations, stages and bolts side by side, on the edge and beyond it."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Edge, speaks_just_beyond

EDGES: list[Edge] = [
    ("stages-rising", {"tightening.stages": [99, 100]}, {"tightening.stages": [100, 100]}),
    ("stages-end", {"tightening.stages": [1, 100]}, {"tightening.stages": [0, 100]}),
    ("stages-end", {"tightening.stages": [50, 100]}, {"tightening.stages": [50, 99]}),
    ("stages-end", {"tightening.stages": [50, 100]}, {"tightening.stages": [50, 101]}),
    ("station-gap", {"fasteners.1.station": 2}, {"fasteners.1.station": 3}),
    ("abreast-order", {"fasteners.1.abreast_of": 1}, {"fasteners.1.abreast_of": 2}),
    ("abreast-order", {"fasteners.1.abreast_of": 1}, {"fasteners.0.abreast_of": 2}),
    ("abreast-unknown", {"fasteners.1.abreast_of": 1}, {"fasteners.1.abreast_of": 3}),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)
