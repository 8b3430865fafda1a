"""An arrow is drawn alike on paper and on screen."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from dataclasses import replace
from math import hypot

import pytest

from cardgen.deck.arrows import without_arrows
from cardgen.deck.diagram import Arc, Diagram, DrawnShape, Line, Polygon
from cardgen.press.boxes import CardColumn
from cardgen.press.edition import load_edition
from cardgen.press.marks import PolygonMark
from cardgen.press.paint_diagram import board_box
from cardgen.press.svg import to_svg

EDITION = load_edition("pouch", "iso")
COLUMN = CardColumn(EDITION, replace(EDITION.sizes(), draw=0.45), EDITION.column)
ARROWS = [
    Line(10, 10, 60, 40, 0.3, arrow=True),
    Line(10, 10, 60, 40, 1.2, arrow=True),
    Line(10, 10, 11, 10, 1.2, arrow=True),
    Arc(50, 25, 20, 10, 120, 0.6, arrow=True),
    Arc(50, 25, 20, 120, 10, 1.2, arrow=True),
]


def board(shape: DrawnShape) -> Diagram:
    return Diagram("d", 100, 50, "Title", "Words", (shape,))


@pytest.mark.parametrize("shape", ARROWS)
def test_an_arrow_has_the_same_head_on_paper_and_on_screen(shape: DrawnShape) -> None:
    box = board_box(COLUMN, board(shape), 10_000.0)
    (head,) = (mark for mark in box.draw(0.0, box.height) if isinstance(mark, PolygonMark))
    scale = COLUMN.width / 100
    on_paper = [(x / scale, y / scale) for x, y in head.points]
    (drawn,) = ET.fromstring(to_svg(board(shape), "card-1")).iter("{http://www.w3.org/2000/svg}polygon")
    pairs = [pair.split(",") for pair in drawn.attrib["points"].split()]
    on_screen = [(float(x), 50 - float(y)) for x, y in pairs]
    for one, other in zip(on_paper, on_screen, strict=True):
        assert one == pytest.approx(other, abs=0.002)


def test_a_head_is_no_longer_than_the_line_it_ends() -> None:
    head, shaft = without_arrows(board(Line(10, 10, 11, 10, 1.2, arrow=True)))
    assert isinstance(head, Polygon)
    assert isinstance(shaft, Line)
    assert head.points[0] == pytest.approx((11, 10))
    assert [x for x, _ in head.points[1:]] == pytest.approx([10, 10])
    assert 10 <= shaft.x2 < 11


def test_the_head_of_a_turn_lies_along_its_curve() -> None:
    # A chord of a circle: both of its ends are a radius from the centre (Euclid, Elements III).
    head, shaft = without_arrows(board(Arc(50, 25, 20, 0, 90, 0.6, arrow=True)))
    assert isinstance(head, Polygon)
    assert isinstance(shaft, Arc)
    (tip, left, right) = head.points
    back = (left[0] + right[0]) / 2, (left[1] + right[1]) / 2
    assert [hypot(x - 50, y - 25) for x, y in (tip, back)] == pytest.approx([20, 20], abs=0.01)
    assert 0 < shaft.end < 90
