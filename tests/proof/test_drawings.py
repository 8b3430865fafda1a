"""What the proof by meaning asks of words that stand in for a drawing."""

from __future__ import annotations

import pytest

from cardgen.deck.card import Stamp
from cardgen.proof.meaning.asked import Asked
from cardgen.proof.meaning.drawings import makers_against
from cardgen.proof.meaning.pages import flow_of

_BLOCKS = [
    {"where": "strap", "name": "strap bolt", "fitted_by": "you", "stations": [1]},
    {"where": "strap", "name": "root bolt", "fitted_by": "maker", "stations": [2]},
    {"where": "strap", "name": "doubler rivets", "fitted_by": "maker"},
    {"where": "head", "name": "mast bolt", "fitted_by": "maker", "stations": [1]},
]


@pytest.mark.parametrize(
    ("said", "proved"),
    [
        ("Leave these alone: doubler rivets; mast bolt.", True),
        ("Leave these alone: doubler rivets.", False),
        ("Leave these alone: doubler bolts; mast bolt.", False),
        ("Leave these: doubler rivets; mast bolt.", False),
    ],
)
def test_every_bolt_of_the_maker_that_no_map_shows_is_named(said: str, proved: bool) -> None:
    asked = Asked({"fasteners": _BLOCKS}, {}, Stamp())
    assert (list(makers_against(flow_of(said), asked)) == []) == proved
