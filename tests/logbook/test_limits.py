"""What the log holds against a value: the limits that the deck's own description carries."""

from __future__ import annotations

import pytest

from cardgen.logbook.against_deck import EntryBox, boxes_of
from cardgen.logbook.fit_report import lines_of
from cardgen.logbook.track_learning import learn
from tests.logbook.logs import Log, run
from tests.logbook.logs import box as filled

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


@pytest.mark.parametrize(("play", "outside"), [("0", 0), ("0.1", 1), ("3", 1)])
def test_adjustable_stops_leave_no_play_at_all(log: Log, play: str, outside: int) -> None:
    """The sample's hub block has adjustable stops, both of which touch: any play is too much."""
    kept = log.add(log.entry(values={"teeter": {"teeter-play": filled(play, "thou")}}))
    assert len(kept.outside) == outside
    assert all("none, both sides touching" in each.words() for each in kept.outside)


def test_adjustable_stops_are_looked_at_again_after_every_change(log: Log) -> None:
    log.runs(run(1, "1.25", total="0"))
    first = lines_of(learn(log.history()))[0]
    assert first.endswith("lower blade A, do the card Teeter play again, then run and read again.")
