"""A link of the chain holds for what it was made over, and for nothing else."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from typing import Any

import pytest

from cardgen.register.chain import holds, link_hash
from cardgen.register.rows import EventRow

CONTENT: list[object] = [1, "RB-1", 1]
BEFORE = "0" * 64


def link() -> EventRow:
    return EventRow(1, "deck", 1, "RB-1", BEFORE, link_hash(1, "deck", "RB-1", CONTENT, BEFORE))


def test_a_link_is_the_hash_of_number_kind_rotor_content_and_the_link_before() -> None:
    # JSON with sorted keys and no spaces, hashed by the standard library.
    written = f'[1,"deck","RB-1",[1,"RB-1",1],"{BEFORE}"]'
    assert link().hash == hashlib.sha256(written.encode()).hexdigest()


def test_a_link_holds_for_what_it_was_made_over() -> None:
    assert holds(link(), "deck", "RB-1", CONTENT)
    assert not holds(None, "deck", "RB-1", CONTENT)
    assert not holds(link(), "deck", "RB-1", [1, "RB-1", 2])


@pytest.mark.parametrize("change", [{"kind": "entry"}, {"set_id": "RB-2"}])
def test_a_row_of_the_chain_whose_kind_or_rotor_was_changed_does_not_hold(change: dict[str, Any]) -> None:
    """The hash is over what is asked for, so that a changed word beside it must be looked at by itself."""
    assert not holds(replace(link(), **change), "deck", "RB-1", CONTENT)


@pytest.mark.parametrize("change", [{"id": 2}, {"previous": "1" * 64}, {"hash": "1" * 64}])
def test_a_link_that_was_moved_or_changed_does_not_hold(change: dict[str, Any]) -> None:
    assert not holds(replace(link(), **change), "deck", "RB-1", CONTENT)


def test_a_link_does_not_hold_for_another_kind_or_rotor() -> None:
    assert not holds(link(), "entry", "RB-1", CONTENT)
    assert not holds(link(), "deck", "RB-2", CONTENT)
