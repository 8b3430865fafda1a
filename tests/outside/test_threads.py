"""Advance of an adjuster nut by one flat, against the Unified thread series of ASME B1.1."""

from __future__ import annotations

import pytest

from cardgen.figures import compute
from tests.figures.specs import spec_of, track_change


@pytest.mark.parametrize(
    ("thread", "thou"),
    # Threads per inch of the UNF series, ASME B1.1; a sixth of their pitch in thousandths, by hand.
    [
        ("10-32", "5.21"),
        ("1/4-28", "5.95"),
        ("3/8-24", "6.94"),
        ("1/2-20", "8.33"),
        ("5/8-18", "9.26"),
        ("3/4-16", "10.42"),
    ],
)
def test_thousandths_of_one_flat(thread: str, thou: str) -> None:
    table = compute(spec_of(*track_change(adjuster_thread=f'"{thread}"'))).track
    assert table is not None
    assert table.per_flat is not None
    assert table.per_flat.parts.number == thou


def test_a_metric_thread_advances_a_sixth_of_its_pitch() -> None:
    """ISO 261 names the pitch in the designation: M8x1 advances 1 mm a turn."""
    table = compute(
        spec_of(
            ('rule = "30 thou/in"', 'rule = "0.03 mm/mm"'),
            *track_change(adjuster_thread='"M8x1"', max_split='"20 mm"', max_total='"2 mm"'),
        )
    ).track
    assert table is not None
    assert table.per_flat is not None
    assert table.per_flat.parts.number == "0.167"
