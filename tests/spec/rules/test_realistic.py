"""What makers state of bolts and bench work, and of tracks: accepted, warned of or refused, each with why."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.spec.rules.realistic import Realistic, rotors

ROTORS = {name: rotors(Path(__file__).with_name(f"realistic_{name}.toml")) for name in ("bolts", "track")}
ALL = [rotor for of in ROTORS.values() for rotor in of]


@pytest.mark.parametrize("rotor", ALL, ids=[rotor.states for rotor in ALL])
def test_what_a_maker_states_gets_the_verdict_it_deserves(rotor: Realistic) -> None:
    loaded = rotor.judged()
    verdict = "refused" if loaded.problems else "warned" if loaded.warnings else "accepted"
    found = frozenset(problem.rule for problem in (*loaded.problems, *loaded.warnings))
    assert (verdict, found) == (rotor.verdict, rotor.finds), rotor.because


@pytest.mark.parametrize("name", ROTORS)
def test_each_table_is_large_and_every_verdict_has_its_reason(name: str) -> None:
    table = ROTORS[name]
    assert len(table) >= 40
    assert len({rotor.states for rotor in table}) == len(table)
    assert all(rotor.because for rotor in table)
    for verdict in ("accepted", "warned", "refused"):
        assert len([rotor for rotor in table if rotor.verdict == verdict]) >= 5, verdict
