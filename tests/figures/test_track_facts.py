"""What stands beside the track table: flats, a dial's false reading, and what a reading can tell."""

from __future__ import annotations

import pytest

from cardgen.figures import compute
from tests.figures.specs import spec_of, track_change

METRIC = (
    ('rule = "30 thou/in"', 'rule = "0.03 mm/mm"'),
    *track_change(max_split='"22 mm"', max_total='"2 mm"', adjuster_thread='"M8x1"'),
)
BETWEEN = (
    '{ diameter = "24 ft + 0 in", chord = "8 in", rule = "30 thou/in" }',
    '{ diameter = "22 ft", chord = "8 in", rule = "34 thou/in" }, '
    '{ diameter = "26 ft", chord = "8 in", rule = "24 thou/in" }',
)
ALLOWED = ("\npoints =", "\ninterpolate = true\npoints =")


def shown(name: str, *changes: tuple[str, str]) -> str:
    parts = compute(spec_of(*changes)).all[f"track.{name}"].parts
    return f"{parts.number} {parts.unit}"


@pytest.mark.parametrize(
    ("name", "inch", "metric"),
    [
        # A sixth of 1000/24 thou, and of 1 mm.
        ("per_flat", "6.94 thou", "0.167 mm"),
        # 500 thou, and 12.7 mm, times tan 0.5 = 0.0087269 and tan 1 degree = 0.0174551; up
        ("false_reading.half_degree", "4.4 thou", "0.12 mm"),
        ("false_reading.one_degree", "8.8 thou", "0.23 mm"),
        # One reading is good to a quarter inch by eye and a sixteenth on video; 1.65 of it over a quarter, up.
        ("judged.by_eye", "1.65 in", "42 mm"),
        ("judged.on_video", "0.42 in", "11 mm"),
    ],
)
def test_facts_beside_the_table_in_both_systems(name: str, inch: str, metric: str) -> None:
    assert shown(name) == inch
    assert shown(name, *METRIC) == metric


def test_a_rate_between_two_points_is_rounded_down() -> None:
    # A foot and an inch more than 22 ft: 34 - 10 x 25/48 is 28.7917; 0.034 - 0.010 x 25/48 is 0.02879167 mm/mm.
    size = ('"TEST-1"\ndiameter = "24 ft + 0 in"', '"TEST-1"\ndiameter = "24 ft + 1 in"')
    assert shown("rate", BETWEEN, ALLOWED, size) == "28.79 thou/in"
    assert shown("rate_first_step", BETWEEN, ALLOWED, size) == "24.00 thou/in"
    metric = (BETWEEN[0], BETWEEN[1].replace("34 thou/in", "0.034 mm/mm").replace("24 thou/in", "0.024 mm/mm"))
    assert shown("rate", metric, ALLOWED, size, *METRIC[1:]) == "0.02879 mm/mm"


def test_a_rate_names_the_points_it_was_taken_from() -> None:
    figures = compute(spec_of(BETWEEN, ALLOWED)).all
    assert figures["track.rate"].inputs == (
        "track.points[1].rule",
        "track.points[2].rule",
        "track.points[1].diameter",
        "track.points[2].diameter",
        "rotor.diameter",
    )
    half = compute(
        spec_of(
            *track_change(split='"half"', max_split='"1 in"'), ('rule = "30 thou/in"', 'rule = "60 thou/in"')
        )
    ).all
    assert half["track.rate"].inputs == ("track.points[1].rule",)
    assert (
        half["track.rate"].formula == "half the rule for each unit of half split, so that it counts total split"
    )


def test_a_largest_half_split_is_doubled_and_never_printed_larger() -> None:
    changes = [
        *track_change(split='"half"', max_split='"26 mm"'),
        ('rule = "30 thou/in"', 'rule = "60 thou/in"'),
    ]
    # Twice 26 mm is 52 mm; in inches 2.0472, down.
    assert shown("max_split", *changes) == "52.000 mm"
    assert compute(spec_of(*changes)).all["track.max_split"].parts.second == "2.047 in"


def test_what_needs_a_thread_or_an_offset_is_left_out_without_it() -> None:
    table = compute(spec_of(*track_change(adjuster_thread="", dial_offset=""))).track
    assert table is not None
    assert (table.per_flat, table.false_half_degree, table.false_one_degree) == (None, None, None)
