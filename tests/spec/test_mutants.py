"""Good specifications, spoilt as people spoil them: nothing crashes, and what can hurt is caught."""

from __future__ import annotations

import pytest

from tests.bench.mutants import KINDS, TODAY, rules_of, run, samples, write
from tests.bench.safety import SAFETY, Safety

#: Shares, so that several workers may take some each. ``python -m tests.bench.mutants`` makes thousands.
SEEDS = range(2)
SHARE = 40


@pytest.mark.parametrize("seed", SEEDS)
def test_no_mutant_ends_in_a_traceback_and_what_cannot_be_read_is_refused(seed: int) -> None:
    tally = run(samples(), count=SHARE, seed=seed)
    assert tally.crashed == []
    assert sum(tally.total(kind) for kind in KINDS) == SHARE
    assert tally.refused["retype"] == tally.total("retype")
    assert tally.refused["swap min and max"] == tally.total("swap min and max")


@pytest.mark.parametrize("safety", SAFETY, ids=lambda safety: safety.mistake)
def test_what_can_hurt_is_caught_by_its_own_rule(safety: Safety) -> None:
    assert safety.rule in rules_of(safety.table())


def test_the_samples_themselves_are_not_refused() -> None:
    for table in samples():
        assert rules_of(table) == set(), write(table).decode()


def test_the_rotor_that_is_spoilt_is_not_refused() -> None:
    assert rules_of(Safety("none", (), "").table()) == set()


def test_mutants_are_judged_on_a_day_within_their_use() -> None:
    assert all(table["authority"]["use_until"] > TODAY for table in samples())
