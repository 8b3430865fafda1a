"""Dates of documents and of the cards, on the day and the day after."""

from __future__ import annotations

from datetime import date

import pytest

from tests.spec.rules.edges import TODAY, Edge, speaks_just_beyond

EDGES: list[Edge] = [
    ("document-date-future", {"documents.0.date": TODAY}, {"documents.0.date": date(2026, 6, 2)}),
    ("use-until-past", {"authority.use_until": TODAY}, {"authority.use_until": date(2026, 5, 31)}),
    # Five years of 366 days: 1826 days to 1 June 2031, and four more.
    (
        "use-until-far",
        {"authority.use_until": date(2031, 6, 5)},
        {"authority.use_until": date(2031, 6, 6)},
    ),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)
