"""Settings on every wrench: inside the exact window for every drag, or a reason why not."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import cos, radians

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cardgen.figures import Figure, compute
from cardgen.figures.fastening import FastenerFigures
from cardgen.figures.setting_rows import (
    READ_BORROWED,
    READ_ELSEWHERE,
    READ_HERE,
    WrenchCannot,
    WrenchSettings,
)
from cardgen.spec.units import quantity
from cardgen.spec.windows import Why, Window, at_nut
from tests.figures.specs import spec_of

EXTENSION = ('length = "10 in"\n', 'length = "10 in"\nextension = "4 in"\n')
CLICK = ('kind = "beam"', 'kind = "click"')
NO_DRAG = ('drag = "add"\ndrag_max = "20 in·lbf"\n', 'drag = "none"\n')
#: A second wrench, which reads drag with an error of 5 percent and has an extension of its own.
READER = (
    "[string]\n",
    '[[wrenches]]\nid = "D9"\nkind = "dial"\nlength = "10 in"\nextension = "4 in"\nerror = 5\n'
    'range_min = "1 in·lbf"\nrange_max = "90 in·lbf"\ngraduation = "1 in·lbf"\n\n[string]\n',
)
PRESET = (
    'kind = "beam"\nlength = "10 in"\nerror = 4\n'
    'range_min = "20 in·lbf"\nrange_max = "300 in·lbf"\ngraduation = "1 in·lbf"\n',
    'kind = "preset"\nerror = 4\npreset = "175 in·lbf"\n',
)


def bolt(*changes: tuple[str, str]) -> FastenerFigures:
    return compute(spec_of(*changes)).fastening[0]


def on_wrench(*changes: tuple[str, str]) -> WrenchSettings:
    found = bolt(*changes).wrenches[0]
    assert isinstance(found, WrenchSettings), found
    return found


def reason(*changes: tuple[str, str]) -> Why:
    found = bolt(*changes).wrenches[0]
    assert isinstance(found, WrenchCannot), found
    return found.reason


def number(figure: Figure | None) -> str:
    assert figure is not None
    return figure.parts.number


def test_drag_rows_run_evenly_from_none_to_the_most_allowed() -> None:
    rows = on_wrench().rows
    # A wrench good to 4 percent may show 20 as 19.2, so that 19 is the last mark that is surely inside.
    assert [number(row.drag) for row in rows] == ["0", "4", "8", "12", "16", "19"]
    # (160 + 12) / 0.96 = 179.2 and (190 + 12) x 0.96 = 193.9, by hand.
    assert (number(rows[3].low), number(rows[3].high)) == ("180", "193")
    assert (number(rows[3].nut_low), number(rows[3].nut_high)) == ("172", "202")


def test_drag_between_marks_ends_at_the_last_mark() -> None:
    rows = on_wrench(('"20 in·lbf"\nturned_at', '"13 in·lbf"\nturned_at')).rows
    # 13 less 4 percent is 12.48.
    assert [number(row.drag) for row in rows] == ["0", "3", "6", "9", "12"]


@pytest.mark.parametrize("drag", ['drag = "included"\n', 'drag = "none"\n'])
def test_drag_is_added_only_where_the_maker_says_so(drag: str) -> None:
    found = on_wrench(('drag = "add"\ndrag_max = "20 in·lbf"\n', drag))
    assert len(found.rows) == 1
    assert found.rows[0].drag is None
    assert (number(found.rows[0].low), number(found.rows[0].high)) == ("167", "182")
    assert found.aim is None
    assert found.drag_stop is None


@pytest.mark.parametrize("drag", ['drag = "included"\n', 'drag = "none"\n'])
def test_drag_that_is_not_to_be_added_leaves_the_window_alone(drag: str) -> None:
    spec = spec_of(('drag = "add"\ndrag_max = "20 in·lbf"\n', drag))
    window = at_nut(spec.fasteners[0], quantity(14, "in·lbf"))
    assert window == Window(quantity(160, "in·lbf"), quantity(190, "in·lbf"))


def test_drag_read_through_the_extension_is_converted_to_the_nut() -> None:
    found = on_wrench(EXTENSION)
    # 20 at the nut reads 20 x 10/14 = 14.28 on the wrench; less 4 percent 13.71.
    assert (found.drag_read, found.drag_on) == (READ_HERE, "wrenches[1]")
    assert number(found.drag_stop) == "13"
    last = found.rows[-1]
    assert number(last.drag) == "13"
    # 13 read is 18.2 at the nut: 178.2 and 208.2; x 10/14 is 127.29 and 148.71; / and x 0.96.
    assert (number(last.nut_low), number(last.nut_high)) == ("179", "208")
    assert (number(last.low), number(last.high)) == ("133", "142")


def test_what_is_read_off_a_wrench_has_the_wrenchs_unit_alone() -> None:
    found = on_wrench(("order = [1]", "order = [1]\nstages = [50, 100]"))
    row = found.rows[-1]
    read = (row.drag, row.low, row.high, row.stages[0].low, row.stages[0].high, found.aim, found.drag_stop)
    assert [figure and (figure.parts.unit, figure.parts.second) for figure in read] == [("in·lbf", "")] * 7
    # What stands at the nut is the maker's, in both systems: 179 in·lbf is 20.224 N·m, up; 209 is 23.614, down.
    assert (row.nut_low.parts.second, row.nut_high.parts.second) == ("20.3 N·m", "23.6 N·m")


def test_where_no_wrench_reads_drag_a_borrowed_one_reads_it_at_the_nut() -> None:
    found = on_wrench(EXTENSION, CLICK)
    assert (found.drag_read, found.drag_on) == (READ_BORROWED, "")
    assert number(found.drag_stop) == "20"
    # 160 + 20 and 190 + 20 at the nut; x 10/14; / and x 0.96.
    assert (number(found.rows[-1].low), number(found.rows[-1].high)) == ("134", "144")


def test_the_error_of_another_wrench_that_reads_the_drag_counts() -> None:
    found = on_wrench(CLICK, READER)
    assert (found.drag_read, found.drag_on) == (READ_ELSEWHERE, "wrenches[2]")
    # Taken to the nut without its extension: 20 less 5 percent is 19.
    assert number(found.drag_stop) == "19"
    # 19 read may be 19 x 0.95 = 18.05 or 19 / 0.95 = 20: 160 + 20 and 190 + 18.05; / and x 0.96.
    last = found.rows[-1]
    assert (number(last.drag), number(last.nut_low), number(last.nut_high)) == ("19", "180", "208")
    assert (number(last.low), number(last.high)) == ("188", "199")


def test_a_castle_nut_is_set_to_the_least_and_another_to_the_middle() -> None:
    """FAA AC 43.13-1B, 7-40f: begin at the least, and go on to a slot without passing the most."""
    # At no drag 160 / 0.96 = 166.7 to 190 x 0.96 = 182.4; at 19, which is taken off again,
    # 179 / 0.96 - 19 = 167.5 to 209 x 0.96 - 19 = 181.6.
    assert number(on_wrench().aim) == "168"
    # Between 168 and 181.
    assert number(on_wrench(('locking = "cotter pin"', 'locking = "self-locking nut"')).aim) == "175"


def test_without_a_largest_drag_there_is_the_row_for_none_and_the_sum() -> None:
    found = on_wrench(('drag_max = "20 in·lbf"\n', ""))
    (row,) = found.rows
    assert (row.drag, found.drag_stop, found.drag_read) == (None, None, READ_HERE)
    # 160 / 0.96 = 166.7 and 190 x 0.96 = 182.4.
    assert (number(row.low), number(row.high), number(found.aim)) == ("167", "182", "167")


@pytest.mark.parametrize(("beside", "off"), [((), (1.0,)), ((READER,), (0.95, 1 / 0.95))])
def test_without_a_largest_drag_another_wrenchs_error_leaves_room_on_both_sides(
    beside: tuple[tuple[str, str], ...], off: tuple[float, ...]
) -> None:
    found = on_wrench(CLICK, ('drag_max = "20 in·lbf"\n', ""), *beside)
    # 160 / 0.96 = 166.7 rises to meet 190 x 0.96 = 182.4, less the drag read, as the drag grows. Borrowed: by
    # 1 / 0.96 - 1 = 0.0417 and 0.04 for each unit, so at 193, where both are 174.7. On D9: by
    # 1 / 0.95 / 0.96 - 1 = 0.0965 and 1 - 0.95 x 0.96 = 0.088, so at 85, where both are 174.9.
    assert number(found.aim) == "175"
    assert (found.drag_stop, len(found.rows)) == (None, 1)
    for read in (0, 20, 40, 80):
        for running in (read * each for each in off):
            for truth in _either_way(0.04):
                assert 160 + running <= (175 + read) * truth <= 190 + running


def test_a_wrench_without_error_aims_at_the_middle_where_another_reads_the_drag() -> None:
    found = on_wrench(CLICK, ('drag_max = "20 in·lbf"\n', ""), ("error = 4", "error = 0"))
    assert number(found.aim) == "175"


def test_a_preset_wrench_serves_where_its_one_setting_holds_for_every_drag() -> None:
    (row,) = on_wrench(PRESET, NO_DRAG).rows
    # 166.7 to 182.4 holds 175.
    assert (number(row.low), number(row.high)) == ("175", "175")
    little = on_wrench(PRESET, ('drag_max = "20 in·lbf"', 'drag_max = "4 in·lbf"'))
    assert (len(little.rows), little.aim, number(little.drag_stop)) == (1, None, "4")
    # At a drag of 20 it begins at 180 / 0.96 = 187.5.
    assert reason(PRESET) is Why.PRESET


@pytest.mark.parametrize(("most", "shared"), [(20, True), (40, True), (65, False)])
def test_neighbouring_rows_share_a_setting_until_they_stand_too_far_apart(most: int, shared: bool) -> None:
    # By hand. Most 40, read 38: (190 + 32) x 0.96 is 213.1, and (160 + 38) / 0.96 is 206.3.
    # Most 65, read 62: (190 + 39) x 0.96 is 219.8, and (160 + 52) / 0.96 is 220.8, which is too far up.
    found = on_wrench(('drag_max = "20 in·lbf"', f'drag_max = "{most} in·lbf"'))
    assert found.rows_share == shared
    assert found.stages_share
    assert found.aim is not None


def test_a_stage_may_share_nothing_where_the_full_torque_still_does() -> None:
    found = on_wrench(
        ("order = [1]", "order = [1]\nstages = [50, 100]"),
        ('drag_max = "20 in·lbf"', 'drag_max = "40 in·lbf"'),
    )
    # Half of 190 is 95, x 0.96 is 91.2, read 91. Half of 160 and the next drag of 8 are 88, / 0.96 is 91.7,
    # read 92.
    assert found.rows_share
    assert not found.stages_share


def test_the_wrench_is_set_in_its_own_unit_and_marks() -> None:
    found = on_wrench(
        ('range_min = "20 in·lbf"', 'range_min = "2 N·m"'),
        ('range_max = "300 in·lbf"', 'range_max = "40 N·m"'),
        ('graduation = "1 in·lbf"', 'graduation = "0.5 N·m"'),
    )
    assert found.rows[0].low.parts.unit == "N·m"
    # 160 in·lbf is 18.08 N·m, over 0.96 is 18.83; 190 is 21.47, times 0.96 is 20.61.
    assert (number(found.rows[0].low), number(found.rows[0].high)) == ("19.0", "20.5")


def test_stages_are_shares_of_the_makers_window() -> None:
    found = on_wrench(("order = [1]", "order = [1]\nstages = [50, 100]"))
    (stage,) = found.rows[0].stages
    assert (number(stage.percent), number(stage.low), number(stage.high)) == ("50", "84", "91")


def test_the_drag_comes_on_top_of_a_stage_whole() -> None:
    found = on_wrench(
        ("order = [1]", "order = [1]\nstages = [50, 100]"),
        (
            'torque_min = "160 in·lbf"\ntorque_max = "190 in·lbf"',
            'torque_min = "175 in·lbf"\ntorque_max = "205 in·lbf"',
        ),
        ('drag_max = "20 in·lbf"', 'drag_max = "31.25 in·lbf"'),
    )
    last = found.rows[-1]
    # 31.25 less 4 percent is 30. Half of 175 to 205 and 30 on top are 117.5 to 132.5;
    # / and x 0.96: 122.4 to 127.2.
    assert number(last.drag) == "30"
    assert (number(last.stages[0].low), number(last.stages[0].high)) == ("123", "127")


def test_a_stage_this_wrench_cannot_hold_says_so_and_leaves_the_rest() -> None:
    found = on_wrench(
        ("order = [1]", "order = [1]\nstages = [10, 100]"),
    )
    assert found.rows[0].stages[0].cannot is Why.BELOW
    assert found.rows[0].stages[0].low is None
    assert number(found.rows[0].low) == "167"


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (("error = 4", "error = 9"), Why.ERROR),  # 160/0.91 = 175.8 > 190 x 0.91 = 172.9
        (('graduation = "1 in·lbf"', 'graduation = "50 in·lbf"'), Why.DRAG),
        (('range_max = "300 in·lbf"', 'range_max = "180 in·lbf"'), Why.ABOVE),
        (('range_min = "20 in·lbf"', 'range_min = "170 in·lbf"'), Why.BELOW),
        (('graduation = "1 in·lbf"', 'graduation = "1/3 in·lbf"'), Why.SCALE),
    ],
)
def test_a_wrench_that_cannot_hold_the_window_says_why(change: tuple[str, str], why: Why) -> None:
    assert reason(change) is why


def test_a_scale_without_a_mark_in_the_window_cannot_hold_it() -> None:
    assert reason(NO_DRAG, ('graduation = "1 in·lbf"', 'graduation = "50 in·lbf"')) is Why.MARKS


def test_an_extension_folded_back_over_the_handle_is_no_lever() -> None:
    folded = ('length = "10 in"\n', 'length = "10 in"\nextension = "10 in"\nangle = "180 deg"\n')
    assert reason(folded) is Why.LEVER


def test_the_makers_own_bolts_and_fits_in_words_have_no_setting() -> None:
    assert bolt(('fitted_by = "you"', 'fitted_by = "maker"')).wrenches == ()
    in_words = ('torque_min = "160 in·lbf"\ntorque_max = "190 in·lbf"\n', 'fit = "snug"\n')
    assert bolt(in_words).wrenches == ()
    assert bolt(in_words).low is None


def test_the_place_in_the_order_is_the_makers() -> None:
    found = bolt(("stations = [1]", "stations = [3, 5]"), ("order = [1]", "order = [4, 3]"))
    third, fifth = found.orders
    assert third is not None
    assert third.shown == "2 M"
    assert fifth is None


wrenches = st.fixed_dictionaries(
    {
        "extension": st.integers(0, 12),
        "angle": st.sampled_from([0, 20, 60, 90]),
        "error": st.integers(0, 7),
        "mark": st.sampled_from(["1 in·lbf", "2 in·lbf", "0.2 N·m", "0.5 ft·lbf"]),
        "kind": st.sampled_from(["beam", "click", "click beside a reader"]),
        "low": st.integers(100, 200),
        "wide": st.integers(5, 80),
        "drag": st.integers(15, 40),
    }
)


@settings(max_examples=60, deadline=None)
@given(wrenches)
def test_every_setting_keeps_the_nut_inside_for_either_meaning_of_the_error(case: dict[str, object]) -> None:
    """In the wrench's own unit alone, in few rows, which rise with the drag."""
    found = _found(case)
    assume(isinstance(found, WrenchSettings))
    assert isinstance(found, WrenchSettings)
    assert len(found.rows) <= 6
    lows = [Fraction(row.low.parts.number) for row in found.rows]
    highs = [Fraction(row.high.parts.number) for row in found.rows]
    assert (lows, highs) == (sorted(lows), sorted(highs))
    assert {row.low.parts.second + row.high.parts.second for row in found.rows} <= {""}
    ratio = 10 / (10 + int(str(case["extension"])) * cos(radians(float(str(case["angle"])))))
    low, high = float(str(case["low"])), float(str(case["low"])) + float(str(case["wide"]))
    settings_to_try = [
        (_read(row.drag), setting) for row in found.rows for setting in (_read(row.low), _read(row.high))
    ]
    if found.aim is not None and found.drag_stop is not None:
        most, aim = _read(found.drag_stop), _read(found.aim)
        settings_to_try += [(drag, aim + drag) for drag in (0.0, most / 3, most)]
    for drag, setting in settings_to_try:
        for running, truth in _may_be(case, drag, ratio):
            torque = setting / ratio * truth
            assert low + running - 1e-9 <= torque <= high + running + 1e-9


