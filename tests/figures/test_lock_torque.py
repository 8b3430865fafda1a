"""The adjuster's lock and the tip screw as settings on named wrenches; worked by hand."""

from __future__ import annotations

import pytest

from cardgen.figures import compute
from cardgen.figures.lock_torque import LockSetting
from cardgen.spec.windows import Why
from tests.figures.specs import spec_of, track_change

LOCK = track_change(adjuster_torque_min='"60 in·lbf"', adjuster_torque_max='"80 in·lbf"')
EXTENSION = ('length = "10 in"\n', 'length = "10 in"\nextension = "4 in"\n')
BEAM = (
    'kind = "beam"\nlength = "10 in"\nerror = 4\n'
    'range_min = "20 in·lbf"\nrange_max = "300 in·lbf"\ngraduation = "1 in·lbf"\n'
)
SCREW = (
    "[teeter]",
    '[tip]\nscrews = "two"\nscrew_torque = "30 in·lbf"\nthreadlocker = "medium"\nbreather_at = "gap"\n'
    'breather_test = "bulb"\ndriver = "bit"\nsource = "MK p.9"\n\n[teeter]',
)


def preset(inch_pounds: int) -> tuple[str, str]:
    return BEAM, f'kind = "preset"\nerror = 4\npreset = "{inch_pounds} in·lbf"\n'


def only(subject: str, *changes: tuple[str, str]) -> LockSetting:
    (found,) = [lock for lock in compute(spec_of(*changes)).locks if lock.subject == subject]
    (setting,) = found.settings
    return setting


def window(setting: LockSetting) -> tuple[str, str]:
    assert setting.low is not None and setting.high is not None
    return setting.low.parts.number, setting.high.parts.number


def test_the_lock_is_guarded_as_a_bolt_is() -> None:
    # 60 / 0.96 is 62.5, up; 80 x 0.96 is 76.8, down.
    assert window(only("adjuster", *LOCK)) == ("63", "76")


def test_an_extension_lowers_what_is_set() -> None:
    # A bare 80 on this wrench would be 112 at the nut. 60 x 10/14 / 0.96 is 44.6; 80 x 10/14 x 0.96 is 54.9.
    setting = only("adjuster", *LOCK, EXTENSION)
    assert window(setting) == ("45", "54")
    assert setting.low is not None
    assert "wrenches[1].extension" in setting.low.inputs


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (("error = 4", "error = 14"), Why.ERROR),  # 60 / 0.86 = 69.8, 80 x 0.86 = 68.8
        (('graduation = "1 in·lbf"', 'graduation = "50 in·lbf"'), Why.MARKS),
        (('range_min = "20 in·lbf"', 'range_min = "64 in·lbf"'), Why.BELOW),
        (('range_max = "300 in·lbf"', 'range_max = "75 in·lbf"'), Why.ABOVE),
        (('graduation = "1 in·lbf"', 'graduation = "1/3 in·lbf"'), Why.SCALE),
        (preset(70), None),
        (preset(77), Why.PRESET),  # above 76.8
    ],
)
def test_a_wrench_that_cannot_lock_it_says_why(change: tuple[str, str], why: Why | None) -> None:
    setting = only("adjuster", *LOCK, change)
    assert setting.cannot is why
    assert (setting.low is None) is (why is not None)


def test_only_wrenches_that_can_are_named() -> None:
    assert [lock.serves for lock in compute(spec_of(*LOCK, ("error = 4", "error = 14"))).locks] == [()]


@pytest.mark.parametrize(
    ("changes", "at"),
    # 30 as it is; 30 x 10/14 is 21.4.
    [((), "30"), ((EXTENSION,), "21"), ((preset(31),), "31")],
)
def test_a_tip_screw_is_set_to_the_nearest_mark(changes: tuple[tuple[str, str], ...], at: str) -> None:
    setting = only("tip", SCREW, *changes)
    assert setting.at is not None
    assert (setting.at.parts.number, setting.at.parts.second, setting.cannot) == (at, "", None)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        (('range_min = "20 in·lbf"', 'range_min = "31 in·lbf"'), Why.BELOW),
        (('range_max = "300 in·lbf"', 'range_max = "29 in·lbf"'), Why.ABOVE),
        (('graduation = "1 in·lbf"', 'graduation = "20 in·lbf"'), Why.MARKS),  # 40 is a third too much
        (('graduation = "1 in·lbf"', 'graduation = "1/3 in·lbf"'), Why.SCALE),
        (preset(32), Why.PRESET),  # 4 percent of 30 are 1.2
        (('length = "10 in"\n', 'length = "10 in"\nextension = "10 in"\nangle = "180 deg"\n'), Why.LEVER),
    ],
)
def test_a_wrench_that_cannot_set_the_screw_says_why(change: tuple[str, str], why: Why) -> None:
    setting = only("tip", SCREW, change)
    assert (setting.cannot, setting.at) == (why, None)


def test_without_a_stated_torque_there_is_no_setting() -> None:
    assert compute(spec_of()).locks == ()
