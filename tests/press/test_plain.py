from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from cardgen.deck.card import Column, Paragraph, Row, Said, Section, Table, Value, Words
from cardgen.press.card_facts import facts
from cardgen.press.plain import to_text
from tests.press.reading import text_of_card
from tests.press.samples import SAMPLES, sample
from tests.press.screen_deck import CODE, deck, draft, figures, spec, track


def flat(text: str) -> str:
    return " ".join(text.replace("|", " ").replace("*", " ").split())


def test_no_line_is_longer_than_eighty_columns() -> None:
    long = Section("W" * 30, (Paragraph((Said("word " * 60 + "x" * 150),)),))
    text = to_text(replace(deck(), cards=(track(figures(spec()), (long,)),)))
    assert max(map(len, text.splitlines())) == 80


def test_the_text_says_the_facts_of_the_cards_in_their_order() -> None:
    shown = deck()
    for card in shown.cards:
        text, place = flat(text_of_card(shown, card.id)), 0
        for fact in facts(card, drawings=False):
            second = f" ({fact.second})" if fact.second else ""
            # A table has the unit in its head, a sentence beside the number.
            beside = (f"{fact.number} {fact.unit}{second}", f"{fact.number}{second}")
            found = [text.index(words, place) for words in beside if words in text[place:]]
            assert found, (fact, text[place : place + 80])
            place = min(found) + 1


def test_a_number_and_its_unit_are_never_parted_by_the_end_of_a_line() -> None:
    made = figures(spec())
    for length in range(40, 76):
        says = (Words("x" * length + " "), Value(made["fasteners[1].torque_min"]))
        shown = replace(deck(), cards=(track(made, (Section("", (Paragraph(says),)),)),))
        assert "160 in·lbf (18.1 N·m) M" in text_of_card(shown, "track")


def test_steps_are_numbered_and_cautions_stand_before_theirs() -> None:
    lines = text_of_card(deck(), "track").splitlines()
    first, second, third = (
        next(n for n, line in enumerate(lines) if line.startswith(f"  {step}. ")) for step in (1, 2, 3)
    )
    warning = next(n for n, line in enumerate(lines) if "WARNING: Chock the rotor" in line)
    note = next(n for n, line in enumerate(lines) if "NOTE: Read the mark" in line)
    assert first < note < warning < second < third
    assert warning + 1 == second


def test_a_second_person_is_asked_for_only_where_the_card_does() -> None:
    text = text_of_card(deck(), "track").partition("COPIED VALUES")[0]
    ticked = [line for line in text.splitlines() if re.match(r" +\d+\. \[_\]", line)]
    assert len(ticked) == 2 and sum("[_][_]" in line for line in ticked) == 1


def test_table_columns_are_aligned() -> None:
    lines = text_of_card(deck(), "track").splitlines()
    head = next(n for n, line in enumerate(lines) if line.startswith("Split seen in C"))
    rows = lines[head + 2 : head + 6]
    assert [row.index(".") for row in rows] == [rows[0].index(".")] * 4
    assert [row.rindex("(") for row in rows] == [rows[0].rindex("(")] * 4
    assert [row.index("[___") for row in rows] == [lines[head].index("Written")] * 4
    assert lines[head + 6].startswith("*** Stop above 2 in")


def test_a_table_too_wide_for_the_line_is_told_in_words() -> None:
    columns = tuple(Column(f"Head{name}") for name in "ABCD")
    row = Row(tuple((Said(letter * 30),) for letter in "wxyz"))
    table = Table("wide", "Wide", columns, (row,))
    shown = replace(deck(), cards=(track(figures(spec()), (Section("", (table,)),)),))
    text = text_of_card(shown, "track")
    assert f"HeadA: {'w' * 30}\n  HeadB: {'x' * 30}\n" in text


def test_a_drawing_is_told_by_its_description() -> None:
    assert "Drawing: The two adjusters. Looking outboard along blade A" in flat(text_of_card(deck(), "track"))


def test_the_code_stands_on_every_card_and_a_draft_says_so() -> None:
    assert to_text(deck()).count(f"code {CODE}") == 3
    text = to_text(draft())
    assert text.count("DRAFT, NOT ISSUED") == 3


def test_braces_and_brackets_in_quoted_words_are_shown_literally() -> None:
    words = "{{ 7*7 }} <b>&amp;</b> %s"
    shown = replace(deck(), cards=(track(figures(spec()), (Section("", (Paragraph((Said(words),)),)),)),))
    assert words in text_of_card(shown, "track")


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_a_whole_deck_is_told_within_eighty_columns(path: Path) -> None:
    text = to_text(sample(path))
    assert max(map(len, text.splitlines())) <= 80
    assert "\ue000" not in text
