"""Settings on every wrench: inside the exact window for every drag, or a reason why not."""

from __future__ import annotations

from fractions import Fraction
from math import cos, radians

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from cardgen.figures import Figure, compute
from cardgen.figures.fastening import FastenerFigures
from cardgen.figures.setting_rows import READ_AT_NUT, READ_HERE, WrenchCannot, WrenchSettings
from cardgen.spec.units import magnitude, quantity
from cardgen.spec.windows import Why, Window, at_nut
from tests.figures.specs import spec_of

EXTENSION = ('length = "10 in"\n', 'length = "10 in"\nextension = "4 in"\n')


def bolt(*changes: tuple[str, str]) -> FastenerFigures:
    return compute(spec_of(*changes)).fastening[0]


def on_wrench(*changes: tuple[str, str]) -> WrenchSettings:
    (found,) = bolt(*changes).wrenches
    assert isinstance(found, WrenchSettings), found
    return found


def reason(*changes: tuple[str, str]) -> Why:
    (found,) = bolt(*changes).wrenches
    assert isinstance(found, WrenchCannot), found
    return found.reason


def number(figure: Figure | None) -> str:
    assert figure is not None
    return figure.parts.number


def test_drag_rows_run_evenly_from_none_to_the_most_allowed() -> None:
    rows = on_wrench().rows
    assert [number(row.drag) for row in rows] == ["0", "4", "8", "12", "16", "20"]
    # (160 + 12) / 0.96 = 179.2 and (190 + 12) x 0.96 = 193.9, by hand.
    assert (number(rows[3].low), number(rows[3].high)) == ("180", "193")
    assert (number(rows[3].nut_low), number(rows[3].nut_high)) == ("172", "202")


def test_drag_between_marks_ends_at_the_last_mark() -> None:
    rows = on_wrench(('"20 in·lbf"\nturned_at', '"13 in·lbf"\nturned_at')).rows
    assert [number(row.drag) for row in rows] == ["0", "3", "6", "9", "12", "13"]


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
    # 20 at the nut reads 20 x 10/14 = 14.28 on the wrench.
    assert found.drag_read == READ_HERE
    assert number(found.drag_stop) == "14.2"
    last = found.rows[-1]
    assert number(last.drag) == "14"
    # 14 read is 19.6 at the nut: 179.6 and 209.6; x 10/14 is 128.28 and 149.71; / and x 0.96.
    assert (number(last.nut_low), number(last.nut_high)) == ("180", "209")
    assert (number(last.low), number(last.high)) == ("134", "143")


def test_a_click_wrench_takes_the_drag_as_read_at_the_nut() -> None:
    found = on_wrench(EXTENSION, ('kind = "beam"', 'kind = "click"'))
    assert found.drag_read == READ_AT_NUT
    assert number(found.drag_stop) == "20"
    # 160 + 20 and 190 + 20 at the nut; x 10/14; / and x 0.96.
    assert (number(found.rows[-1].low), number(found.rows[-1].high)) == ("134", "144")


@pytest.mark.parametrize(("most", "shared"), [(20, True), (40, True), (60, False)])
def test_neighbouring_rows_share_a_setting_until_they_stand_too_far_apart(most: int, shared: bool) -> None:
    # The last two rows, by hand. Most 40: (190 + 32) x 0.96 is 213.1, and (160 + 40) / 0.96 is 208.3.
    # Most 60: (190 + 48) x 0.96 is 228.5, and (160 + 60) / 0.96 is 229.2, which is too far up.
    found = on_wrench(('drag_max = "20 in·lbf"', f'drag_max = "{most} in·lbf"'))
    assert found.rows_share == shared
    assert found.stages_share
    assert found.aim is not None


def test_a_stage_may_share_nothing_where_the_full_torque_still_does() -> None:
    found = on_wrench(
        ("order = [1]", "order = [1]\nstages = [50, 100]"),
        ('drag_max = "20 in·lbf"', 'drag_max = "55 in·lbf"'),
        ('torque_min = "160 in·lbf"', 'torque_min = "160.5 in·lbf"'),
        ('torque_max = "190 in·lbf"', 'torque_max = "191.3 in·lbf"'),
    )
    # The last two rows, by hand: (191.3 + 44) x 0.96 is 225.9, read 225, and (160.5 + 55) / 0.96 is
    # 224.5, read 225. Their halves are 112.9, read 112, and 112.2, read 113.
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


def test_stages_are_shares_of_the_final_window() -> None:
    found = on_wrench(("order = [1]", "order = [1]\nstages = [50, 100]"))
    (stage,) = found.rows[0].stages
    assert (number(stage.percent), number(stage.low), number(stage.high)) == ("50", "84", "91")


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
    no_drag = ('drag = "add"\ndrag_max = "20 in·lbf"\n', 'drag = "none"\n')
    assert reason(no_drag, ('graduation = "1 in·lbf"', 'graduation = "50 in·lbf"')) is Why.MARKS


