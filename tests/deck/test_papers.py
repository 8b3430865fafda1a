"""In the handout each number leads back to the page it was copied from (the pages are the sample's own)."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

import pytest

from cardgen.deck.card import Block, Card, Deck, Paragraph, Said, Steps, Table
from tests.deck.conftest import Builder


@pytest.fixture(scope="module")
def deck(build: Builder, sample_paths: list[Path]) -> Deck:
    path = next(path for path in sample_paths if path.name == "nr-0306.toml")
    return build(path.read_text(encoding="utf-8"))


def card(deck: Deck, name: str) -> Card:
    return next(card for card in deck.cards if card.id == name)


def under_tables(card: Card) -> Iterator[tuple[str, str]]:
    for section in card.sections:
        blocks: tuple[Block | None, ...] = (*section.blocks, None)
        for block, after in pairwise(blocks):
            if isinstance(block, Table) and isinstance(after, Paragraph) and isinstance(after.says[0], Said):
                yield block.id, after.says[0].text


def reasons(card: Card) -> Iterator[str]:
    for section in card.sections:
        for block in section.blocks:
            for step in block.steps if isinstance(block, Steps) else ():
                yield "".join(run.text for run in step.why if isinstance(run, Said))


def test_a_computed_table_names_every_page_that_its_numbers_were_made_from(deck: Deck) -> None:
    # Diameter and rule stand on pages of the handbook; the largest split is the club's.
    assert dict(under_tables(card(deck, "track")))["track-rows"] == "[MAKER-1 p.18; CLUB-2 s.4]"


def test_a_table_to_write_in_names_no_page(deck: Deck) -> None:
    assert "used" not in dict(under_tables(card(deck, "torque")))


def test_a_step_names_the_page_of_its_numbers_beside_its_reason(deck: Deck) -> None:
    assert "[MAKER-1 p.16]" in list(reasons(card(deck, "sealing")))


def test_pages_are_told_where_the_deck_is_read_at_a_table_and_nowhere_else(deck: Deck) -> None:
    told = [
        block
        for section in card(deck, "track").sections
        for block in section.blocks
        if isinstance(block, Paragraph) and isinstance(block.says[0], Said)
    ]
    assert told
    assert all({"wall", "pouch", "large"} <= set(block.not_on) for block in told)
    assert not any("handout" in block.not_on for block in told)


def test_every_place_named_is_a_source_of_the_specification(deck: Deck) -> None:
    text = deck.spec.text.decode()
    named = {
        f"{paper.split(' ')[0]} {page.strip()}"
        for each in deck.cards
        for told in (*(words for _, words in under_tables(each)), *filter(None, reasons(each)))
        if told.startswith("[")
        for paper in told.strip("[]").split("; ")
        for page in paper.partition(" ")[2].split(",")
    }
    assert len(named) > 10
    assert [place for place in named if f'"{place}"' not in text] == []
