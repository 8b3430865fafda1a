"""What is set and measured on the bench, on the edge and beyond it."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Changes, Edge, one, speaks_just_beyond


def swap(first: str, second: str) -> Changes:
    """Two corners that change places."""
    return {"pitch.swap.corners": [first, second]}


def slug(depth: str, hole: str | None) -> Changes:
    """A cavity of 1/2 in so deep, and the hole for the screw in a slug."""
    return {"balance.cavity_depth": depth} | ({"balance.screw_hole": hole} if hole else {})


EDGES: list[Edge] = [
    one("string.checks.0.sweep_min", "string-sweep-order", "0.39", "0.4", "in"),
    one("pitch.station", "pitch-station", "143.9", "144", "in"),
    one("balance.tip_radius", "tip-radius", "122.4", "122.3", "in"),  # 0.85 x 144
    one("balance.tip_radius", "tip-radius", "144", "144.1", "in"),
    one("shake.trial_mass", "trial-mass", "60", "60.1", "g"),
    (
        "pitch-station",
        {"pitch.station": None, "pitch.not_given": ["station"]},
        {"pitch.station": "144 in"},
    ),
    # Front is leading and rear is trailing: two names for one corner.
    (
        "pitch-shim-twice",
        {"pitch.shims.2.blade": "B", "pitch.shims.2.corner": "front, upper"},
        {"pitch.shims.2.blade": "A", "pitch.shims.2.corner": "front, upper"},
    ),
    ("pitch-swap-unknown", swap("front, upper", "rear, lower"), swap("front, lower", "rear, upper")),
    ("pitch-swap-diagonal", swap("front, upper", "trailing, lower"), swap("front, upper", "leading, upper")),
    ("pitch-swap-diagonal", swap("front, lower", "rear, upper"), swap("front, lower", "rear, lower")),
    ("pitch-swap-diagonal", swap("front, lower", "rear, upper"), swap("front, lower", "front, upper")),
    ("pitch-corner", swap("Leading, upper", "rear lower"), swap("left, upper", "rear, lower")),
    ("pitch-corner", swap("upper, front", "lower, rear"), swap("front", "rear, lower")),
    ("pitch-corner", swap("front, upper", "rear, lower"), swap("front, rear", "rear, lower")),
    # 60 g at 10.90 g/cm3 are 5.5046 cm3. A bore of 12.7 mm with a hole of 4.3 mm leaves 1.12155 cm2: 49.08 mm.
    ("lead-too-long", slug("49.1 mm", "4.3 mm"), slug("49.0 mm", "4.3 mm")),
    # Without a hole 1.26677 cm2: 43.45 mm.
    ("lead-too-long", slug("44 mm", None), slug("44 mm", "4.3 mm")),
    # An adjustable stop has no play, and what has play touches nothing that could be named.
    (
        "teeter-play-stray",
        {"teeter.thrust": "adjustable", "teeter.contact": "both sides", "teeter.play_max": None},
        {"teeter.thrust": "adjustable", "teeter.contact": "both sides"},
    ),
    *(
        (
            "teeter-contact-stray",
            {"teeter.thrust": thrust},
            {"teeter.thrust": thrust, "teeter.contact": "both sides"},
        )
        for thrust in ("bearing", "washer")
    ),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)
