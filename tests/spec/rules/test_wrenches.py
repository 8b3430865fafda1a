"""What a wrench cannot be, on the edge and beyond it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from tests.spec.rules.edges import TODAY, Changes, Edge, judged, one, speaks_just_beyond

#: The wrench of the base as a preset one, its extension taken off: what it shows is what the nut gets.
PRESET: Changes = {
    "wrenches.0.kind": "preset",
    "wrenches.0.preset": "180 in·lbf",
    **{f"wrenches.0.{key}": None for key in ("range_min", "range_max", "graduation", "extension", "angle")},
}
NO_DRAG: Changes = {
    f"fasteners.{place}.{key}": value
    for place in (0, 1)
    for key, value in (("drag", "included"), ("drag_max", None))
}


def preset(torque: str, changes: Changes = NO_DRAG) -> Changes:
    """One preset wrench, of an error of 4 percent, for a window of 165 to 190 in·lbf."""
    return {**PRESET, **changes, "wrenches.0.preset": f"{torque} in·lbf"}


EDGES: list[Edge] = [
    one("wrenches.0.range_min", "wrench-range", "249.9", "250", "in·lbf"),
    one("wrenches.0.range_min", "wrench-range-narrow", "100", "100.1", "in·lbf"),  # two fifths of 250
    one("wrenches.0.range_min", "wrench-range-narrow", "250", "249.9", "in·lbf"),
    (
        "wrench-graduation",  # 16 to 256 is fifteen steps of 16
        {
            f"wrenches.0.{key}": f"{value} in·lbf"
            for key, value in (("range_min", 16), ("range_max", 256), ("graduation", 16))
        },
        {
            f"wrenches.0.{key}": f"{value} in·lbf"
            for key, value in (("range_min", 17), ("range_max", 256), ("graduation", 16))
        },
    ),
    one(
        "wrenches.0.graduation", "wrench-graduation", "2.5", "3", "in·lbf"
    ),  # 250 is a hundred of them, or no whole number
    (
        "wrench-graduation",  # without a range there is nothing to divide
        {"wrenches.0.range_min": "250 in·lbf", "wrenches.0.graduation": "3 in·lbf"},
        {"wrenches.0.range_min": "249 in·lbf", "wrenches.0.graduation": "3 in·lbf"},
    ),
    ("wrench-error", {"wrenches.0.error": 10}, {"wrenches.0.error": Decimal("10.1")}),
    ("wrench-error", {"wrenches.0.error": Decimal("0.1")}, {"wrenches.0.error": 0}),
    one("wrenches.0.angle", "wrench-angle", "90", "90.1", "deg"),
    one("wrenches.0.angle", "wrench-angle", "0", "-0.1", "deg"),
    one("wrenches.0.extension", "wrench-extension", "10", "10.1", "in"),
    one("wrenches.0.range_max", "wrench-pull", "1500", "1501", "in·lbf"),  # 150 lbf at 10 in
    (
        "wrench-pull",  # 2 lbf at 30 in
        {"wrenches.0.range_max": "60 in·lbf", "wrenches.0.length": "30 in"},
        {"wrenches.0.range_max": "59 in·lbf", "wrenches.0.length": "30 in"},
    ),
    # A length is asked for with an extension alone.
    (
        "wrench-length-missing",
        {f"wrenches.0.{key}": None for key in ("length", "extension", "angle")},
        {"wrenches.0.length": None},
    ),
    *(
        ("wrench-scale-missing", {**PRESET, **NO_DRAG}, {f"wrenches.0.{key}": None})
        for key in ("range_min", "range_max", "graduation")
    ),
    *(
        ("wrench-scale-stray", {**PRESET, **NO_DRAG}, {**PRESET, **NO_DRAG, f"wrenches.0.{key}": "20 in·lbf"})
        for key in ("range_min", "range_max", "graduation")
    ),
    ("wrench-preset-missing", preset("180"), {"wrenches.0.kind": "preset"}),
    ("wrench-preset-stray", preset("180"), {"wrenches.0.preset": "180 in·lbf"}),
    # 165/0.96 is 171.875, and 190 x 0.96 is 182.4 in·lbf.
    ("wrench-cannot", preset("171.9"), preset("171.8")),
    ("wrench-cannot", preset("182.4"), preset("182.5")),
    # With a drag of up to 25 the nut takes up to 215, on the wrench 215 x 0.96 = 206.4 in·lbf.
    ("wrench-cannot", preset("206.4", {}), preset("206.5", {})),
    # With the most drag 165 + 25 are 190, and 190/0.96 is 197.92 in·lbf.
    ("wrench-cannot-dragging", preset("198", {}), preset("197.9", {})),
    ("drag-unreadable", {}, {"wrenches.0.kind": "click"}),
    ("drag-unreadable", preset("198"), preset("198", {})),
    (
        "wrench-calibration-past",
        {"wrenches.0.calibrated_until": TODAY},
        {"wrenches.0.calibrated_until": date(2026, 5, 31)},
    ),
    # The cards of the base may be used until 30 November 2027.
    (
        "wrench-calibration-short",
        {"wrenches.0.calibrated_until": date(2027, 11, 30)},
        {"wrenches.0.calibrated_until": date(2027, 11, 29)},
    ),
    (
        "wrench-calibration-short",  # What has ended already is said by its own rule.
        {"wrenches.0.calibrated_until": date(2026, 5, 31)},
        {"wrenches.0.calibrated_until": TODAY},
    ),
    # Five years of 366 days: 1826 days to 1 June 2031, and four more.
    (
        "wrench-calibration-far",
        {"wrenches.0.calibrated_until": date(2031, 6, 5)},
        {"wrenches.0.calibrated_until": date(2031, 6, 6)},
    ),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)


def test_an_error_of_nothing_and_one_too_large_are_told_apart() -> None:
    assert "no wrench is without error" in judged({"wrenches.0.error": 0})["wrench-error"].why
    assert "more than ten percent" in judged({"wrenches.0.error": 11})["wrench-error"].why


def test_a_preset_wrench_that_holds_the_window_is_as_good_as_any() -> None:
    assert judged(preset("178")).keys() == {"override-unused"}


def test_the_reason_of_a_preset_wrench_is_its_one_setting() -> None:
    assert "its one setting lies outside" in judged(preset("150"))["wrench-cannot"].why


def test_a_calibration_need_not_be_given() -> None:
    assert judged({"wrenches.0.calibrated_until": None}).keys() == {"override-unused"}


def test_a_scale_may_begin_at_nothing() -> None:
    assert judged({"wrenches.0.range_min": "0 in·lbf"}).keys() == {"override-unused"}
