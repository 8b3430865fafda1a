"""The marks of a chart: round numbers that reach round every value, and where they stand on the board."""

from __future__ import annotations

import pytest

from cardgen.deck.diagram import Label, Line
from cardgen.logbook.axes import HEIGHT, WIDTH, Axes, Axis, axis


def marked(low: float, high: float) -> list[str]:
    found = axis("", [low, high])
    return [found.text(value) for value in found.marks()]


@pytest.mark.parametrize(
    ("low", "high", "marks"),
    # About six steps of 1, 2, 2.5, 5 or 10 and their tens, from at or below the least to at or above the most.
    [
        (0, 10, "0 2 4 6 8 10"),
        (0, 6, "0 1 2 3 4 5 6"),
        (0, 6.1, "0 2 4 6 8"),
        (0, 1.5, "0 0.25 0.50 0.75 1.00 1.25 1.50"),
        (0, 15, "0 2.5 5.0 7.5 10.0 12.5 15.0"),
        (0, 3, "0 0.5 1.0 1.5 2.0 2.5 3.0"),
        (-0.3, 1.2, "-0.50 -0.25 0 0.25 0.50 0.75 1.00 1.25"),
        (0, 60, "0 10 20 30 40 50 60"),
        (0, 90, "0 20 40 60 80 100"),
        (0, 0.06, "0 0.01 0.02 0.03 0.04 0.05 0.06"),
        (3, 3, "2.0 2.5 3.0 3.5 4.0"),
    ],
)
def test_marks_are_round_and_reach_round_every_value(low: float, high: float, marks: str) -> None:
    assert marked(low, high) == marks.split()


def test_a_value_stands_on_the_board_as_its_share_of_the_axis() -> None:
    board = Axes(Axis("across", 0, 10, 2), Axis("up", -1, 1, 0.5))
    assert [board.x(each) for each in (0, 5, 10)] == [20.0, 87.0, 154.0]
    assert [board.y(each) for each in (-1, 0, 1)] == [18.0, 51.0, 84.0]
    assert WIDTH > 154 and HEIGHT > 84


def test_every_mark_has_its_number_and_each_axis_its_title() -> None:
    board = Axes(Axis("across", 0, 10, 5), Axis("up", 0, 1, 0.5))
    labels = [shape for shape in board.frame() if isinstance(shape, Label)]
    assert [label.text for label in labels] == ["0", "5", "10", "0", "0.5", "1.0", "across", "up"]


def test_a_limit_is_drawn_only_on_the_board() -> None:
    board = Axes(Axis("", 0, 10, 2), Axis("", 0, 1, 0.5))
    for value, drawn in ((0, True), (1, True), (1.01, False), (-0.01, False)):
        assert bool(list(board.level(value, "limit"))) is drawn
    for value, drawn in ((0, True), (10, True), (10.1, False), (-0.1, False)):
        assert bool(list(board.upright(value, "limit"))) is drawn


def test_a_line_is_left_out_where_it_leaves_the_board() -> None:
    board = Axes(Axis("", 0, 10, 2), Axis("", 0, 1, 0.5))
    drawn = list(board.run([(0, 0), (5, 1), (6, 1.1), (7, 0), (8, -0.1)], 1.0))
    assert [(shape.x1, shape.x2) for shape in drawn if isinstance(shape, Line)] == [(20.0, 87.0)]
