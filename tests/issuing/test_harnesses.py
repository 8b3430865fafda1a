"""A small share of the long harnesses under tests/bench, so that they are run and can fail."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from cardgen.issuing.issue_deck import issue
from cardgen.register.audit import check
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from cardgen.register.store import Store
from tests.bench import contend, kill, rot
from tests.issuing.decks import Maker, issued, request


def test_whoever_is_killed_while_issuing_leaves_the_old_state_or_the_new() -> None:
    result = kill.run(kills=25, seed=4)
    assert result.faults == []
    assert result.acknowledged >= 12


def test_the_kill_harness_sees_a_deck_that_is_not_whole(register: Register, tmp_path: Path) -> None:
    made = issued(register, tmp_path)
    assert made.folder is not None
    assert kill.whole(register, tmp_path, made.deck.code) == []
    (made.folder / "wall.pdf").unlink()
    assert kill.whole(register, tmp_path, made.deck.code) == [f"{made.deck.code}: its folder is not whole"]


def test_many_who_issue_at_once_all_get_their_own_revision() -> None:
    # Four of one rotor in each other's way, and two of others in one register with them.
    rotors = ["RB-1", "RB-1", "RB-1", "RB-1", "RB-2", "RB-3"]
    result = contend.run(rotors, count=2, seconds=0.02)
    assert contend.faults_of(result, rotors, 2) == []


def test_every_turned_bit_and_every_cut_is_found_or_changes_nothing() -> None:
    result = rot.run(flips=60, cuts=20, seed=11, decks=12, files=2)
    assert result.missed == []
    assert result.counts["register: found"] > 20


@pytest.mark.parametrize("call", ["fsync", "rename", "mkdir", "open"])
def test_whichever_system_call_fails_nothing_is_half_issued_and_the_next_try_works(
    call: str, register: Register, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Let the first, second, third … call fail with a full disk, until an issue gets through."""
    out = tmp_path / "out"
    real = getattr(os, call)
    for failing in range(1, 60):
        calls = 0

        def sometimes(*args: object, **kwargs: object) -> object:
            nonlocal calls
            calls += 1
            if calls == failing:  # noqa: B023 - used up inside this round
                raise OSError(28, "No space left on device")
            return real(*args, **kwargs)

        before = len(list(register.decks()))
        with monkeypatch.context() as patched:
            patched.setattr(os, call, sometimes)
            made = issue(register, request(), Maker(torque=str(failing)), out)
        assert check(register).is_sound
        if isinstance(made, RegisterTrouble):
            assert made.kind == "disk full"
            assert len(list(register.decks())) == before
            assert not any(folder.name.endswith(".part") for folder in out.glob(".*"))
            assert list(Store(register.store.folder).unfinished.glob("*")) == []
        elif calls < failing:
            assert failing > 1
            return
    raise AssertionError("the issue never got through")
