"""A wrench's marks inside a torque window, at the very edges of window, error and range; worked by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cardgen.spec.model.hardware import Wrench
from cardgen.spec.units import magnitude, quantity
from cardgen.spec.windows import (
    CannotHold,
    Why,
    Window,
    WrenchSetting,
    arm,
    at_nut,
    guarded,
    lever_ratio,
    setting,
    stage_at_nut,
    stated_window,
)
from tests.figures.specs import spec_of


def wrench(**keys: str) -> Wrench:
    """A beam wrench without error, 20 to 300 in·lbf, marked at every one, with some of that replaced."""
    base = {"error": "4", "range_min": '"20 in·lbf"', "range_max": '"300 in·lbf"', "graduation": '"1 in·lbf"'}
    changes = [
        (f"{key} = {base[key]}", f"{key} = {keys.get(key, '0' if key == 'error' else base[key])}")
        for key in base
    ]
    lever = 'length = "10 in"\n'
    extra = "".join(f"{key} = {value}\n" for key, value in keys.items() if key not in base)
    (found,) = spec_of(*changes, (lever, lever + extra)).wrenches or ()
    return found


def window(low: str, high: str) -> Window:
    return Window(quantity(Fraction(low), "in·lbf"), quantity(Fraction(high), "in·lbf"))


def marks(low: str, high: str, **keys: str) -> object:
    """Give the lowest and the highest mark, or why there is none."""
    found = setting(window(low, high), wrench(**keys))
    if isinstance(found, CannotHold):
        return found.reason
    assert isinstance(found, WrenchSetting)
    return magnitude(found.low, "in·lbf"), magnitude(found.high, "in·lbf")


def test_the_outermost_marks_lie_inside_the_window() -> None:
    assert marks("100.1", "110.9") == (101, 110)
    assert marks("100", "110") == (100, 110)
    assert marks("100.1", "110.9", graduation='"5 in·lbf"') == (105, 110)


def test_one_mark_in_the_window_is_enough_and_none_is_not() -> None:
    assert marks("100.1", "101.9") == (101, 101)
    assert marks("100.1", "100.9") is Why.MARKS


def test_an_error_may_use_up_the_window_and_no_more() -> None:
    # 81/0.9 is 90 and 100 x 0.9 is 90: the window closes to one torque, which is a mark.
    assert marks("81", "100", error="10") == (90, 90)
    assert marks("81.1", "100", error="10") is Why.ERROR


@pytest.mark.parametrize("error", ["100", "150"])
def test_an_error_as_large_as_the_reading_leaves_nothing(error: str) -> None:
    assert marks("100", "110", error=error) is Why.ERROR
    with pytest.raises(ValueError, match="leaves nothing"):
        guarded(window("100", "110"), wrench(error=error))


def test_a_setting_may_lie_on_either_end_of_the_range() -> None:
    assert marks("20", "300") == (20, 300)
    assert marks("19.5", "30") == (20, 30)
    assert marks("19", "30") is Why.BELOW
    assert marks("290", "300.5") == (290, 300)
    assert marks("290", "301") is Why.ABOVE


def test_an_extension_back_to_the_grip_levers_nothing() -> None:
    folded = {"extension": '"10 in"', "angle": '"180 deg"'}
    assert marks("100", "110", **folded) is Why.LEVER
    with pytest.raises(ValueError, match="folds back"):
        lever_ratio(wrench(**folded))
    # A hair short of the grip there is a lever again, of a tenth of an inch: 10/0.1 shows a hundredfold.
    short = {"extension": '"9.9 in"', "angle": '"180 deg"'}
    assert lever_ratio(wrench(**short)) == 100
    assert marks("2", "2.9", **short) == (200, 290)


def test_the_effective_length_counts_the_extension_along_the_handle() -> None:
    # Cosine of 60 degrees is one half, of 180 degrees less one.
    assert inches(extension='"4 in"') == 14
    assert inches(extension='"4 in"', angle='"60 deg"') == 12
    assert inches(extension='"4 in"', angle='"180 deg"') == 6
    assert arm(wrench()) is None
    assert lever_ratio(wrench()) == 1


def inches(**keys: str) -> Fraction:
    found = arm(wrench(**keys))
    assert found is not None
    return magnitude(found, "in")


def test_a_stage_is_a_share_of_the_window_and_the_drag_on_top() -> None:
    """FAA AC 43.13-1B, 7-40d: drag is added to the torque that is wanted. Half of 160 to 190, and 14."""
    half, drag = quantity(50, "percent"), quantity(14, "in·lbf")
    fastener = spec_of().fasteners[0]
    assert stage_at_nut(fastener, half, drag) == window("94", "109")
    included = spec_of(('drag = "add"', 'drag = "included"')).fasteners[0]
    assert stage_at_nut(included, half, drag) == window("80", "95")


@pytest.mark.parametrize(("preset", "held"), [("100", True), ("110", True), ("99.9", False), ("110.1", False)])
def test_a_preset_wrench_holds_a_window_that_its_one_setting_lies_in(preset: str, held: bool) -> None:
    one = wrench().model_copy(
        update={
            "preset": quantity(Fraction(preset), "in·lbf"),
            **dict.fromkeys(("graduation", "range_min", "range_max")),
        }
    )
    found = setting(window("100", "110"), one)
    assert isinstance(found, WrenchSetting) is held
    assert held or found == CannotHold(Why.PRESET)


@pytest.mark.parametrize("key", ['torque_min = "160 in·lbf"\n', 'torque_max = "190 in·lbf"\n'])
def test_half_a_window_is_none(key: str) -> None:
    fastener = spec_of((key, "")).fasteners[0]
    assert stated_window(fastener) is None
    assert at_nut(fastener, quantity(5, "in·lbf")) is None
    assert stage_at_nut(fastener, quantity(50, "percent"), quantity(5, "in·lbf")) is None
