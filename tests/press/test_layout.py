from __future__ import annotations

from dataclasses import replace

import pytest

from cardgen.deck.card import (
    Card,
    Column,
    Paragraph,
    Row,
    Said,
    Section,
    Steps,
    Table,
    Words,
    WriteIn,
    WriteIns,
)
from cardgen.press.edition import MM, NAMES, Edition, EditionName, PaperKind, load_edition
from cardgen.press.layout import Overflow, chosen, lay_out
from cardgen.press.marks import LineMark, QrMark, RectMark, Side, TextMark
from tests.press.paper_deck import (
    CAUTION,
    NOTE,
    WARNING,
    assembly_card,
    deck,
    figures,
    step,
    torque_card,
    track_card,
    track_table,
    wrench_table,
)

POUCH = load_edition("pouch", "iso")


def sides_of(*cards: Card, edition: Edition = POUCH) -> tuple[Side, ...]:
    laid = lay_out(deck(*cards), edition)
    sides = tuple(side for side in laid if isinstance(side, Side))
    assert len(sides) == len(laid), [str(item) for item in laid]
    return sides


def overflows_of(card: Card) -> tuple[Overflow, ...]:
    return tuple(item for item in lay_out(deck(card), POUCH) if isinstance(item, Overflow))


def texts(side: Side) -> list[TextMark]:
    return [mark for mark in side.marks if isinstance(mark, TextMark)]


def find(side: Side, words: str) -> TextMark:
    return next(mark for mark in texts(side) if words in mark.text)


def one_step(*, ticks: int = 1, **more: object) -> Card:
    return Card(
        "torque", "Torque", "bench", (Section("Do", (Steps((step(1, Words("Turn."), ticks=ticks, **more),)),)),)
    )


@pytest.mark.parametrize("paper", ["iso", "ansi"])
@pytest.mark.parametrize("name", NAMES)
def test_every_edition_lays_out_the_cards_it_has(name: EditionName, paper: PaperKind) -> None:
    edition = load_edition(name, paper)
    sides = sides_of(edition=edition)
    wanted = ["torque", "track"] if name == "wall" else ["assembly", "torque", "track"]
    assert list(dict.fromkeys(side.card_id for side in sides)) == wanted
    assert [side.side_number for side in sides if side.card_id == "track"][-1] == sides[-1].side_count


def test_cards_follow_the_order_of_work_of_the_hub() -> None:
    made = deck()
    string = replace(assembly_card(), id="string")
    for kind, wanted in (("self-centring", ["torque", "string"]), ("set by string", ["string", "torque"])):
        rotor = made.spec.rotor.model_copy(update={"alignment": kind})
        spec = made.spec.model_copy(update={"rotor": rotor})
        some = replace(made, spec=spec, cards=(torque_card(), string))
        assert [card.id for card in chosen(some, POUCH)] == wanted


def test_a_caution_stands_on_the_side_of_its_step_and_above_it() -> None:
    filler = tuple(step(n, Words("Look at the next bolt and count it.")) for n in range(1, 30))
    for count in range(1, 14):
        guarded = step(30, Words("Do the dangerous thing."), cautions=(WARNING, CAUTION, NOTE))
        section = Section("Do", (Steps((*filler[:count], guarded)),))
        sides = sides_of(Card("torque", "Torque", "bench", (section,)))
        (side,) = [side for side in sides if any("dangerous" in mark.text for mark in texts(side))]
        action = find(side, "dangerous")
        for signal in ("WARNING", "CAUTION", "NOTE"):
            assert find(side, signal).y > action.y


def test_a_warning_is_white_on_black_and_a_caution_black_in_a_heavy_frame() -> None:
    (side,) = sides_of(one_step(cautions=(WARNING, CAUTION)))
    assert find(side, "WARNING").tone == "white"
    assert find(side, "CAUTION").tone == "black"
    heavy = [mark for mark in side.marks if isinstance(mark, RectMark) and mark.weight >= 2.5]
    assert len(heavy) == 1


@pytest.mark.parametrize("ticks", [0, 1, 2])
def test_a_step_has_as_many_tick_boxes_of_eight_millimetres_as_it_asks_for(ticks: int) -> None:
    # For gloves: common practice, no source.
    (side,) = sides_of(one_step(ticks=ticks))
    boxes = [mark for mark in side.marks if isinstance(mark, RectMark) and not mark.fill and mark.weight == 1.0]
    assert len(boxes) == ticks
    for box in boxes:
        assert box.rect.x2 - box.rect.x1 + box.weight == pytest.approx(8 * MM)
    heads = [mark.text for mark in texts(side) if mark.text in ("you", "second")]
    assert heads == (["you", "second"] if ticks == 2 else [])


def test_a_box_to_write_in_has_its_label_unit_and_limits_beside_it() -> None:
    box = WriteIn("drag", "Drag read", "in·lbf", (Words("not over 25"),), 4)
    (side,) = sides_of(Card("torque", "Torque", "bench", (Section("Do", (WriteIns((box,)),)),)))
    (drawn,) = [
        mark for mark in side.marks if isinstance(mark, RectMark) and not mark.fill and mark.weight == 1.0
    ]
    assert drawn.rect.x2 - drawn.rect.x1 + 1 >= 25 * MM
    assert drawn.rect.y2 - drawn.rect.y1 + 1 == pytest.approx(10 * MM)
    label, limits, unit = find(side, "Drag read"), find(side, "not over 25"), find(side, "in·lbf")
    assert label.x < drawn.rect.x1 < drawn.rect.x2 < unit.x
    assert limits.y < label.y
    assert limits.size < label.size


