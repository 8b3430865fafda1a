"""The track table against tables worked by hand, for every way a rule can be stated."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardgen.figures import Figure, compute
from cardgen.figures.track_table import TrackTable, track_table
from cardgen.spec.rate import NoRate, WhyNot, track_rate
from cardgen.spec.units import magnitude
from tests.figures.specs import spec_of, track_change, turnbuckles


def table_of(*changes: tuple[str, str]) -> TrackTable:
    table = compute(spec_of(*changes)).track
    assert table is not None
    return table


def printed(figure: Figure | None) -> str:
    assert figure is not None
    return figure.parts.number


def columns(table: TrackTable) -> list[tuple[str, str, str, str]]:
    return [tuple_of(row.split, row.adjust, row.flats, row.dial) for row in table.rows]


def tuple_of(*figures: Figure | None) -> tuple[str, str, str, str]:
    split, adjust, flats, dial = (printed(figure) for figure in figures)
    return split, adjust, flats, dial


def test_a_rule_for_one_blade_is_moved_whole_on_that_blade() -> None:
    # 30 thou an inch; one flat of 24 threads an inch is 1000/24/6 = 6.9444 thou, by hand.
    assert columns(table_of()) == [
        ("0.25", "7.5", "1.0", "7.5"),  # 7.5 / 6.9444 = 1.08
        ("0.50", "15.0", "2.1", "15.0"),  # 2.16
        ("0.75", "22.5", "3.2", "22.5"),  # 3.24
        ("1.00", "30.0", "4.3", "30.0"),  # 4.32
        ("1.25", "37.5", "5.4", "37.5"),  # 5.40
        ("1.50", "45.0", "6.4", "45.0"),  # 6.48
        ("1.75", "52.5", "7.5", "52.5"),  # 7.56
        ("2.00", "60.0", "8.6", "60.0"),  # 8.64
    ]


@pytest.mark.parametrize(
    ("basis", "one_inch", "moves"),
    [
        ("one blade", "30.0", "one blade"),
        ("total of both", "15.0", "both blades, opposite"),
        ("amount on each", "30.0", "both blades, opposite"),
        ("whole bar", "30.0", "whole bar"),
    ],
)
def test_each_basis_gives_what_the_hand_does_on_one_blade(basis: str, one_inch: str, moves: str) -> None:
    table = table_of(*track_change(basis=f'"{basis}"'))
    assert printed(table.rows[3].split) == "1.00"
    assert printed(table.rows[3].dial) == one_inch
    assert table.moves == moves


def test_half_thousandths_are_rounded_down_to_the_dial_mark() -> None:
    # Half of 30 thou an inch: 3.75, 7.5, 11.25 thou; a dial is read to half a thou.
    table = table_of(*track_change(basis='"total of both"'))
    assert [printed(row.dial) for row in table.rows[:3]] == ["3.5", "7.5", "11.0"]
    assert [row.as_json()["dial_thou"] for row in table.rows[:3]] == [3.75, 7.5, 11.25]


def test_a_rule_for_half_the_split_is_halved_and_its_largest_split_doubled() -> None:
    # 60 thou for each inch of half split is 30 thou for each inch of total split.
    half = table_of(
        *track_change(split='"half"', max_split='"1 in"'), ('rule = "30 thou/in"', 'rule = "60 thou/in"')
    )
    assert columns(half) == columns(table_of())
    assert printed(half.rate) == "30.00"
    assert magnitude(half.max_split.quantity, "in") == 2
    assert half.max_split_stated is not None
    assert half.max_split_stated.parts.number == "1"


@pytest.mark.parametrize(
    ("reads", "adjust", "dial"),
    # Dial 3 in and adjuster 2 in from the pivot: the dial moves half as much again.
    [("dial", "20.0", "30.0"), ("adjuster", "30.0", "45.0")],
)
def test_dial_and_adjuster_move_as_their_levers(reads: str, adjust: str, dial: str) -> None:
    table = table_of(*track_change(rule_reads=f'"{reads}"', dial_lever='"3 in"', max_total='"100 thou"'))
    assert (printed(table.rows[3].adjust), printed(table.rows[3].dial)) == (adjust, dial)


def test_without_a_lever_what_cannot_be_known_is_left_out() -> None:
    at_dial = table_of(*track_change(lever="")).rows[3]
    assert (at_dial.adjust, at_dial.flats) == (None, None)
    assert printed(at_dial.dial) == "30.0"
    by_flats = track_change(lever="", rule_reads='"adjuster"', set_by='"flats"', max_total_reads='"adjuster"')
    at_adjuster = table_of(*by_flats).rows[3]
    assert at_adjuster.dial is None
    assert (printed(at_adjuster.adjust), printed(at_adjuster.flats)) == ("30.0", "4.3")
    assert at_adjuster.as_json()["dial_thou"] is None


def test_the_last_row_is_the_largest_split_even_off_the_grid() -> None:
    table = table_of(*track_change(max_split='"1+5/8 in"'))
    assert [printed(row.split) for row in table.rows[-2:]] == ["1.50", "1.625"]
    assert table.stopped_by == "max_split"


def test_the_table_stops_before_a_row_would_pass_the_largest_total() -> None:
    table = table_of(*track_change(max_total='"40 thou"'))
    assert printed(table.rows[-1].split) == "1.25"  # 37.5 thou; the next would be 45
    assert table.stopped_by == "max_total"


@pytest.mark.parametrize(
    ("reads", "last", "stopped"), [("dial", "1.25", "max_total"), ("adjuster", "2.00", "max_split")]
)
def test_the_largest_total_holds_where_it_is_read(reads: str, last: str, stopped: str) -> None:
    # The dial shows 45 thou for an inch: 1.25 in are 56.25, 1.50 in 67.5. The adjuster moves 30: 2 in are 60.
    levers = track_change(rule_reads='"adjuster"', dial_lever='"3 in"', max_total_reads=f'"{reads}"')
    table = table_of(*levers)
    assert printed(table.rows[-1].split) == last
    assert table.stopped_by == stopped


@pytest.mark.parametrize(
    ("basis", "counts", "last"),
    # 30 thou an inch, at most 30. The sum of two moves: half of it a blade. Of each blade: twice it for both.
    [
        ("total of both", "one blade", "2.00"),
        ("total of both", "both, added", "1.00"),
        ("amount on each", "one blade", "1.00"),
        ("amount on each", "both, added", "0.50"),
    ],
)
def test_the_largest_total_counts_one_blade_or_both_as_it_is_stated(basis: str, counts: str, last: str) -> None:
    table = table_of(*track_change(basis=f'"{basis}"', max_total='"30 thou"', max_total_of=f'"{counts}"'))
    assert printed(table.rows[-1].split) == last


def test_without_a_largest_total_the_largest_split_ends_the_table() -> None:
    table = table_of(*track_change(max_total="", max_total_reads=""))
    assert (printed(table.rows[-1].split), table.stopped_by) == ("2.00", "max_split")
    assert (table.max_total, table.max_total_read) == (None, None)


@pytest.mark.parametrize(
    ("rule", "lever", "one_inch"),
    # 3 in to the dial. 0.03 in/in are 30 thou at the dial. Half a degree is pi / 360 of a radian: 17.453 thou
    # on 2 in and 26.180 on 3; a flat is 6.9444 thou, so that is 2.51. Four flats are 27.778, or 41.667.
    [
        ("0.03 in/in", '"2 in"', ("1.00", "20.0", "2.8", "30.0")),
        ("0.5 deg/in", '"2 in"', ("1.00", "17.0", "2.5", "26.0")),
        ("4 flats/in", '"2 in"', ("1.00", "27.5", "4.0", "41.5")),
    ],
)
def test_a_rule_may_be_a_ratio_an_angle_or_flats(rule: str, lever: str, one_inch: tuple[str, ...]) -> None:
    changes = track_change(lever=lever, dial_lever='"3 in"', max_total='"200 thou"')
    table = table_of(("30 thou/in", rule), *changes)
    assert columns(table)[3] == one_inch


def test_a_hand_that_counts_flats_is_told_no_dial() -> None:
    row = table_of(("30 thou/in", "4 flats/in"), *track_change(set_by='"flats"')).rows[3]
    assert row.dial is None
    assert printed(row.flats) == "4.0"


def test_a_turnbuckle_is_told_no_flats_from_a_length() -> None:
    # With a left-hand thread at one end it moves two pitches a turn, common practice, no source: 4.3 flats
    # for an inch would then lower the blade by twice what the rule says.
    one = next(old for old, _ in turnbuckles())
    for changed in (turnbuckles(), turnbuckles()[1:], [(one, 'a = { lengthen = "long end" }')]):
        table = table_of(*changed)
        assert [row.flats for row in table.rows] == [None] * 8
        assert (printed(table.rows[3].adjust), printed(table.rows[3].dial)) == ("30.0", "30.0")
        assert table.per_flat is None


def test_flats_that_the_rule_itself_states_hold_for_a_turnbuckle_and_tell_no_length() -> None:
    in_flats = track_change(set_by='"flats"', max_total="", max_total_reads="")
    table = table_of(("30 thou/in", "4 flats/in"), *in_flats, *turnbuckles())
    # Four flats an inch: one flat on a quarter inch, eight on two inches.
    assert [printed(row.flats) for row in table.rows] == [
        "1.0",
        "2.0",
        "3.0",
        "4.0",
        "5.0",
        "6.0",
        "7.0",
        "8.0",
    ]
    assert [(row.adjust, row.dial) for row in table.rows] == [(None, None)] * 8
    assert table.per_flat is None
    of_both = track_change(set_by='"flats"', max_total="", max_total_reads="", basis='"total of both"')
    halved = table_of(("30 thou/in", "4 flats/in"), *of_both, *turnbuckles())
    assert printed(halved.rows[3].flats) == "2.0"


def test_a_metric_rule_makes_a_metric_table() -> None:
    table = table_of(
        ('rule = "30 thou/in"', 'rule = "0.03 mm/mm"'),
        *track_change(max_split='"22 mm"', max_total='"2 mm"', adjuster_thread='"M8x1"'),
    )
    # 5 mm of split: 0.15 mm, and a flat of a 1 mm pitch is 1/6 mm: 0.9 of a flat.
    assert columns(table)[0] == ("5", "0.15", "0.9", "0.15")
    assert columns(table)[-1] == ("22", "0.66", "3.9", "0.66")
    assert table.unit == "mm"


def test_millimetres_to_the_metre_are_thousandths() -> None:
    metric = track_change(max_split='"22 mm"', max_total='"2 mm"', adjuster_thread='"M8x1"')
    assert columns(table_of(("30 thou/in", "30 mm/m"), *metric)) == columns(
        table_of(("30 thou/in", "0.03 mm/mm"), *metric)
    )


POINTS = (
    '{ diameter = "24 ft + 0 in", chord = "8 in", rule = "30 thou/in" }',
    '{ diameter = "22 ft", chord = "8 in", rule = "34 thou/in" }, '
    '{ diameter = "26 ft", chord = "8 in", rule = "24 thou/in" }',
)


def test_between_two_points_the_rate_lies_on_the_straight_line() -> None:
    table = table_of(POINTS, ("\npoints =", "\ninterpolate = true\npoints ="))
    assert table.interpolated
    assert printed(table.rate) == "29.00"  # halfway between 34 and 24
    assert printed(table.rate_first_step) == "24.00"
    assert [printed(row.dial) for row in table.rows[:2]] == ["7.0", "14.5"]  # 7.25, 14.5
    assert [printed(row.dial) for row in table.first_rows[:2]] == ["6.0", "12.0"]


def test_nothing_is_interpolated_unless_the_maker_allows_it() -> None:
    assert track_table(spec_of(POINTS)) == NoRate(WhyNot.NOT_ALLOWED)


@pytest.mark.parametrize("diameter", ["21 ft + 11 in", "26 ft + 1 in"])
def test_nothing_is_ever_carried_beyond_the_points(diameter: str) -> None:
    spec = spec_of(
        POINTS,
        ("\npoints =", "\ninterpolate = true\npoints ="),
        (
            '[rotor]\nset_id = "TEST-1"\ndiameter = "24 ft + 0 in"',
            f'[rotor]\nset_id = "TEST-1"\ndiameter = "{diameter}"',
        ),
    )
    assert track_rate(spec.track, spec.rotor.diameter) == NoRate(WhyNot.OUTSIDE)
    with pytest.raises(ValueError, match="outside"):
        compute(spec)


@pytest.mark.parametrize(("inches", "found"), [("0.25", True), ("0.26", False)])
def test_a_point_within_a_quarter_inch_is_this_rotor(inches: str, found: bool) -> None:
    spec = spec_of(('"TEST-1"\ndiameter = "24 ft + 0 in"', f'"TEST-1"\ndiameter = "24 ft + {inches} in"'))
    assert isinstance(track_rate(spec.track, spec.rotor.diameter), NoRate) is not found


def test_a_dial_off_the_teeter_axis_reads_falsely() -> None:
    # tan(0.5 deg) = 0.0087269, tan(1 deg) = 0.0174551 (four-figure tables); times 500 thou.
    table = table_of()
    assert printed(table.false_half_degree) == "4.4"
    assert printed(table.false_one_degree) == "8.8"


def test_a_rotor_that_is_only_read_has_no_table() -> None:
    assert compute(spec_of(*track_change(method='"none"'))).track is None


def test_the_club_answers_for_its_own_limit() -> None:
    assert table_of().max_split.shown == "2 in (50.8 mm) K"
    assert table_of().rate.shown == "30 thou/in M"


@settings(max_examples=25, deadline=None)
@given(
    rate=st.integers(3, 199),
    levers=st.tuples(st.integers(1, 5), st.integers(1, 5)),
    basis=st.sampled_from(["one blade", "total of both", "amount on each", "whole bar"]),
    reads=st.sampled_from(["dial", "adjuster"]),
    total_at=st.sampled_from(["dial", "adjuster"]),
    most=st.integers(5, 200),
)
def test_printed_rows_never_pass_the_rule_nor_the_limit_and_never_fall(
    rate: int, levers: tuple[int, int], basis: str, reads: str, total_at: str, most: int
) -> None:
    table = table_of(
        ('rule = "30 thou/in"', f'rule = "{rate} thou/in"'),
        *track_change(
            basis=f'"{basis}"',
            rule_reads=f'"{reads}"',
            lever=f'"{levers[0]} in"',
            dial_lever=f'"{levers[1]} in"',
            max_total=f'"{most} thou"',
            max_total_reads=f'"{total_at}"',
        ),
    )
    last = Fraction(0)
    for row in table.rows:
        assert row.adjust is not None and row.dial is not None and row.flats is not None
        for figure in (row.adjust, row.dial):
            shown = Fraction(figure.parts.number)
            assert magnitude(figure.quantity, "thou") - Fraction(1, 2) < shown
            assert shown <= magnitude(figure.quantity, "thou")
            assert Fraction(figure.parts.second.split(" ")[0]) <= magnitude(figure.quantity, "mm")
        assert magnitude((row.dial if total_at == "dial" else row.adjust).quantity, "thou") <= most
        assert Fraction(row.flats.parts.number) <= magnitude(row.adjust.quantity, "thou") * 144 / 1000
        assert magnitude(row.adjust.quantity, "thou") > last
        last = magnitude(row.adjust.quantity, "thou")
