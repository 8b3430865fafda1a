"""One bolt's torques and drag, on the edge and beyond it."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Edge, one, speaks_just_beyond

EDGES: list[Edge] = [
    one("fasteners.0.torque_min", "torque-order", "189.9", "190", "in·lbf"),
    # What the maker fitted is not asked for the words of a hand that never turns it.
    (
        "pin-head-missing",
        {"fasteners.0.fitted_by": "maker", "fasteners.0.pin_head": None},
        {"fasteners.0.pin_head": None},
    ),
    ("drag-missing", {"fasteners.0.fitted_by": "maker", "fasteners.0.drag": None}, {"fasteners.0.drag": None}),
    ("nut-missing", {"fasteners.0.fitted_by": "maker", "fasteners.0.nut": None}, {"fasteners.0.nut": None}),
    (
        "entered-from-missing",
        {"fasteners.0.fitted_by": "maker", "fasteners.0.entered_from": None},
        {"fasteners.0.entered_from": None},
    ),
    ("nut-missing", {"fasteners.0.thread": "M10x1.25", "fasteners.0.nut": None}, {"fasteners.0.nut": None}),
    (
        "threadlocker-dry",
        {"fasteners.0.locking": "threadlocker", "fasteners.0.threads": "wet"},
        {"fasteners.0.locking": "threadlocker", "fasteners.0.threads": "dry"},
    ),
    (
        "self-locking-teeter",
        {"fasteners.0.locking": "self-locking nut"},
        {"fasteners.2.locking": "self-locking nut"},
    ),
    (
        "torque-two-units",
        {"fasteners.0.drag_max": "20 in·lbf"},
        {"fasteners.0.drag_max": "2 N·m"},
    ),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)
