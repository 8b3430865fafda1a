"""A value on its limit is inside, and the least beyond it outside."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cardgen.logbook.against_deck import EntryBox, boxes_of
from cardgen.spec.bound import Bound


def box(least: str | None, most: str | None) -> EntryBox:
    ends = {Bound.AT_LEAST: least, Bound.AT_MOST: most}
    return EntryBox(
        "Play", "thou", "", {bound: Fraction(end) for bound, end in ends.items() if end is not None}
    )


@pytest.mark.parametrize(
    ("least", "most", "typed", "outside"),
    [
        ("1", "2", "1", False),
        ("1", "2", "0.999", True),
        ("1", "2", "2", False),
        ("1", "2", "2.001", True),
        ("1", "2", "1+1/2", False),
        ("1", None, "0.999", True),
        ("1", None, "99999", False),
        (None, "2", "2.001", True),
        # A most alone is of the size, to either side of nothing.
        (None, "2", "-5", True),
        (None, "2", "-2", False),
        (None, None, "99999", False),
        ("1", "2", "worn", False),
    ],
)
def test_a_value_on_its_limit_is_inside(least: str | None, most: str | None, typed: str, outside: bool) -> None:
    assert box(least, most).is_outside(typed) is outside


def test_boxes_are_read_with_exact_ends() -> None:
    told = {"id": "play", "label": "Play", "unit": "thou", "limits": "at most 2 thou", "bounds": {"most": "2"}}
    open_end = {"id": "note", "label": "Note", "unit": "", "limits": ""}
    found = boxes_of(
        {
            "cards": [
                {"id": "head", "title": "Head", "write_ins": [told, open_end]},
                {"id": "care", "title": "Care"},
            ]
        }
    )
    assert found.box("head", "play") == EntryBox("Play", "thou", "at most 2 thou", {Bound.AT_MOST: Fraction(2)})
    assert found.box("head", "note") == EntryBox("Note", "", "", {})
    assert found.box("head", "none") is None
    assert found.box("care", "play") is None
