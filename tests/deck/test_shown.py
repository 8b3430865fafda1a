"""What a sheet needs to know is read from a card's markup, and an edition leaves away what it names."""

from __future__ import annotations

import pytest

from cardgen.deck.card import Card, Section, Step, Steps, Stop, Table
from cardgen.deck.shown import shown_on
from tests.deck.test_reader import card, fault

GUARDED = (
    '<guarded><caution use="sharp"/><step ticks="1" not-on="wall">Look.</step><step>Touch.</step></guarded>'
    "<step>Walk.</step>"
)


def steps(of: Card | Section) -> list[Step]:
    sections = of.sections if isinstance(of, Card) else (of,)
    blocks = [block for section in sections for block in section.blocks]
    return [step for block in blocks if isinstance(block, Steps) for step in block.steps]


def test_a_caution_that_stands_once_guards_all_steps_it_is_written_around() -> None:
    assert [(len(step.cautions), step.joined) for step in steps(card(GUARDED))] == [
        (1, False),
        (0, True),
        (0, False),
    ]


@pytest.mark.parametrize(
    "body",
    [
        "<guarded><step>Look.</step></guarded>",
        '<guarded><caution use="sharp"/></guarded>',
        '<guarded><step>Look.</step><caution use="sharp"/><step>Touch.</step></guarded>',
    ],
)
def test_cautions_above_several_steps_come_first_and_guard_something(body: str) -> None:
    assert fault(body) == "cautions come first, and guard one step at least"


def test_a_step_left_away_takes_its_number_along_and_never_the_caution_of_the_next() -> None:
    (wall,) = shown_on(card(GUARDED), "wall")
    assert [(step.number, len(step.cautions), step.joined) for step in steps(wall)] == [
        (2, 1, False),
        (3, 0, False),
    ]
    (pouch,) = shown_on(card(GUARDED), "pouch")
    assert [step.number for step in steps(pouch)] == [1, 2, 3]


def test_a_step_asks_for_checks_each_with_boxes_of_its_own() -> None:
    (step,) = steps(card('<step>See:<check>this</check><check ticks="2">that</check></step>'))
    assert [check.ticks for check in step.checks] == [1, 2]
    assert step.ticks == 0
    assert fault('<step>See:<check ticks="3">this</check></step>') == "a check has no, one or two ticks, not 3"


def test_a_hold_and_a_stop_say_their_word_themselves() -> None:
    blocks = card("<hold>No pin.</hold><stop>Too far.</stop>").sections[0].blocks
    assert [block.word for block in blocks if isinstance(block, Stop)] == ["HOLD", "STOP"]


def test_a_section_says_what_it_is_and_nothing_that_there_is_not() -> None:
    section = '<section role="{}" span="yes" phase="yes"><para>x</para></section>'
    made = card("<para>x</para>", section.format("numbers")).sections[1]
    assert (made.role, made.span, made.phase) == ("numbers", True, True)
    assert fault("<para>x</para>", section.format("table")) == (
        "a section is know, numbers, work, hold, not table"
    )


def test_a_column_is_left_away_with_its_cells_and_a_stop_row_stays() -> None:
    markup = (
        '<table id="t" caption="T"><column head="Split"/><column head="Block" group="first" not-on="wall"/>'
        '<row><cell>a</cell><cell>b</cell></row><row stop="yes"><cell>STOP.</cell></row></table>'
    )
    for edition, count in (("wall", 1), ("handout", 2)):
        (table,) = shown_on(card(markup), edition)[0].blocks
        assert isinstance(table, Table)
        assert len(table.columns) == count
        assert [len(row.cells) for row in table.rows] == [count, 1]


def test_a_section_with_nothing_left_is_not_there() -> None:
    assert shown_on(card('<para not-on="wall">x</para>'), "wall") == ()