def test_why_lines_and_second_units_are_the_handouts() -> None:
    handout = sides_of(torque_card(), edition=load_edition("handout", "iso"))
    pouch = sides_of(torque_card())
    for sides, shown in ((handout, True), (pouch, False)):
        words = " ".join(mark.text for side in sides for mark in texts(side))
        assert ("Why:" in words) is shown
        assert ("N·m)" in words) is shown


def test_a_table_repeats_its_head_on_the_next_side_and_its_key_at_the_right() -> None:
    sides = [side for side in sides_of(track_card(rows=30)) if any(m.text == "Flats" for m in texts(side))]
    assert len(sides) > 1
    for side in sides:
        assert sum(mark.text.startswith("High tip") for mark in texts(side)) >= 2
        keys = [mark for mark in texts(side) if mark.figure.endswith(".split")]
        assert {sum(mark.y == key.y for mark in keys) for key in keys} == {2}


def test_a_stop_row_is_solid_black_with_white_letters() -> None:
    sides = sides_of(Card("track", "Track", "mast", (Section("", (track_table(),)),)))
    stop = find(sides[0], "stop and find the cause")
    assert stop.tone == "white"
    assert any(
        isinstance(mark, RectMark)
        and mark.fill == "black"
        and mark.rect.y1 < stop.y < mark.rect.y2
        and mark.rect.x2 - mark.rect.x1 == pytest.approx(POUCH.column)
        for mark in sides[0].marks
    )


def test_the_looked_up_column_is_bold_and_its_neighbours_are_not() -> None:
    sides = sides_of(Card("track", "Track", "mast", (Section("", (track_table(),)),)))
    faces = {
        name: {mark.face for mark in texts(sides[0]) if mark.figure.endswith(name) and mark.size > 10}
        for name in (".dial", ".flats")
    }
    assert faces == {".dial": {"bold"}, ".flats": {"regular"}}


def test_every_row_is_ruled_and_numbers_line_up_at_the_decimal_point() -> None:
    (side,) = sides_of(Card("torque", "Torque", "bench", (Section("", (wrench_table(),)),)))
    lows = [mark for mark in texts(side) if mark.figure.endswith(".low")]
    assert len({round(mark.x + mark.width, 3) for mark in lows}) == 1
    rules = {
        mark.y1 for mark in side.marks if isinstance(mark, LineMark) and mark.x2 - mark.x1 > POUCH.column - 1
    }
    for mark in lows:
        assert any(0 < mark.y - rule < 10 for rule in rules)


def test_a_serial_of_two_hundred_characters_is_set_whole() -> None:
    serial = "Q7" * 100
    section = Section("Blade", (Paragraph((Words("Serial "), Said(serial), Words("."))),))
    (side,) = sides_of(Card("assembly", "Assembly", "bench", (section,)))
    assert "".join(mark.text for mark in texts(side) if mark.role == "said") == serial


def test_a_step_taller_than_a_side_is_an_overflow_that_names_it() -> None:
    long = step(7, Words("Turn the nut a little and look. " * 60))
    (overflow,) = overflows_of(Card("torque", "Torque", "bench", (Section("Do", (Steps((long,)),)),)))
    assert (overflow.card, overflow.where, overflow.edition) == ("torque", "step 7", "pouch")
    assert overflow.by > 0
    assert str(overflow).startswith("pouch, card torque, step 7: ")


def test_every_place_that_does_not_fit_is_named_at_once() -> None:
    wide = step(2, Words("m" * 60))
    tall = step(3, Words("Turn the nut a little and look. " * 60))
    columns = tuple(Column("unbreakablewords") for _ in range(5))
    table = Table("wide", "Wide", columns, (Row(tuple((Words("x"),) for _ in range(5))),))
    card = Card("torque", "Torque", "bench", (Section("Do", (Steps((wide, tall)), table)),))
    found = overflows_of(card)
    assert ["step 2" in found[0].where, 'table "Wide"' in found[1].where, found[2].where] == [
        True,
        True,
        "step 3",
    ]


def test_a_code_to_scan_is_made_of_whole_printer_dots() -> None:
    (qr,) = [mark for side in sides_of(track_card()) for mark in side.marks if isinstance(mark, QrMark)]
    dots = qr.module / (72 / 600)
    assert dots == pytest.approx(round(dots))
    assert qr.module >= 0.5 * MM


def test_marks_of_a_card_without_boxes_are_its_frame_alone() -> None:
    (side,) = sides_of(Card("assembly", "Assembly", "bench", ()))
    assert {mark.role for mark in texts(side)} == {"frame"}


@pytest.mark.parametrize("rows", range(8, 40))
def test_the_row_that_stops_a_table_never_stands_without_the_row_before_it(rows: int) -> None:
    card = Card("torque", "Torque", "bench", (Section("Look", (track_table(rows),)),))
    sides = [[mark.text for mark in texts(side)] for side in sides_of(card)]
    (said,) = (each for each in sides if any("find the cause" in text for text in each))
    last = figures()[f"track.row.{(rows - 1) % 8 + 1}.split"].parts.number
    # The last row's key, in front and again at the right.
    assert said.count(last) >= 2


def test_a_short_key_keeps_its_line_beside_long_words() -> None:
    columns = (Column("High blade"), Column("Do this", strong=True))
    long = Words("loosen the plain end, tighten the painted end, then loosen the plain end of the other blade")
    rows = tuple(Row(((Words(f"{name}, letter {name}"),), (long,))) for name in "AB")
    card = Card("torque", "Torque", "bench", (Section("Do", (Table("which", "Which", columns, rows),)),))
    (side,) = sides_of(card)
    heights = [find(side, "letter").y, *(mark.y for mark in texts(side) if mark.text.startswith("A,"))]
    assert len(set(heights)) == 1
