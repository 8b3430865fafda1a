"""Torques against table 7-1 of AC 43.13-1B, 3/8-24 with a tension nut: 160 to 190, at most 390 in·lbf."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Edge, speaks_just_beyond

EDGES: list[Edge] = [
    (
        rule,
        {f"fasteners.0.{key}": f"{value} in·lbf" for key, value in quiet.items()},
        {f"fasteners.0.{key}": f"{value} in·lbf" for key, value in loud.items()},
    )
    for rule, quiet, loud in (
        # A quarter above 190 is 237.5; a quarter below 160 is what gives 160 with a quarter on top, 128.
        ("torque-unlike-handbook", {"torque_max": "237.5"}, {"torque_max": "237.6"}),
        ("torque-unlike-handbook", {"torque_max": "390.1"}, {"torque_max": "390"}),
        ("torque-unlike-handbook", {"torque_min": "128"}, {"torque_min": "127.9"}),
        ("torque-unlike-handbook", {"torque_min": "79.9"}, {"torque_min": "80"}),
        ("torque-thread-bounds", {"torque_min": "80"}, {"torque_min": "79.9"}),
        ("torque-thread-bounds", {"torque_max": "390"}, {"torque_max": "390.1"}),
        ("torque-window-wide", {"torque_max": "280.5"}, {"torque_max": "280.6"}),  # 1.7 x 165
        ("drag-large", {"drag_max": "110"}, {"drag_max": "110.1"}),  # two thirds of 165
    )
]
LOCK = {"track.adjuster_torque_min": "100 in·lbf"}
EDGES += [
    (
        "torque-window-wide",
        {**LOCK, "track.adjuster_torque_max": "170 in·lbf"},
        {**LOCK, "track.adjuster_torque_max": "170.1 in·lbf"},
    ),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)
