from __future__ import annotations

from dataclasses import replace

import pytest

from cardgen.deck.card import Card, Deck, Section
from cardgen.press.edition import MM, NAMES, Edition, EditionName, load_edition
from cardgen.press.layout import lay_out
from cardgen.press.marks import LineMark, PolygonMark, Side, TextMark
from tests.press.paper_deck import ISSUED, assembly_card, deck, torque_card, track_card, track_table

POUCH = load_edition("pouch", "iso")


def sides_of(made: Deck, edition: Edition = POUCH) -> tuple[Side, ...]:
    laid = lay_out(made, edition)
    return tuple(side for side in laid if isinstance(side, Side))


def frame_marks(side: Side) -> list[TextMark]:
    return [mark for mark in side.marks if isinstance(mark, TextMark) and mark.role == "frame"]


def words(side: Side) -> str:
    return " ".join(mark.text for mark in frame_marks(side))


@pytest.mark.parametrize("name", NAMES)
def test_the_diameter_is_the_largest_thing_on_every_side(name: EditionName) -> None:
    made = deck()
    for side in sides_of(made, load_edition(name, "iso")):
        largest = max((mark for mark in side.marks if isinstance(mark, TextMark)), key=lambda mark: mark.size)
        assert largest.text == "24 ft 6 in"  # as the complete specification states it


def test_every_side_says_which_rotor_card_side_and_until_when() -> None:
    sides = sides_of(deck(stamp=ISSUED))
    spec = deck().spec
    for side in sides:
        said = words(side)
        for wanted in (
            spec.rotor.set_id,
            side.title,
            f"card {side.card_number} of 3",
            f", side {side.side_number} of {side.side_count}" if side.side_count > 1 else "",
            "revision 3, code 7K2M-9QXD-4",
            "maker's instructions win",
            "until 31 May 2027",  # as the complete specification states it
            "is 100 mm",
        ):
            assert wanted in said
        serials = (spec.blades.serial_a, spec.blades.serial_b)
        if side.side_number == 1:
            assert all(serial in said for serial in (*serials, spec.rotor.mark_a, spec.rotor.mark_b))


def test_cards_that_run_on_are_counted_through_the_deck_and_their_pages_through_the_file() -> None:
    sides = sides_of(deck(stamp=ISSUED), load_edition("handout", "iso"))
    said = " ".join(map(words, sides))
    for number, card in enumerate(deck().cards, start=1):
        assert card.title in said
        assert f"card {number} of 3" in said
    for number, side in enumerate(sides, start=1):
        assert f"handout, page {number} of {len(sides)}" in words(side)


def test_a_card_has_its_number_of_the_whole_deck_in_every_edition() -> None:
    for name in ("wall", "pouch"):
        numbers = {s.card_id: s.card_number for s in sides_of(deck(), load_edition(name, "iso"))}
        assert (numbers["torque"], numbers["track"]) == (2, 3)


def test_a_wall_card_says_where_it_and_the_register_sheet_hang() -> None:
    for side in sides_of(deck(), load_edition("wall", "iso")):
        assert "This card hangs:" in words(side)
        assert "the register sheet hangs:" in words(side)


def test_a_draft_says_so_where_an_issued_card_has_its_code() -> None:
    for side in sides_of(deck()):
        said = words(side)
        assert "DRAFT, not issued" in said
        assert "7K2M" not in said
    assert not any("DRAFT" in words(side) for side in sides_of(deck(stamp=ISSUED)))


def test_a_drafts_watermark_lies_under_everything_in_thin_light_outlines() -> None:
    side = sides_of(deck())[0]
    marks = list(side.marks)
    under = [mark for mark in marks if isinstance(mark, PolygonMark) and mark.tone == "watermark"]
    assert under and marks[: len(under)] == under
    assert all(mark.fill is None and mark.weight <= 1 for mark in under)
    issued = sides_of(deck(stamp=ISSUED))[0]
    assert not any(isinstance(mark, PolygonMark) and mark.tone == "watermark" for mark in issued.marks)


@pytest.mark.parametrize("name", NAMES)
def test_a_draft_breaks_into_the_same_sides_as_the_issued_deck(name: EditionName) -> None:
    edition = load_edition(name, "iso")
    drafts, issued = sides_of(deck(), edition), sides_of(deck(stamp=ISSUED), edition)
    assert len(drafts) == len(issued)
    for draft, other in zip(drafts, issued, strict=True):
        own = [
            [mark for mark in side.marks if isinstance(mark, TextMark) and mark.role != "frame"]
            for side in (draft, other)
        ]
        assert own[0] == own[1]


def test_the_scale_bar_is_a_hundred_millimetres_between_its_outer_edges() -> None:
    side = sides_of(deck())[0]
    (told,) = (mark for mark in frame_marks(side) if mark.text == "is 100 mm")
    lines = [
        m for m in side.marks if isinstance(m, LineMark) and m.x1 == m.x2 < told.x and m.y1 < told.y < m.y2
    ]
    edges = [x for mark in lines for x in (mark.x1 - mark.weight / 2, mark.x2 + mark.weight / 2)]
    assert max(edges) - min(edges) == pytest.approx(100 * MM)


def test_a_title_with_no_room_beside_a_long_diameter_gets_a_line_of_its_own() -> None:
    made = deck(assembly_card())
    table = {**made.spec._table, "rotor": {**made.spec._table["rotor"], "diameter": "23 ft + 10+15/16 in"}}
    spec = made.spec.model_copy()
    spec._table = table
    side = sides_of(replace(made, spec=spec))[0]
    diameter = next(mark for mark in frame_marks(side) if mark.text == "23 ft 10-15/16 in")
    title = next(mark for mark in frame_marks(side) if mark.text.startswith(side.title.split()[0]))
    assert diameter.size == POUCH.type.diameter
    assert title.y + title.size * 0.72 < diameter.y


def test_every_number_of_a_long_card_stands_clear_of_the_diameter() -> None:
    long = Card("torque", "Torque", "bench", tuple(Section("Do", (track_table(8),)) for _ in range(30)))
    sides = sides_of(deck(assembly_card(), long))
    assert len(sides) > 11
    for side in sides:
        diameter, *_ = (mark for mark in frame_marks(side) if mark.size == POUCH.type.diameter)
        where, *_ = (mark for mark in frame_marks(side) if mark.text.startswith("card "))
        assert where.x > diameter.x + diameter.width or where.y < diameter.y


def test_print_changes_over_on_the_back_of_a_punched_sheet() -> None:
    handout = load_edition("handout", "iso")
    sides = sides_of(deck(assembly_card(), torque_card(), track_card()), handout)
    margins = handout.margins
    for page, side in enumerate(sides):
        left = margins.left if page % 2 == 0 else margins.right
        assert side.frame.x1 == pytest.approx(left)
        lefts = [mark.x for mark in side.marks if isinstance(mark, TextMark)]
        assert min(lefts) == pytest.approx(left)
