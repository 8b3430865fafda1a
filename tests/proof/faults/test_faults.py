"""Every planted fault is caught by the proof by meaning, and nothing is said where none is planted."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest

from cardgen.proof.meaning import hygiene
from tests.proof.faults.planting import found
from tests.proof.faults.table import Fault, faults

FAULTS = faults()
#: Where faults are planted: each of these is found faultless first.
BASES = tuple(
    dict.fromkeys((f.where, f.rotor, f.state, f.edition, f.card) for f in FAULTS if f.where == "paper")
)


def test_there_are_a_hundred_and_twenty_faults_and_each_is_another() -> None:
    assert len(FAULTS) >= 120
    assert [
        name for name, count in Counter((f.name, f.rotor, f.state) for f in FAULTS).items() if count > 1
    ] == []


@pytest.mark.parametrize("base", BASES, ids=lambda base: " ".join(base[1:]))
def test_nothing_stands_against_cards_without_a_fault(base: tuple[str, str, str, str, str]) -> None:
    where, rotor, state, edition, card = base
    assert found(Fault(where, {}, "", rotor, state, edition, card)) == []


@pytest.mark.parametrize("rotor", ["nr-0306", "ft-7400"])
def test_nothing_stands_against_the_sheet_for_the_second_reader_without_a_fault(rotor: str) -> None:
    assert found(Fault("copied", {}, "", rotor)) == []


@pytest.mark.parametrize("where", ["twin", "text", "form"])
def test_nothing_stands_against_screens_without_a_fault(where: str) -> None:
    assert found(Fault(where, {"set": ["a", "a"]}, "")) == []


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_a_planted_fault_is_caught(fault: Fault) -> None:
    said = found(fault)
    assert any(fault.says in each for each in said), said


def test_a_damaged_type_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    assert list(hygiene.type_against()) == []
    monkeypatch.setattr(hygiene, "_FACES", {"Regular": "0" * 64})
    assert "is not the one" in next(hygiene.type_against())


def test_a_fault_that_is_not_planted_is_not_caught() -> None:
    """The table cannot pass because the proof always says something."""
    fault = next(fault for fault in FAULTS if fault.where == "paper" and fault.card)
    assert found(replace(fault, how={})) == []
