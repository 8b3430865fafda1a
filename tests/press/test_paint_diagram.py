from __future__ import annotations

from dataclasses import replace

import pytest

from cardgen.deck.diagram import Diagram, Disc, Label, Line
from cardgen.press.boxes import CardColumn
from cardgen.press.edition import load_edition
from cardgen.press.lines import DoesNotFitError
from cardgen.press.marks import ArcMark, LineMark, PolygonMark, TextMark
from cardgen.press.paint_diagram import board_box
from tests.press.paper_deck import MIN, drawing

EDITION = load_edition("pouch", "iso")
POUCH = CardColumn(EDITION, replace(EDITION.sizes(), draw=0.45), EDITION.column)
_SIDE = 420.0


def test_a_drawing_is_as_wide_as_the_column_where_it_is_not_too_tall() -> None:
    box = board_box(POUCH, drawing(), _SIDE)
    assert box.height == pytest.approx(64 * POUCH.width / 160)


def test_a_tall_drawing_takes_no_more_than_its_part_of_a_side() -> None:
    tall = Diagram("mast", 100, 120, "Mast", "A mast.", (Label(50, 60, "mast", size=6),))
    assert board_box(POUCH, tall, _SIDE).height == pytest.approx(0.45 * _SIDE)


def test_a_tall_drawing_grows_until_its_lettering_can_be_read() -> None:
    small = Diagram("mast", 120, 120, "Mast", "A mast.", (Label(50, 60, "mast", size=4.5),))
    box = board_box(POUCH, small, _SIDE)
    (mark,) = box.draw(0, 0)
    assert isinstance(mark, TextMark)
    assert mark.size == pytest.approx(POUCH.edition.label_floor)


def test_lettering_too_small_for_the_reading_distance_is_refused() -> None:
    tiny = Diagram("mast", 160, 60, "Mast", "A mast.", (Label(50, 30, "mast", size=2),))
    with pytest.raises(DoesNotFitError, match='lettering of drawing "mast"'):
        board_box(POUCH, tiny, _SIDE)


def test_a_line_too_thin_for_the_reading_distance_is_refused() -> None:
    thin = Diagram("mast", 160, 60, "Mast", "A mast.", (Line(0, 0, 10, 10, weight=0.1),))
    with pytest.raises(DoesNotFitError, match="too thin"):
        board_box(POUCH, thin, _SIDE)


def test_shapes_keep_their_places_on_the_board() -> None:
    scale = POUCH.width / 160
    marks = list(board_box(POUCH, drawing(), _SIDE).draw(100, 500))
    low = 500 - 64 * scale
    discs = [mark for mark in marks if isinstance(mark, ArcMark) and mark.end - mark.start == 360]
    assert [disc.x for disc in discs] == pytest.approx([100 + x * scale for x in (40, 100)])
    assert [disc.y for disc in discs] == pytest.approx([low + 30 * scale] * 2)
    dashed = [mark for mark in marks if isinstance(mark, LineMark) and mark.dashed]
    assert len(dashed) == 1
    heads = [mark for mark in marks if isinstance(mark, PolygonMark) and mark.fill == "black"]
    assert heads[0].points[0] == pytest.approx((100 + 40 * scale, low + 37 * scale))
    assert len(heads) == 2


def test_an_anchored_label_ends_where_its_anchor_says() -> None:
    marks = {m.text: m for m in board_box(POUCH, drawing(), _SIDE).draw(0, 0) if isinstance(m, TextMark)}
    scale = POUCH.width / 160
    assert marks["root"].x == pytest.approx(10 * scale)
    assert marks["tip"].x + marks["tip"].width == pytest.approx(150 * scale)
    assert marks["first"].x + marks["first"].width / 2 == pytest.approx(40 * scale)


def test_lettering_that_shows_a_figure_says_which() -> None:
    marks = [m for m in board_box(POUCH, drawing(), _SIDE).draw(0, 0) if isinstance(m, TextMark)]
    assert [(mark.figure, mark.role) for mark in marks if mark.role == "figure"] == [(MIN, "figure")]


def test_a_white_disc_is_filled_and_an_open_one_is_not() -> None:
    shapes = (Disc(30, 30, 5, fill="white"), Disc(60, 30, 5))
    marks = list(board_box(POUCH, replace(drawing(), shapes=shapes), _SIDE).draw(0, 0))
    assert [mark.fill for mark in marks if isinstance(mark, ArcMark)] == ["white", None]
