from __future__ import annotations

from dataclasses import replace
from typing import Literal

import pytest

from cardgen.deck.card import (
    Card,
    Check,
    Column,
    Paragraph,
    Row,
    Said,
    Section,
    Steps,
    Stop,
    Table,
    Words,
    WriteIn,
    WriteIns,
)
from cardgen.press.edition import MM, NAMES, Edition, EditionName, PaperKind, load_edition
from cardgen.press.layout import Overflow, chosen, lay_out
from cardgen.press.marks import ArcMark, LineMark, PolygonMark, QrMark, Rect, RectMark, Side, TextMark
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
    assert list(dict.fromkeys(card for side in sides for card in side.cards)) == wanted
    assert sides[-1].side_number == sides[-1].side_count


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


def test_a_caution_stands_on_a_tinted_strip_its_word_in_a_tag_and_a_bar_guards_its_step() -> None:
    (side,) = sides_of(one_step(cautions=(WARNING, CAUTION)))
    warning, caution, action = find(side, "WARNING"), find(side, "CAUTION"), find(side, "Turn.")
    assert (warning.tone, caution.tone, find(side, "Keep everybody").tone) == ("white", "black", "black")
    rects = [mark for mark in side.marks if isinstance(mark, RectMark)]
    tints = [mark.rect for mark in rects if mark.fill == "tint"]
    assert all(any(r.y1 < text.y < r.y2 for r in tints) for text in (warning, caution))
    assert not any(r.y1 < action.y < r.y2 for r in tints)
    # A photocopy may lose the tint: the bar says the same.
    (bar,) = (m.rect for m in rects if m.fill == "black" and m.rect.x2 - m.rect.x1 < 4)
    assert bar.y1 < action.y < warning.y < bar.y2


def test_the_bar_of_a_caution_alone_is_hollow() -> None:
    (side,) = sides_of(one_step(cautions=(CAUTION,)))
    bars = [
        mark
        for mark in side.marks
        if isinstance(mark, RectMark) and mark.rect.x2 < find(side, "CAUTION").x and not mark.fill
    ]
    assert len(bars) == 1


def test_a_caution_above_several_steps_stands_once_and_guards_them_all() -> None:
    steps = (
        step(1, Words("Lift the nose."), cautions=(WARNING,)),
        replace(step(2, Words("Lift the tail.")), joined=True),
        step(3, Words("Walk away.")),
    )
    (side,) = sides_of(Card("torque", "Torque", "bench", (Section("Do", (Steps(steps),)),)))
    assert sum(mark.text == "WARNING" for mark in texts(side)) == 1
    bars = [m.rect for m in side.marks if isinstance(m, RectMark) and m.fill == "black" and m.rect.x2 < 40]
    for words, guarded in (("nose", True), ("tail", True), ("Walk", False)):
        y = find(side, words).y
        assert any(bar.y1 < y < bar.y2 for bar in bars) is guarded


def test_on_another_side_a_caution_above_several_steps_stands_again() -> None:
    long = "Lift it a little, look under it and set it down again. " * 4
    steps = [step(1, Words(long), cautions=(WARNING,))]
    steps += [replace(step(n, Words(long)), joined=True) for n in range(2, 14)]
    sides = sides_of(Card("torque", "Torque", "bench", (Section("Do", (Steps(tuple(steps)),)),)))
    assert len(sides) > 1
    assert all(any(mark.text == "WARNING" for mark in texts(side)) for side in sides)


def tick_boxes(side: Side) -> list[Rect]:
    """Outlined squares among the steps; those of the frame's legend are smaller."""
    found = [m for m in side.marks if isinstance(m, RectMark) and not m.fill and m.weight == 1.0]
    return [m.rect for m in found if abs(m.rect.x2 - m.rect.x1 - m.rect.y2 + m.rect.y1) < 0.01]


@pytest.mark.parametrize("ticks", [0, 1, 2])
def test_a_step_has_the_hands_box_at_the_left_and_the_second_persons_at_the_right(ticks: int) -> None:
    # Five millimetres for gloves: common practice, no source.
    (side,) = sides_of(one_step(ticks=ticks))
    boxes, words = tick_boxes(side), find(side, "Turn.")
    assert len(boxes) == ticks
    assert all(box.x2 - box.x1 + 1 >= 5 * MM - 0.01 for box in boxes)
    assert [box.x2 < words.x for box in boxes] == [True, False][:ticks]
    if ticks == 2:
        assert boxes[1].x2 + 0.5 == pytest.approx(side.frame.x2)
        assert any(mark.text == "second" and mark.role == "frame" for mark in texts(side))
    # Where nothing is ticked, a bullet stands in the place of the box.
    assert sum(isinstance(mark, ArcMark) for mark in side.marks) == (0 if ticks else 1)


