"""What a wrench cannot be, on the edge and beyond it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.spec.rules.edges import Edge, judged, one, speaks_just_beyond

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
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)


def test_an_error_of_nothing_and_one_too_large_are_told_apart() -> None:
    assert "no wrench is without error" in judged({"wrenches.0.error": 0})["wrench-error"].why
    assert "more than ten percent" in judged({"wrenches.0.error": 11})["wrench-error"].why
