"""What the log holds against a value: the limits that the deck's own description carries."""

from __future__ import annotations

import pytest

from cardgen.logbook.against_deck import EntryBox, boxes_of

#: As the first decks were described, before boxes told their choices.
MIDDLE = {"id": "middle", "label": "Middle mark", "unit": "mm", "limits": "at most 3 mm off", "digits": 6}
SWEEP = {**MIDDLE, "id": "sweep", "label": "Sweep", "limits": "from -2 mm to 1 mm"}
KEPT = {
    "cards": [
        {
            "id": "string",
            "title": "String",
            "write_ins": [
                {**MIDDLE, "bounds": {"most": "3"}},
                {**SWEEP, "bounds": {"least": "-2", "most": "1"}},
                {**MIDDLE, "id": "older"},
            ],
        }
    ]
}


def box(name: str) -> EntryBox:
    found = boxes_of(KEPT).box("string", name)
    assert found is not None
    return found


@pytest.mark.parametrize(
    ("name", "typed", "outside"),
    [
        ("middle", "3", False),
        ("middle", "3.01", True),
        # A most alone is a distance from nothing, whichever side it is read on.
        ("middle", "-3", False),
        ("middle", "-3.01", True),
        ("sweep", "-2", False),
        ("sweep", "-2.1", True),
        ("sweep", "-1.5", False),
        ("sweep", "1.1", True),
        ("older", "1000", False),
        ("middle", "not read", False),
    ],
)
def test_a_value_is_outside_where_it_passes_an_end(name: str, typed: str, outside: bool) -> None:
    assert box(name).is_outside(typed) is outside
