"""The adjuster's lock, on the edge and beyond it."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Edge, speaks_just_beyond

LOCK = {"track.adjuster_torque_min": "100 in·lbf"}
EDGES: list[Edge] = [
    (
        "track-torque-order",
        {**LOCK, "track.adjuster_torque_max": "100.1 in·lbf"},
        {**LOCK, "track.adjuster_torque_max": "100 in·lbf"},
    ),
    (
        "track-torque-order",
        {**LOCK, "track.adjuster_torque_max": "150 in·lbf"},
        {**LOCK, "track.adjuster_torque_max": "15 N·m"},
    ),
    ("track-torque-half-given", {**LOCK, "track.adjuster_torque_max": "150 in·lbf"}, LOCK),
    ("track-torque-half-given", {}, {"track.adjuster_torque_max": "150 in·lbf"}),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)