def test_an_extension_folded_back_over_the_handle_is_no_lever() -> None:
    folded = ('length = "10 in"\n', 'length = "10 in"\nextension = "10 in"\nangle = "180 deg"\n')
    assert reason(folded) is Why.LEVER


def test_the_makers_own_bolts_and_fits_in_words_have_no_setting() -> None:
    assert bolt(('fitted_by = "you"', 'fitted_by = "maker"')).wrenches == ()
    in_words = ('torque_min = "160 in·lbf"\ntorque_max = "190 in·lbf"\n', 'fit = "snug"\n')
    assert bolt(in_words).wrenches == ()
    assert bolt(in_words).low is None


def test_the_place_in_the_order_is_the_makers() -> None:
    found = bolt(("station = 1", "station = 3"), ("order = [1]", "order = [4, 3]"))
    assert found.order is not None
    assert found.order.shown == "2 M"


wrenches = st.fixed_dictionaries(
    {
        "extension": st.integers(0, 12),
        "angle": st.sampled_from([0, 20, 60, 90]),
        "error": st.integers(0, 7),
        "mark": st.sampled_from(["1 in·lbf", "2 in·lbf", "0.2 N·m", "0.5 ft·lbf"]),
        "kind": st.sampled_from(["beam", "click"]),
        "low": st.integers(100, 200),
        "wide": st.integers(5, 80),
        "drag": st.integers(15, 40),
    }
)


@settings(max_examples=60, deadline=None)
@given(wrenches)
def test_every_setting_keeps_the_nut_inside_for_either_meaning_of_the_error(case: dict[str, object]) -> None:
    found = _found(case)
    assume(isinstance(found, WrenchSettings))
    assert isinstance(found, WrenchSettings)
    ratio = 10 / (10 + int(str(case["extension"])) * cos(radians(float(str(case["angle"])))))
    error = float(str(case["error"])) / 100
    low, high = float(str(case["low"])), float(str(case["low"])) + float(str(case["wide"]))
    settings_to_try = [
        (_read(row.drag), setting) for row in found.rows for setting in (_read(row.low), _read(row.high))
    ]
    if found.aim is not None and found.drag_stop is not None:
        most = float(magnitude(found.drag_stop.quantity, "in·lbf"))
        aim = _read(found.aim)
        settings_to_try += [(drag, aim + drag) for drag in (0.0, most / 3, most)]
    for drag, setting in settings_to_try:
        at_nut = drag if case["kind"] == "click" else drag / ratio
        # Either the truth is off by a share of the reading, or the reading by a share of the truth.
        for truth in (1 - error, 1 + error, 1 / (1 - error), 1 / (1 + error)):
            torque = setting / ratio * truth
            assert low + at_nut - 1e-9 <= torque <= high + at_nut + 1e-9


@settings(max_examples=30, deadline=None)
@given(wrenches)
def test_a_wrench_is_read_in_its_own_unit_alone_and_rows_rise_with_the_drag(case: dict[str, object]) -> None:
    found = _found(case)
    assume(isinstance(found, WrenchSettings))
    assert isinstance(found, WrenchSettings)
    assert len(found.rows) <= 6
    lows = [Fraction(row.low.parts.number) for row in found.rows]
    highs = [Fraction(row.high.parts.number) for row in found.rows]
    assert lows == sorted(lows)
    assert highs == sorted(highs)
    for row in found.rows:
        assert (row.low.parts.second, row.high.parts.second) == ("", "")


def _read(figure: Figure | None) -> float:
    assert figure is not None
    inch_pounds = {"in·lbf": 1.0, "ft·lbf": 12.0, "N·m": 1 / 0.1129848290276167}
    return float(figure.parts.number) * inch_pounds[figure.parts.unit]


def _found(case: dict[str, object]) -> WrenchSettings | WrenchCannot:
    low, high = int(str(case["low"])), int(str(case["low"])) + int(str(case["wide"]))
    extension = f'extension = "{case["extension"]} in"\nangle = "{case["angle"]} deg"\n'
    unit = str(case["mark"]).split(" ")[1]
    most = {"in·lbf": 300, "N·m": 40, "ft·lbf": 30}[unit]
    (found,) = bolt(
        ('length = "10 in"\n', f'length = "10 in"\n{extension if case["extension"] else ""}'),
        ("error = 4", f"error = {case['error']}"),
        ('"1 in·lbf"', f'"{case["mark"]}"'),
        ('range_min = "20 in·lbf"', f'range_min = "1 {unit}"'),
        ('range_max = "300 in·lbf"', f'range_max = "{most} {unit}"'),
        ('kind = "beam"', f'kind = "{case["kind"]}"'),
        ("160 in·lbf", f"{low} in·lbf"),
        ("190 in·lbf", f"{high} in·lbf"),
        ('drag_max = "20 in·lbf"', f'drag_max = "{case["drag"]} in·lbf"'),
    ).wrenches
    return found
