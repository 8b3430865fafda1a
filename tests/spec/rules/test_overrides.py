"""The day an override was accepted."""

from __future__ import annotations

from datetime import date

import pytest

from tests.spec.rules.edges import TODAY, Edge, speaks_just_beyond

EDGES: list[Edge] = [
    ("override-date-future", {"overrides.0.date": TODAY}, {"overrides.0.date": date(2026, 6, 2)}),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)
