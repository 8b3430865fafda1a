"""Sharing a table's width among its columns."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.press.columns import evenly, shared, smallest_first

LENGTHS = st.lists(st.floats(0, 400), min_size=1, max_size=8)


def test_what_is_short_is_shared_in_proportion_or_the_modest_come_first() -> None:
    assert evenly([60, 240], 100) == pytest.approx([20, 80])
    assert smallest_first([60, 240], 100) == pytest.approx([50, 50])
    assert smallest_first([20, 240], 100) == pytest.approx([20, 80])
    assert smallest_first([240, 20, 240], 100) == pytest.approx([40, 20, 40])


@given(LENGTHS, st.floats(0, 600))
def test_nobody_gets_more_than_wanted_and_no_more_is_given_than_there_is(
    want: list[float], spare: float
) -> None:
    for way in (evenly, smallest_first):
        given_ = way(want, spare)
        assert all(-1e-9 <= some <= all_ + 1e-9 for some, all_ in zip(given_, want, strict=True))
        assert sum(given_) == pytest.approx(min(spare, sum(want)), abs=1e-6)


@given(LENGTHS, st.floats(0, 600))
def test_columns_together_are_as_wide_as_the_table(want: list[float], spare: float) -> None:
    needs = [10.0] * len(want)
    wishes = [10.0 + more for more in want]
    for way in (evenly, smallest_first):
        total = sum(needs) + spare
        widths = shared(needs, wishes, wishes, [False] * len(want), total, way)
        assert sum(widths) == pytest.approx(total)
        assert all(wide >= need - 1e-9 for wide, need in zip(widths, needs, strict=True))


def test_what_is_left_goes_past_a_number_that_counts_words() -> None:
    widths = shared([20, 50], [20, 50], [20, 50], [True, False], 170, evenly)
    assert widths == (20, 150)
