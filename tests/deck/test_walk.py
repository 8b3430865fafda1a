"""Nothing that a card says is missed by the walk, and nothing but boxes' limits by the edit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from itertools import groupby

import pytest

from cardgen.deck.card import Card, Inline, Runs, Said, Value, Was, Words, WriteIn
from cardgen.deck.walk import edit, walk
from tests.press.paper_deck import deck as paper_deck
from tests.press.samples import SAMPLES, sample

CARDS = [*paper_deck().cards, *(card for path in SAMPLES for card in sample(path).cards)]
each_card = pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)


def everything(value: object) -> Iterator[object]:
    """Every value that a card is made of, found without knowing what a block is."""
    yield value
    if isinstance(value, tuple):
        for item in value:
            yield from everything(item)
    elif is_dataclass(value) and not isinstance(value, Value):
        for each in fields(value):
            yield from everything(getattr(value, each.name))


def kept(runs: Runs) -> Iterator[Inline]:
    return (run for run in runs if isinstance(run, Words | Said | Value | Was))


@each_card
def test_the_walk_meets_every_word_figure_and_box_once(card: Card) -> None:
    held = [each for each in everything(card) if isinstance(each, Words | Said | Value | Was)]
    met = [run for place in walk(card.sections) for run in kept(place.says)]
    assert Counter(map(id, met)) == Counter(map(id, held))
    boxes = [each.id for each in everything(card) if isinstance(each, WriteIn)]
    assert sorted(place.box.id for place in walk(card.sections) if place.box) == sorted(boxes)


@each_card
def test_steps_are_met_in_order_each_after_its_cautions_and_before_its_boxes_and_reason(card: Card) -> None:
    places = [place for place in walk(card.sections) if place.step]
    numbers = [place.step.number for place in places if place.step]
    assert numbers == sorted(numbers)
    order = ["caution", "step", "check", "box", "why"]
    for _, told in groupby(places, key=lambda place: place.step):
        met = [order.index(place.what) for place in told]
        assert met == sorted(met)
        assert met.count(order.index("step")) == 1


@each_card
def test_a_cell_is_met_with_its_column_and_its_row(card: Card) -> None:
    for place in walk(card.sections):
        if place.what == "cell" and place.row and place.table:
            assert place.row.cells[place.at] is place.says
            assert place.row in place.table.rows
            assert place.column is (None if place.row.stop else place.table.columns[place.at])


@each_card
def test_a_section_comes_before_what_stands_in_it(card: Card) -> None:
    first = [next(told) for _, told in groupby(walk(card.sections), key=lambda place: place.section)]
    assert [place.section for place in first] == list(card.sections)
    assert {place.what for place in first} == {"section"}


@each_card
def test_an_edit_that_changes_nothing_gives_the_same_card(card: Card) -> None:
    assert edit(card, lambda runs: runs) == card


@each_card
def test_an_edit_reaches_every_line_but_a_box_s_limits(card: Card) -> None:
    mark = Words("seen")
    edited = edit(card, lambda runs: (mark, *runs))
    for before, after in zip(walk(card.sections), walk(edited.sections), strict=True):
        speaks = before.what not in {"section", "table", "drawing", "box"}
        assert after.says == ((mark, *before.says) if speaks else before.says)
