"""Bolts, wrenches and bench work as makers state them: accepted, warned of or refused, each with why."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.spec.rules.realistic import Realistic, rotors

ROTORS = rotors(Path(__file__).with_name("realistic_bolts.toml"))


@pytest.mark.parametrize("rotor", ROTORS, ids=[rotor.states for rotor in ROTORS])
def test_what_a_maker_states_gets_the_verdict_it_deserves(rotor: Realistic) -> None:
    loaded = rotor.judged()
    verdict = "refused" if loaded.problems else "warned" if loaded.warnings else "accepted"
    found = frozenset(problem.rule for problem in (*loaded.problems, *loaded.warnings))
    assert (verdict, found) == (rotor.verdict, rotor.finds), rotor.because


def test_the_table_is_large_and_every_verdict_has_its_reason() -> None:
    assert len(ROTORS) >= 40
    assert len({rotor.states for rotor in ROTORS}) == len(ROTORS)
    assert all(rotor.because for rotor in ROTORS)
    for verdict in ("accepted", "warned", "refused"):
        assert len([rotor for rotor in ROTORS if rotor.verdict == verdict]) >= 5, verdict
