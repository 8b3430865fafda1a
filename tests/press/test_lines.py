"""Runs of type set as lines."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from typing import cast

import pypdfium2
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.deck.card import Said, Words, WriteIn
from cardgen.press.canvas import paint_bare
from cardgen.press.edition import MM
from cardgen.press.lines import DoesNotFitError, TypeLine, draw_lines, natural_widths, set_lines
from cardgen.press.marks import Face, LineMark, Rect, RectMark, Side, TextMark
from cardgen.press.type import width
from cardgen.press.type_runs import Tag, TypeSetting, runs_of, tag
from tests.press.paper_deck import MAX, MIN, value

_SETTING = TypeSetting(14.5)
_SENTENCE = (Words("Tighten to "), value(MIN), Words(", never over "), value(MAX), Words("."))


def _texts(lines: tuple[TypeLine, ...]) -> list[str]:
    return ["|".join(piece.text for piece in line.pieces) for line in lines]


@given(st.integers(90, 400))
def test_a_number_never_parts_from_its_unit_nor_from_its_full_stop(measure: int) -> None:
    lines = set_lines(runs_of(_SENTENCE, _SETTING), measure, 14.5)
    joined = _texts(lines)
    number, unit = value(MAX).figure.parts.number, value(MAX).figure.parts.unit
    assert any(f"{number}|{unit}|{value(MAX).figure.origin}|." in line for line in joined)
    assert all(line.width <= measure + 1e-6 for line in lines)


@given(st.lists(st.text("abc", min_size=1, max_size=9), min_size=1, max_size=30), st.integers(90, 300))
def test_lines_hold_all_words_in_order_and_none_is_too_long(words: list[str], measure: int) -> None:
    lines = set_lines(runs_of((Words(" ".join(words)),), _SETTING), measure, 14.5)
    assert " ".join(_texts(lines)).split(" ") == words
    assert all(line.width <= measure + 1e-6 for line in lines)


def test_a_number_is_bold_and_its_unit_is_not() -> None:
    number, unit, *_ = runs_of((value(MIN),), _SETTING)
    assert (number.style.face, unit.style.face) == ("bold", "regular")
    assert number.style.figure == unit.style.figure == MIN


def test_the_second_unit_stands_in_brackets_only_where_it_is_asked_for() -> None:
    second = value(MIN).figure.parts.second
    with_it = [run.text for run in runs_of((value(MIN),), _SETTING._replace(second=True))]
    without = [run.text for run in runs_of((value(MIN),), _SETTING)]
    assert f"({second})" in with_it
    assert not any(second in text for text in without)


def test_a_serial_of_two_hundred_characters_is_broken_at_any_character() -> None:
    serial = "X7" * 100
    lines = set_lines(runs_of((Words("Blade "), Said(serial), Words(".")), _SETTING), 200, 14.5)
    assert "".join(_texts(lines)).replace("|", "").replace("Blade", "").strip() == serial + "."
    assert len(lines) > 5


def test_what_is_glued_to_a_broken_word_finds_room_whatever_the_width() -> None:
    """Somewhere between these widths the word's end fills its line, and its full stop would stand over."""
    for measure in range(150, 200):
        lines = set_lines(runs_of((Said("m" * 100), Words(".")), _SETTING), measure, 14.5)
        assert "".join(_texts(lines)).replace("|", "").replace(" ", "") == "m" * 100 + "."
        assert all(line.width <= measure + 1e-6 for line in lines)


def test_a_long_word_of_the_cards_own_is_refused_with_its_excess() -> None:
    word = "m" * 40
    with pytest.raises(DoesNotFitError, match=word) as refused:
        set_lines(runs_of((Words(word),), _SETTING), 200, 14.5)
    assert refused.value.by == pytest.approx(width(word, "regular", 14.5) - 200)


def test_a_no_break_space_is_drawn_as_a_space_and_holds() -> None:
    runs = runs_of((Words("blade\u00a0A is high"),), _SETTING)
    assert [run.text for run in runs] == ["blade A", "is", "high"]


