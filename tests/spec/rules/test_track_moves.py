"""Moves as data: which are opposite, which are the same, and what no hand could do."""

from __future__ import annotations

from typing import Any

import pytest

from tests.spec.rules.edges import judged

#: A bar for both blades; 14 thou/in is half of what one blade takes.
BAR = {
    "track.basis": "whole bar",
    "track.points": [{"diameter": "24 ft + 0 in", "chord": "7+1/2 in", "rule": "14 thou/in"}],
    "track.max_total": "28 thou",
}
ONE = {"track.sides": ["long end"], "track.first_move": None}


def moved(a: dict[str, str], b: dict[str, str]) -> dict[str, Any]:
    return {"track.to_lower": {"a": a, "b": b}}


TURN = {"turn": "clockwise", "seen_from": "the tip"}
BACK = {"turn": "counter-clockwise", "seen_from": "the tip"}
PAIR = {"loosen": "one notch", "tighten": "two notches"}
RIAP = {"loosen": "two notches", "tighten": "one notch"}


@pytest.mark.parametrize(
    ("a", "b", "one"),
    [(TURN, BACK, True), ({"shorten": "long end"}, {"lengthen": "long end"}, True), (PAIR, RIAP, False)],
)
def test_a_bar_is_tilted_by_a_move_and_its_opposite(a: dict[str, str], b: dict[str, str], one: bool) -> None:
    system = {**BAR, **(ONE if one else {})}
    assert judged({**system, **moved(a, b)}).keys() == {"override-unused"}
    for same in (a, b):
        assert "track-lower-same" in judged({**system, **moved(same, same)})
    # On blades with adjusters of their own the same pair is a doubt and no refusal.
    each = ONE if one else {}
    assert judged({**each, **moved(a, b)}).keys() == {"override-unused", "track-lower-mirrored"}
    assert judged({**each, **moved(a, a)}).keys() == {"override-unused"}


def test_turns_seen_from_two_places_are_not_taken_for_opposites() -> None:
    other = {"turn": "counter-clockwise", "seen_from": "the hub"}
    found = judged({**BAR, **ONE, **moved(TURN, other)})["track-lower-same"]
    assert "not the opposite" in found.why and "seen from the same place" in found.write


@pytest.mark.parametrize(
    "move",
    [
        {},
        {"turn": "clockwise"},
        {"seen_from": "the tip"},
        {"loosen": "one notch"},
        {**PAIR, **TURN},
        {**PAIR, "shorten": "x"},
    ],
)
def test_what_is_no_single_move_is_refused(move: dict[str, str]) -> None:
    assert "track-move-form" in judged(moved(move, PAIR))


def test_a_move_fits_the_number_of_adjusters() -> None:
    assert "track-move-sides" in judged(moved(TURN, PAIR))
    assert "track-move-sides" in judged({**ONE, **moved({"loosen": "long end", "tighten": "short end"}, TURN)})


def test_a_mark_in_other_letters_is_answered_with_the_listed_one() -> None:
    found = judged(moved({"loosen": "One  notch", "tighten": "two notches"}, PAIR))["track-move-mark"]
    assert (found.key, found.write) == ("track.to_lower.a.loosen", '"one notch", spelt as there')


def test_a_rule_read_where_no_lever_leads_asks_for_the_lever_or_flats() -> None:
    found = judged({"track.rule_reads": "adjuster", "track.lever": None})["track-lever-missing"]
    assert "what the dial must read cannot be told" in found.why
    assert 'set_by = "flats"' in found.write
