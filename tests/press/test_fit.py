"""Boxes find places in columns and zones, side after side, and what belongs together is never parted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.press.boxes import Box, Keep
from cardgen.press.fit import TIGHT, Chain, Page, Room, chains_of, evened, fill, spread
from cardgen.press.lines import DoesNotFitError

ONE = Room(1, 10, 100, lambda _: 100)
TWO = Room(2, 10, 100, lambda _: 100)


def box(name: str, height: float, space: float = 0.0, keep: Keep = "no", again: Box | None = None) -> Box:
    return Box(name, height, lambda _x, _top: (), space, keep, again)


def pages(boxes: Sequence[Box], room: Room = ONE) -> list[Page]:
    return fill(list(chains_of(boxes, room.height(0))), room)


def names(boxes: Sequence[Box], room: Room = ONE) -> list[list[str]]:
    return [[put.box.name for put in page.puts] for page in pages(boxes, room)]


def test_boxes_fill_a_side_before_the_next_begins() -> None:
    assert names([box(n, 40) for n in "abcde"]) == [["a", "b"], ["c", "d"], ["e"]]


def test_a_heading_never_stands_alone_at_the_end_of_a_side() -> None:
    boxes = [box("a", 60), box("heading", 20, keep="always"), box("b", 40)]
    assert names(boxes) == [["a"], ["heading", "b"]]


def test_a_table_longer_than_a_side_still_ends_in_sight_of_what_follows() -> None:
    rows = [box(f"row {n}", 20, keep="if it can") for n in range(1, 10)]
    assert names([*rows, box("row 10", 20, keep="in sight"), box("code", 30)]) == [
        ["row 1", "row 2", "row 3", "row 4", "row 5"],
        ["row 6", "row 7", "row 8", "row 9"],
        ["row 10", "code"],
    ]


def test_answers_begin_a_side_wherever_the_questions_end() -> None:
    answers = replace(box("heading", 10, keep="always"), over=True)
    assert names([box("questions", 20), answers, box("answers", 20)]) == [["questions"], ["heading", "answers"]]
    # No side is left empty where one begins anyway.
    assert names([answers, box("answers", 20)]) == [["heading", "answers"]]


def test_a_longer_table_goes_on_under_its_head_again() -> None:
    head = box("head", 10)
    rows = [box(f"row {n}", 30, keep="if it can", again=head) for n in range(2, 6)]
    assert names([box("row 1", 40, keep="if it can"), *rows]) == [
        ["row 1", "row 2", "row 3"],
        ["head", "row 4", "row 5"],
    ]


def test_what_is_only_kept_in_sight_gives_way_before_a_table_is_broken() -> None:
    rows = [box("row 1", 40, keep="if it can"), box("row 2", 40, keep="in sight"), box("stop", 30)]
    assert names([box("a", 50), *rows]) == [["a"], ["row 1", "row 2"], ["stop"]]


def test_white_above_a_box_is_left_away_at_the_top_of_a_side() -> None:
    downs = [put.down for page in pages([box("a", 60, space=10), box("b", 60, space=10)]) for put in page.puts]
    assert downs == [0, 0]


def test_a_box_taller_than_a_side_is_refused_with_its_excess() -> None:
    with pytest.raises(DoesNotFitError) as refused:
        names([box("step 3", 130)])
    assert refused.value.what == "step 3"
    assert refused.value.by == pytest.approx(30)


def test_columns_are_as_short_as_their_boxes_in_order_allow() -> None:
    # Of 20 30 10 40 20 20 in order, no two columns can be shorter than 80: 20 30 10 | 40 20 20.
    (page,) = pages([box(n, h) for n, h in zip("abcdef", (20, 30, 10, 40, 20, 20), strict=True)], TWO)
    assert [(put.box.name, put.x) for put in page.puts] == [
        *((name, 0) for name in "abc"),
        *((name, 110) for name in "def"),
    ]
    assert page.used == pytest.approx(80, abs=1)


def test_a_wide_box_stands_between_two_zones() -> None:
    wide = replace(box("hold", 10), wide=True)
    (page,) = pages([box("a", 20), box("b", 20), wide, box("c", 30), box("d", 30)], TWO)
    places = {put.box.name: (put.x, put.down) for put in page.puts}
    downs = [places[name][1] for name in ("a", "b", "hold", "c", "d")]
    gap = TIGHT * TWO.between
    assert downs == pytest.approx([0, 0, 20 + gap, 30 + 2 * gap, 30 + 2 * gap], abs=1)
    assert places["hold"][0] == 0
    assert [round(end - start) for start, end in page.rules] == [20, 30]


def test_no_side_has_more_cautions_than_it_may() -> None:
    guarded = [replace(box(n, 10), cautions=1) for n in "abcde"]
    assert names(guarded, replace(ONE, cautions=2)) == [["a", "b"], ["c", "d"], ["e"]]
    crowded = replace(box("f", 10), cautions=3)
    assert names([crowded], replace(ONE, cautions=2)) == [["f"]]


def test_sides_are_filled_alike_where_there_are_several() -> None:
    chains: list[Chain] = [(box(str(n), 10),) for n in range(12)]
    first = fill(chains, ONE)
    assert [len(page.puts) for page in first] == [10, 2]
    assert [len(page.puts) for page in evened(chains, ONE, first)] == [6, 6]


def test_white_to_spare_goes_between_the_boxes() -> None:
    chains: list[Chain] = [(box(n, 10, space=5),) for n in "abc"]
    assert [put.down for put in spread(chains, ONE, 0).puts] == [0, 18, 36]
    tight = replace(ONE, height=lambda _: 44)
    assert spread(chains, tight, 0).used <= 44


@given(
    st.lists(st.tuples(st.integers(1, 50), st.integers(0, 9), st.booleans()), min_size=1, max_size=40),
    st.sampled_from([1, 2, 3]),
)
def test_nothing_is_lost_reordered_or_over_the_edge(parts: list[tuple[int, int, bool]], columns: int) -> None:
    keeps: list[Keep] = ["if it can" if keep else "no" for _, _, keep in parts]
    boxes = [
        box(str(n), height, space, keep)
        for n, ((height, space, _), keep) in enumerate(zip(parts, keeps, strict=True))
    ]
    room = replace(ONE, columns=columns, height=lambda _: 60)
    made = pages(boxes, room)
    assert [put.box.name for page in made for put in page.puts] == [one.name for one in boxes]
    for page in made:
        for one, other in pairwise(page.puts):
            assert one.down + one.box.height <= 60 + 1e-6
            assert one.x < other.x or one.down + one.box.height <= other.down + 1e-6