def test_words_of_one_style_are_one_run_of_type_with_their_spaces() -> None:
    lines = set_lines(runs_of((Words("one two three"),), _SETTING), 300, 14.5)
    (mark,) = draw_lines(lines, 10, 100)
    assert isinstance(mark, TextMark)
    assert (mark.text, mark.x) == ("one two three", 10)
    assert mark.width == pytest.approx(width("one two three", "regular", 14.5))


def test_a_box_to_write_four_digits_in_has_six_millimetres_for_each_and_is_as_tall_as_it_is_asked() -> None:
    # What a grease pencil needs: common practice, no source.
    setting = _SETTING._replace(write=7 * MM)
    lines = set_lines(runs_of((Words("Drag "), WriteIn("drag", "Drag", "in·lbf")), setting), 300, 14.5)
    box = next(piece for piece in lines[0].pieces if piece.box)
    assert box.width >= 24 * MM
    assert lines[0].height >= 7 * MM
    (drawn,) = (mark for mark in draw_lines(lines, 0, 0) if isinstance(mark, RectMark))
    assert drawn.rect.y2 - drawn.rect.y1 + drawn.weight == pytest.approx(7 * MM)


def test_where_boxes_have_no_height_they_are_dotted_lines() -> None:
    lines = set_lines(runs_of((Words("Drag "), WriteIn("drag", "Drag", "in·lbf")), _SETTING), 300, 14.5)
    (drawn,) = (mark for mark in draw_lines(lines, 0, 0) if not isinstance(mark, TextMark))
    assert isinstance(drawn, LineMark)
    assert drawn.dashed


def test_a_word_in_a_tag_is_white_on_black_or_framed() -> None:
    for look, tone in (("black", "white"), ("outline", "black")):
        lines = set_lines((tag("WARNING", cast(Tag, look), 11.0),), 300, 11.0)
        frame, word = draw_lines(lines, 0, 0)
        assert isinstance(frame, RectMark) and isinstance(word, TextMark)
        assert (word.tone, word.face, frame.fill) == (tone, "bold", "black" if look == "black" else None)
        assert frame.rect.x1 < word.x and word.x + word.width < frame.rect.x2


def test_digits_of_an_even_face_all_have_one_width_and_so_do_their_glyphs_in_the_file() -> None:
    assert len({width(digit, "even bold", 20) for digit in "0123456789"}) == 1
    assert len({width(digit, "bold", 20) for digit in "0123456789"}) > 1
    side = Side("", "x", 1, 1, 1, 1, 200, 100, Rect(0, 0, 200, 100), ())
    marks = tuple(
        TextMark(10, 10 + 30 * at, text, "even", 20, width(text, "even", 20))
        for at, text in enumerate(("111", "11.1"))
    )
    with closing(pypdfium2.PdfDocument(paint_bare([replace(side, marks=marks)]))) as read:
        said = read[0].get_textpage().get_text_range()
    assert said.split() == ["111", "11.1"]


def test_digits_of_an_even_face_stand_one_below_another_on_the_page() -> None:
    side = Side("", "x", 1, 1, 1, 1, 200, 100, Rect(0, 0, 200, 100), ())
    shown: tuple[tuple[Face, str], ...] = (("regular", "1"), ("even", "10"), ("even", "20"), ("even bold", "7"))
    marks = tuple(
        TextMark(10, 10 + 20 * at, text, face, 18, width(text, face, 18))
        for at, (face, text) in enumerate(shown)
    )
    with closing(pypdfium2.PdfDocument(paint_bare([replace(side, marks=marks)]))) as read:
        page = read[0].get_textpage()
        said = page.get_text_range()
        zeros = [page.get_charbox(at)[0] for at, character in enumerate(said) if character == "0"]
    assert len(zeros) == 2 and zeros[0] == pytest.approx(zeros[1], abs=0.05)


def test_the_least_width_of_a_cell_is_that_of_its_widest_group() -> None:
    least, whole = natural_widths(runs_of((Words("a longest b"),), _SETTING))
    assert least == pytest.approx(width("longest", "regular", 14.5))
    assert whole == pytest.approx(width("a longest b", "regular", 14.5))
