"""Dates of documents and of the cards, on the day and the day after."""

from __future__ import annotations

from datetime import date

import pytest

from tests.spec.rules.edges import TODAY, Edge, judged, speaks_just_beyond

EDGES: list[Edge] = [
    ("document-date-future", {"documents.0.date": TODAY}, {"documents.0.date": date(2026, 6, 2)}),
    ("document-undated", {"documents.0.date": "2025"}, {"documents.0.date": "undated"}),
    ("date-form", {"documents.0.date": "undated"}, {"documents.0.date": "Undated"}),
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


@pytest.mark.parametrize(("revision", "bears"), [("none", "neither date nor revision"), ("4", "no date")])
def test_of_a_paper_without_a_date_it_is_said_what_cannot_be_told(revision: str, bears: str) -> None:
    found = judged({"documents.0.date": "undated", "documents.0.revision": revision})["document-undated"]
    assert bears in found.why
    assert "ask who wrote it" in found.why
