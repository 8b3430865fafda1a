"""How short the decks of both samples are, and how large their type: goals, counted on what is printed.

Where a goal is not reached, what is reached is held, so that it does not get worse; the goal stands beside it.
``python -m tests.bench.sheets`` prints the same counts and more.
"""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest

from cardgen.press.edition import EditionName
from cardgen.press.marks import RectMark
from cardgen.press.plain import to_text
from tests.bench.sheets import filled, signal_words, smallest, ticks
from tests.outside.pages import sheets
from tests.press.samples import SAMPLES, sample

each_sample = pytest.mark.parametrize("path", SAMPLES, ids=["two tables", "every group"])

#: Sides of each edition.
SIDES: dict[EditionName, int] = {"wall": 4, "pouch": 34, "handout": 20}
#: Pouch sides of a card that has more than two: torque and track by the goals. The tips take three, where the
#: goal is two: in the least type they are a fifth too high for it.
LONG = {"torque": 4, "track": 4, "sealing": 3}
#: Least type, in points: the floors of small print.
SMALL: dict[EditionName, float] = {"wall": 12.8, "pouch": 8.5, "handout": 8.5}


@pytest.mark.parametrize("at", [0, 1], ids=["two tables", "every group"])
def test_an_edition_has_no_more_sides_than_its_goal(at: int) -> None:
    for name, most in SIDES.items():
        assert len(sheets(SAMPLES[at], name).sides) <= most
    of_card = Counter(side.card_id for side in sheets(SAMPLES[at], "pouch").sides)
    assert not {card: count for card, count in of_card.items() if count > LONG.get(card, 2)}


@each_sample
def test_the_type_is_nowhere_below_its_floor(path: Path) -> None:
    for name, least in SMALL.items():
        assert smallest(sheets(path, name).sides) >= least


@each_sample
def test_nobody_ticks_ninety_times_and_nobody_ticks_a_wall(path: Path) -> None:
    assert ticks(sample(path).cards) <= 90
    sides = sheets(path, "wall").sides
    squares = [
        mark.rect
        for side in sides
        for mark in side.marks
        if isinstance(mark, RectMark) and mark.fill is None and 12 < mark.rect.x2 - mark.rect.x1 < 24
    ]
    assert not [rect for rect in squares if abs((rect.x2 - rect.x1) - (rect.y2 - rect.y1)) < 0.1]


# The goals are 7000 words and 60 signal words; a rotor with every group is above both.
@pytest.mark.parametrize(
    ("path", "words", "signals"),
    [(SAMPLES[0], 7_800, 54), (SAMPLES[1], 10_430, 73)],
    ids=["two tables", "every group"],
)
def test_a_deck_does_not_drown_its_reader(path: Path, words: int, signals: int) -> None:
    # The pages behind the numbers, [MAKER-1 p.9], are read by whoever doubts one.
    assert len(re.sub(r"\[[A-Z][^\]]*\]", "", to_text(sample(path))).split()) <= words
    for name in SIDES:
        assert signal_words(sheets(path, name).sides) <= signals


@each_sample
def test_a_pouch_side_has_four_cautions_and_leaves_its_height_to_words(path: Path) -> None:
    """The goal is 18 % of the height."""
    printed = sheets(path, "pouch")
    measured = list(filled(printed.deck, printed.edition, printed.sides))
    assert max(each.cautions for each in measured) <= 4
    share = sum(each.frame for each in measured) / len(measured)
    assert share <= 0.18
