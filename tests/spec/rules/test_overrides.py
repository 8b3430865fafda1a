"""An override: the day it was accepted, and the one key and value it holds for."""

from __future__ import annotations

from datetime import date

import pytest

from tests.spec.rules.edges import TODAY, Edge, judged, speaks_just_beyond

EDGES: list[Edge] = [
    ("override-date-future", {"overrides.0.date": TODAY}, {"overrides.0.date": date(2026, 6, 2)}),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)


SLOW = {"rotor.normal_speed": "230 rpm"}


def test_an_override_for_another_value_refuses_again_and_says_so() -> None:
    found = judged(SLOW)["tip-speed"]
    assert found.why.endswith('; an override lets "350 rpm" pass for this key, and no other value')
    assert "let pass by" not in found.write
    # The same speed in other letters is another value: what somebody accepted is what stood there.
    assert "no other value" in judged({**SLOW, "overrides.0.value": "230.0 rpm"})["tip-speed"].why


def test_an_override_for_another_key_refuses_again_and_is_named_as_unused() -> None:
    found = judged({**SLOW, "overrides.0.key": "rotor.diameter", "overrides.0.value": "230 rpm"})
    assert found["tip-speed"].why.endswith("; an override lets it pass for rotor.diameter alone")
    assert "override-unused" in found


def test_an_override_for_this_key_and_value_lets_it_pass() -> None:
    found = judged({**SLOW, "overrides.0.value": "230 rpm"})
    assert found["tip-speed"].write.startswith("let pass by inspector on duty")
    assert "override-unused" not in found