@pytest.mark.parametrize("name", ["wall", "handout"])
def test_nothing_is_ticked_on_a_wall_or_a_handout_and_a_second_person_is_named(name: EditionName) -> None:
    (side,) = sides_of(one_step(ticks=2), edition=load_edition(name, "iso"))
    assert tick_boxes(side) == []
    assert [mark.text for mark in texts(side)].count("second person") == 1


def test_checks_of_a_step_have_boxes_of_their_own_side_by_side_where_they_are_short() -> None:
    checks = tuple(Check((Words(words),), ticks) for words, ticks in (("key out", 1), ("chocked", 2)))
    made = step(1, Words("Check:"))
    card = Card("torque", "Torque", "bench", (Section("Do", (Steps((replace(made, checks=checks),)),)),))
    (side,) = sides_of(card)
    assert len(tick_boxes(side)) == 3
    assert find(side, "key out").y == find(side, "chocked").y


def test_a_halt_is_black_with_cut_corners_and_its_word_before_its_first_sentence() -> None:
    says = (Words("No pin yet. Call the second person who did not do the work."),)
    words: tuple[Literal["STOP", "HOLD"], ...] = ("STOP", "HOLD")
    for word in words:
        section = Section("", (Stop(says, word),))
        (side,) = sides_of(Card("torque", "Torque", "bench", (section,)), edition=load_edition("wall", "iso"))
        black = [mark for mark in side.marks if isinstance(mark, PolygonMark) and mark.fill == "black"]
        assert [len(mark.points) for mark in black] == [8]
        first, rest = find(side, "No pin yet."), find(side, "Call the second")
        assert {mark.tone for mark in (find(side, word), first, rest)} == {"white"}
        # A two-hundredth of 1500 mm: 31.8 pt of this type.
        assert min(find(side, word).size, first.size) >= 31.8 > rest.size >= 12


def test_several_halts_that_span_a_wall_stand_beside_one_another() -> None:
    stops = tuple(Stop((Words(words),)) for words in ("Too far.", "It changes with speed. Ask."))
    section = Section("", stops, role="hold", span=True)
    (side,) = sides_of(Card("torque", "Torque", "b", (section,)), edition=load_edition("wall", "iso"))
    one, other = [mark for mark in texts(side) if mark.text == "STOP"]
    assert one.x < other.x
    assert one.y == pytest.approx(other.y, abs=1)


def test_a_wall_has_nothing_to_write_on_and_says_cautions_briefly() -> None:
    brief = replace(WARNING, brief="Nobody in the disc.")
    box = WriteIn("drag", "Drag read", "in·lbf")
    blocks = (WriteIns((box,)), Steps((step(1, Words("Turn."), cautions=(brief,), write_ins=(box,)),)))
    card = Card("torque", "Torque", "bench", (Section("Do", blocks),))
    (wall,) = sides_of(card, edition=load_edition("wall", "iso"))
    said = " ".join(mark.text for mark in texts(wall))
    assert "Nobody in the disc." in said
    assert "Keep everybody" not in said and "Drag read" not in said
    assert "Keep everybody" in " ".join(mark.text for mark in texts(sides_of(card)[0]))


def test_a_box_to_write_in_has_its_label_unit_and_limits_beside_it() -> None:
    box = WriteIn("drag", "Drag read", "in·lbf", (Words("not over 25"),), 4)
    (side,) = sides_of(Card("torque", "Torque", "bench", (Section("Do", (WriteIns((box,)),)),)))
    (drawn,) = [
        mark for mark in side.marks if isinstance(mark, RectMark) and not mark.fill and mark.weight == 1.0
    ]
    assert drawn.rect.x2 - drawn.rect.x1 + 1 >= 24 * MM - 0.01
    assert 7 * MM - 0.01 <= drawn.rect.y2 - drawn.rect.y1 + 1 <= 9 * MM + 0.01
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
    assert faces == {".dial": {"even bold"}, ".flats": {"even"}}


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
    long = step(7, Words("Turn the nut a little and look. " * 160))
    (overflow,) = overflows_of(Card("torque", "Torque", "bench", (Section("Do", (Steps((long,)),)),)))
    assert (overflow.card, overflow.where, overflow.edition) == ("torque", "step 7", "pouch")
    assert overflow.by > 0
    assert str(overflow).startswith("pouch, card torque, step 7: ")


def test_every_place_that_does_not_fit_is_named_at_once() -> None:
    wide = step(2, Words("m" * 60))
    tall = step(3, Words("Turn the nut a little and look. " * 160))
    columns = tuple(Column("unbreakablewords" * 2) for _ in range(5))
    table = Table("wide", "Wide", columns, (Row(tuple((Words("x"),) for _ in range(5))),))
    card = Card("torque", "Torque", "bench", (Section("Do", (Steps((wide, tall)), table)),))
    found = overflows_of(card)
    assert [each.where.split(",")[0] for each in found] == [
        "step 2",
        'table "Wide" is wider than its column',
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
