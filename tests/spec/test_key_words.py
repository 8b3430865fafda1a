"""Keys as a reader of a card meets them."""

from __future__ import annotations

import pytest

from cardgen.spec.key_words import group_of, key_words


@pytest.mark.parametrize(
    ("key", "name", "words"),
    [
        ("rotor.diameter", "", "rotor, diameter"),
        ("fasteners[1].torque_min", "", "fasteners 1, torque min"),
        ("fasteners[2].torque_min", "bolt [x_1]", "fasteners 2 (bolt [x_1]), torque min"),
        ("track.points[2].chord", "", "track, points 2, chord"),
        ("track", "", "track"),
    ],
)
def test_a_key_is_said_in_words_and_a_name_as_it_is(key: str, name: str, words: str) -> None:
    assert key_words(key, name) == words


def test_a_group_is_taken_apart_from_its_place_in_a_list() -> None:
    assert group_of("fasteners[12].torque_min") == ("fasteners", 12)
    assert group_of("track.points[2].chord") == ("track", None)
