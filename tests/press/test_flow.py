from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.press.boxes import Box, Keep
from cardgen.press.flow import flow
from cardgen.press.lines import DoesNotFitError


def box(name: str, height: float, space: float = 0.0, keep: Keep = "no", again: Box | None = None) -> Box:
    return Box(name, height, lambda _x, _top: (), space, keep, again)


def names(sections: list[list[Box]], height: float) -> list[list[str]]:
    return [[put.box.name for put in side] for side in flow(sections, height)]


def test_boxes_fill_a_side_before_the_next_begins() -> None:
    assert names([[box(n, 40) for n in "abcde"]], 100) == [["a", "b"], ["c", "d"], ["e"]]


def test_a_heading_never_stands_alone_at_the_end_of_a_side() -> None:
    boxes = [box("a", 60), box("heading", 20, keep="always"), box("b", 40)]
    assert names([boxes], 100) == [["a"], ["heading", "b"]]


def test_a_section_that_fits_a_side_of_its_own_is_not_broken() -> None:
    first = [box("a", 85)]
    second = [box("b", 10), box("c", 10)]
    assert names([first, second], 100) == [["a"], ["b", "c"]]


def test_a_table_longer_than_a_side_still_ends_in_sight_of_what_follows() -> None:
    rows = [box(f"row {n}", 20, keep="if it can") for n in range(1, 10)]
    assert names([[*rows, box("row 10", 20, keep="in sight"), box("code", 30)]], 100) == [
        ["row 1", "row 2", "row 3", "row 4", "row 5"],
        ["row 6", "row 7", "row 8", "row 9"],
        ["row 10", "code"],
    ]


def test_answers_begin_a_side_wherever_the_questions_end() -> None:
    answers = replace(box("heading", 10, keep="always"), over=True)
    assert names([[box("questions", 20)], [answers, box("answers", 20)]], 100) == [
        ["questions"],
        ["heading", "answers"],
    ]
    # No side is left empty where one begins anyway.
    assert names([[answers, box("answers", 20)]], 100) == [["heading", "answers"]]


def test_a_table_that_fits_a_side_of_its_own_is_not_broken() -> None:
    rows = [box(f"row {n}", 20, keep="if it can") for n in (1, 2, 3)] + [box("row 4", 20)]
    assert names([[box("a", 30), *rows]], 100) == [["a"], ["row 1", "row 2", "row 3", "row 4"]]


def test_a_longer_table_goes_on_under_its_head_again() -> None:
    head = box("head", 10)
    rows = [box(f"row {n}", 30, keep="if it can", again=head) for n in range(2, 6)]
    assert names([[box("row 1", 40, keep="if it can"), *rows]], 100) == [
        ["row 1", "row 2", "row 3"],
        ["head", "row 4", "row 5"],
    ]


def test_the_white_between_boxes_gives_way_where_that_saves_a_side() -> None:
    boxes = [box("a", 30), box("b", 30, space=20), box("c", 20, space=20)]
    sides = flow([boxes], 100)
    assert [put.down for put in sides[0]] == [0, 40, 80]


def test_the_white_stays_where_giving_way_would_save_no_side() -> None:
    boxes = [box("a", 30), box("b", 30, space=20), box("c", 60, space=20)]
    sides = flow([boxes], 100)
    assert [[put.down for put in side] for side in sides] == [[0, 50], [0]]


def test_white_above_a_box_is_left_away_at_the_top_of_a_side() -> None:
    sides = flow([[box("a", 60, space=10), box("b", 60, space=10)]], 100)
    assert [put.down for side in sides for put in side] == [0, 0]


def test_a_box_taller_than_a_side_is_refused_with_its_excess() -> None:
    with pytest.raises(DoesNotFitError) as refused:
        flow([[box("step 3", 130)]], 100)
    assert refused.value.what == "step 3"
    assert refused.value.by == pytest.approx(30)


@given(st.lists(st.tuples(st.integers(1, 50), st.integers(0, 9), st.booleans()), min_size=1, max_size=40))
def test_nothing_is_lost_reordered_or_over_the_edge(parts: list[tuple[int, int, bool]]) -> None:
    keeps: list[Keep] = ["if it can" if keep else "no" for _, _, keep in parts]
    boxes = [
        box(str(n), height, space, keep)
        for n, ((height, space, _), keep) in enumerate(zip(parts, keeps, strict=True))
    ]
    sides = flow([boxes], 60)
    assert [put.box.name for side in sides for put in side] == [one.name for one in boxes]
    for side in sides:
        assert side[-1].down + side[-1].box.height <= 60 + 1e-6
        for one, other in pairwise(side):
            assert one.down + one.box.height <= other.down + 1e-6


def test_a_reason_to_stop_stays_in_sight_of_what_it_judges() -> None:
    boxes = [box("a", 60), box("step", 30, keep="in sight"), box("stop", 20)]
    assert names([boxes], 100) == [["a"], ["step", "stop"]]


def test_what_is_only_kept_in_sight_gives_way_before_a_table_is_broken() -> None:
    rows = [box("row 1", 40, keep="if it can"), box("row 2", 40, keep="in sight"), box("stop", 30)]
    assert names([[box("a", 50), *rows]], 100) == [["a"], ["row 1", "row 2"], ["stop"]]
