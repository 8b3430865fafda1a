"""What is set and measured on the bench, on the edge and beyond it."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Edge, one, speaks_just_beyond

EDGES: list[Edge] = [
    one("string.checks.0.sweep_min", "string-sweep-order", "0.39", "0.4", "in"),
    one("pitch.station", "pitch-station", "143.9", "144", "in"),
    one("balance.tip_radius", "tip-radius", "122.4", "122.3", "in"),  # 0.85 x 144
    one("balance.tip_radius", "tip-radius", "144", "144.1", "in"),
    one("shake.trial_mass", "trial-mass", "60", "60.1", "g"),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)
