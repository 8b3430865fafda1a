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
        # Two readings differ beyond chance when more than 2.8 of it apart: 0.7 or 0.175 in, 17.78 or 4.445 mm.
        ("differs.by_eye", "0.70 in", "17.8 mm"),
        ("differs.on_video", "0.18 in", "4.4 mm"),
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


def test_a_smaller_first_step_asks_for_a_larger_split_to_judge_by() -> None:
    # 29 thou an inch by the line and 24 for the first step: 1.65 x 29/24 is 1.994, 0.4125 x 29/24 is 0.4984.
    assert shown("judged.by_eye", BETWEEN, ALLOWED) == "2.00 in"
    assert shown("judged.on_video", BETWEEN, ALLOWED) == "0.50 in"


@pytest.mark.parametrize(
    ("most", "eye", "video"),
    [("1+3/4 in", True, True), ("1.65 in", True, True), ("1.5 in", False, True), ("0.4 in", False, False)],
)
def test_a_second_reading_tells_something_only_where_the_table_reaches(
    most: str, eye: bool, video: bool
) -> None:
    table = compute(spec_of(*track_change(max_split=f'"{most}"'))).track
    assert table is not None
    assert (table.eye_judges, table.video_judges) == (eye, video)


@pytest.mark.parametrize(
    ("enough", "eye", "video"),
    [('"0.7 in"', True, True), ('"0.69 in"', False, True), ('"0.17 in"', False, False), ("", False, False)],
)
def test_a_limit_within_the_scatter_of_a_reading_is_not_shown_by_it(
    enough: str, eye: bool, video: bool
) -> None:
    table = compute(spec_of(*(track_change(good_enough=enough) if enough else ()))).track
    assert table is not None
    assert (table.eye_shows_limit, table.video_shows_limit) == (eye, video)


@pytest.mark.parametrize(
    ("changes", "read"),
    [
        # Stated where the hand reads it.
        ({}, "60 thou"),
        # 60 thou at the adjuster, 2 in out, are 90 where the dial touches, 3 in out; and 40 the other way.
        ({"max_total_reads": '"adjuster"', "dial_lever": '"3 in"'}, "90.0 thou"),
        ({"max_total_reads": '"adjuster"', "lever": '"3 in"'}, "40.0 thou"),
        # A flat of 24 threads an inch is 6.9444 thou: 60 are 8.64 flats; at the dial, 3 in out, 40 and 5.76.
        ({"max_total_reads": '"adjuster"', "set_by": '"flats"'}, "8.6 flats"),
        ({"dial_lever": '"3 in"', "set_by": '"flats"'}, "5.7 flats"),
    ],
)
def test_the_largest_total_is_told_where_the_hand_reads_it(changes: dict[str, str], read: str) -> None:
    table = compute(spec_of(*track_change(**changes))).track
    assert table is not None and table.max_total_read is not None
    assert f"{table.max_total_read.parts.number} {table.max_total_read.parts.unit}" == read
    assert table.max_total is not None
    assert table.max_total.shown == "60 thou (1.524 mm) M"


def test_a_largest_total_that_no_lever_leads_to_is_an_error() -> None:
    with pytest.raises(ValueError, match="no lever leads"):
        compute(spec_of(*track_change(lever="", max_total_reads='"adjuster"')))


def test_flats_without_a_thread_are_not_told() -> None:
    table = compute(
        spec_of(*track_change(adjuster_thread="", set_by='"flats"', max_total_reads='"adjuster"'))
    ).track
    assert table is not None
    assert table.max_total_read is None


def test_half_a_split_that_is_good_enough_is_doubled() -> None:
    changes = track_change(split='"half"', max_split='"1 in"', good_enough='"1/8 in"')
    assert shown("good_enough_total", *changes) == "0.250 in"
    table = compute(spec_of(*changes)).track
    assert table is not None and table.good_enough is not None
    assert table.good_enough.id == "track.good_enough_total"


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
