"""A large rotor takes more sheets: no smaller type, no side nearly empty, no table parted without need."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from itertools import pairwise

import pytest

from cardgen.deck.card import Card, Deck, Table, Value
from cardgen.deck.walk import walk
from cardgen.press.edition import NAMES, Edition, load_edition
from cardgen.press.halves import lay_out_halves
from cardgen.press.layout import lay_out
from cardgen.press.marks import Side, TextMark
from cardgen.proof.geometry import check_geometry
from tests.bench.sheets import filled
from tests.press.variants import FURTHER, deck_of, unlike

#: Rotors that are large in one way each.
_LARGE = (
    *("seven in a row, three pairs", "eight on a circle", "three wrenches", "three wrenches, eight bolts"),
    *("long names and texts", "words of two hundred characters", "twenty-four in a row, long names"),
    *FURTHER,
)


@cache
def large(name: str) -> Deck:
    """What a rotor's deck has beyond a usual one's; all of it where the cards before move a table."""
    return deck_of(name) if name in FURTHER else unlike(deck_of(name))


@cache
def laid(name: str) -> tuple[tuple[Edition, tuple[Side, ...]], ...]:
    """Lay a rotor's deck out in every edition."""
    deck = large(name)
    paper = deck.spec.print.paper if deck.spec.print else "iso"
    found = []
    for edition in (load_edition(each, paper) for each in NAMES):
        sides = lay_out(deck, edition)
        assert sides and all(isinstance(side, Side) for side in sides), sides
        found.append((edition, tuple(side for side in sides if isinstance(side, Side))))
    return tuple(found)


def texts(side: Side) -> list[TextMark]:
    return [mark for mark in side.marks if isinstance(mark, TextMark)]


def main_numbers(card: Card) -> set[str]:
    """The figures of a card's main tables, in columns of numbers alone."""
    found: set[str] = set()
    for place in walk(section for section in card.sections if section.role == "numbers"):
        if place.table and place.row and not place.row.stop and place.at:
            found |= {run.figure.id for run in place.says if isinstance(run, Value) and run.show == "number"}
    return found


@pytest.mark.parametrize("name", _LARGE)
def test_a_large_rotor_takes_more_sheets_and_no_smaller_type(name: str) -> None:
    deck = large(name)
    for edition, sides in laid(name):
        marks = [mark for side in sides for mark in texts(side)]
        # ISO/IEC Guide 37: running text 10 pt; small print is the edition's own floor.
        assert min(mark.size for mark in marks) >= edition.type.small - 0.01
        assert min(mark.size for mark in marks if mark.role == "step") >= 10
        assert all(mark.size >= edition.type.stop for mark in marks if mark.text in ("STOP", "HOLD"))
        main = {figure for card in deck.cards for figure in main_numbers(card)}
        shown = [mark for mark in marks if mark.figure in main and mark.face.startswith("even")]
        assert all(mark.size >= edition.type.number for mark in shown if mark.size > edition.type.ladder[0])
        assert check_geometry(sides) == ()


@pytest.mark.parametrize("name", _LARGE)
def test_no_side_of_a_large_rotor_is_left_nearly_empty(name: str) -> None:
    """A side ends early where a step, a table's end or a phase does not fit on it, and no earlier."""
    deck = large(name)
    for edition, sides in laid(name):
        fills = list(filled(deck, edition, sides))
        for each, after in pairwise(fills):
            if each.name.split(" ")[0] == after.name.split(" ")[0]:
                assert each.fill >= 0.35, (edition.name, each)


def ends(card: Card) -> Iterator[tuple[str, str]]:
    """The first figure of each table's last row, and the first of the reason to stop below it."""
    for section in card.sections:
        for table in (block for block in section.blocks if isinstance(block, Table)):
            for row, below in pairwise(table.rows):
                shown = [
                    [run.figure.id for run in each.cells[0] if isinstance(run, Value)] for each in (row, below)
                ]
                if below.stop and not row.stop and all(shown):
                    yield shown[0][0], shown[1][0]


@pytest.mark.parametrize("name", _LARGE)
def test_no_table_parts_from_its_reason_to_stop(name: str) -> None:
    deck = large(name)
    found = 0
    for card in deck.cards:
        for last, limit in ends(card):
            for side in (side for _, sides in laid(name) for side in sides if card.id in side.cards):
                if not any(mark.figure == limit and mark.tone == "white" for mark in texts(side)):
                    continue
                # Whoever reads one row and no further reads the halt below it.
                assert any(mark.figure == last and mark.tone == "black" for mark in texts(side)), (
                    card.id,
                    last,
                )
                found += 1
    assert found


@pytest.mark.parametrize("name", FURTHER)
def test_a_table_of_twenty_rows_is_seen_at_one_glance(name: str) -> None:
    """Small type and all of it in sight helps whoever looks a row up; large type in two places does not."""
    rows = {f"track.row.{row}.dial" for row in range(1, 21)}
    assert rows <= set(deck_of(name).figures)
    for edition, sides in laid(name):
        if edition.name == "large":
            continue  # made for large type, on as many sheets as it takes
        whole = [side for side in sides if rows <= {mark.figure for mark in texts(side)}]
        assert whole, edition.name
        table = [mark for side in whole for mark in texts(side) if mark.figure in rows and mark.tone == "black"]
        table = [mark for mark in table if mark.face.startswith("even")]
        assert {mark.figure for mark in table} == rows
        # In one column too: no row stands to the right of another.
        assert max(mark.x for mark in table) - min(mark.x for mark in table) < edition.column / 2


#: As typed in their specifications.
DIAMETER = {"metric": "7.40 m", "every group": "24 ft 6 in"}


@pytest.mark.parametrize("name", DIAMETER)
def test_each_half_of_a_wall_sheet_tells_what_it_is_and_none_is_empty(name: str) -> None:
    """Two halves may hang apart, or one of them somewhere else."""
    deck = deck_of(name)
    spec, titles = deck.spec, {card.id: card.title for card in deck.cards}
    paper = spec.print.paper if spec.print else "iso"
    sides = lay_out_halves(deck, load_edition("wall", paper))
    assert sides and len(sides) % 2 == 0
    for side in sides:
        assert isinstance(side, Side)
        framed = " ".join(mark.text for mark in texts(side) if mark.role == "frame")
        for said in (DIAMETER[name], spec.rotor.set_id, deck.stamp.code, titles[side.card_id]):
            assert str(said) in framed, (side.card_id, side.side_number)
        if side.side_number % 2:
            assert any(mark.role != "frame" for mark in texts(side)), side.card_id