def _may_be(case: dict[str, object], drag: float, ratio: float) -> Iterator[tuple[float, float]]:
    """Give what a drag that is read may be at the nut, and what a setting may be of its mark.

    Either the truth is off by a share of the reading, or the reading by a share of the truth. What is read and
    set on one scale is off alike; a borrowed wrench is taken to be right.
    """
    for truth in _either_way(float(str(case["error"])) / 100):
        if case["kind"] == "beam":
            yield drag / ratio, truth
            yield drag / ratio * truth, truth
        elif case["kind"] == "click":
            yield drag, truth
        else:
            yield from ((drag * off, truth) for off in _either_way(0.05))


def _either_way(error: float) -> tuple[float, ...]:
    return 1 - error, 1 + error, 1 / (1 - error), 1 / (1 + error)


def _read(figure: Figure | None) -> float:
    assert figure is not None
    inch_pounds = {"in·lbf": 1.0, "ft·lbf": 12.0, "N·m": 1 / 0.1129848290276167}
    return float(figure.parts.number) * inch_pounds[figure.parts.unit]


def _found(case: dict[str, object]) -> WrenchSettings | WrenchCannot:
    low, high = int(str(case["low"])), int(str(case["low"])) + int(str(case["wide"]))
    extension = f'extension = "{case["extension"]} in"\nangle = "{case["angle"]} deg"\n'
    unit = str(case["mark"]).split(" ")[1]
    most = {"in·lbf": 300, "N·m": 40, "ft·lbf": 30}[unit]
    found = bolt(
        ('length = "10 in"\n', f'length = "10 in"\n{extension if case["extension"] else ""}'),
        ("error = 4", f"error = {case['error']}"),
        ('"1 in·lbf"', f'"{case["mark"]}"'),
        ('range_min = "20 in·lbf"', f'range_min = "1 {unit}"'),
        ('range_max = "300 in·lbf"', f'range_max = "{most} {unit}"'),
        ('kind = "beam"', f'kind = "{str(case["kind"]).split(" ")[0]}"'),
        *((READER,) if case["kind"] == "click beside a reader" else ()),
        ("160 in·lbf", f"{low} in·lbf"),
        ("190 in·lbf", f"{high} in·lbf"),
        ('drag_max = "20 in·lbf"', f'drag_max = "{case["drag"]} in·lbf"'),
    ).wrenches
    return found[0]
