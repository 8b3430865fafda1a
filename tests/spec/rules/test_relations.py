"""Dimensions that contradict each other, on the edge and beyond it."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Edge, one, speaks_just_beyond

EDGES: list[Edge] = [
    *(one(f"track.{key}", "lever-chord", "0.625", "0.62", "in") for key in ("lever", "dial_lever")),  # 7.5/12
    *(one(f"track.{key}", "lever-chord", "7.5", "7.51", "in") for key in ("lever", "dial_lever")),
    # The adjuster sits at 2.25 in: a quarter of it is 0.5625, 0.7 1.575, one and a half 3.375, three 6.75.
    one("track.dial_lever", "lever-dial", "0.57", "0.5625", "in"),
    one("track.dial_lever", "lever-dial", "6.74", "6.75", "in"),
    one("track.dial_lever", "lever-dial-unlike", "1.575", "1.57", "in"),
    one("track.dial_lever", "lever-dial-unlike", "3.375", "3.38", "in"),
    one("track.dial_lever", "lever-dial-unlike", "0.5625", "0.57", "in"),
    one("track.dial_lever", "lever-dial-unlike", "6.75", "6.74", "in"),
    one("balance.cavity_diameter", "cavity-chord", "0.9375", "0.94", "in"),  # 7.5/8
    one("string.strap_radius", "strap-radius", "8.64", "8.63", "in"),  # 0.06 x 144
    one("string.strap_radius", "strap-radius", "23.04", "23.05", "in"),  # 0.16 x 144
    one("string.mark_spacing", "mark-spacing", "15", "15.01", "in"),
    one("string.checks.0.difference", "string-difference", "0.1", "0.101", "in"),  # 0.4 less 0.3
    (
        "string-difference",
        {"string.checks.0.sweep_max": "0.3 in"},
        {"string.checks.0.sweep_max": "0.301 in"},
    ),
    one("string.checks.0.sweep_max", "string-sweep-wide", "0.75", "0.76", "in"),  # 2.5 x 0.3
    one("pitch.max_difference", "pitch-difference", "0.4", "0.41", "deg"),  # twice 0.2
    # From nothing up there is no ratio: 0 in is not a two and a halfth of anything.
    (
        "string-sweep-wide",
        {"string.checks.0.sweep_min": "0 in"},
        {"string.checks.0.sweep_min": "0.1 in"},
    ),
    one("balance.screw_hole", "screw-hole", "0.333", "0.334", "in"),  # two thirds of 1/2
    one("track.max_split", "split-radius", "4.8", "4.81", "in"),  # 144/30
    one("track.dial_offset", "offset-chord", "3.75", "3.76", "in"),
    one("track.max_total", "total-thread", "250", "250.1", "thou"),  # six turns of 24 to the inch
    one("reflectors.height", "reflector-chord", "3.75", "3.76", "in"),
    (
        "radial-play",
        {"head.bearing_spacing": "1.44 in", "head.radial_play": "10 thou"},  # 0.010/1.44 x 144 is 1 in
        {"head.bearing_spacing": "1.44 in", "head.radial_play": "10.1 thou"},
    ),
    one("teeter.play_max", "teeter-play", "12", "12.1", "thou"),
    one("balance.pivot_bolt", "pivot-teeter", "0.5625", "0.57", "in"),  # an eighth off 1/2
    one("balance.pivot_bolt", "pivot-teeter", "0.4375", "0.43", "in"),
    one("pitch.angle", "pitch-angle-low", "0.5", "0.49", "deg"),
    one("pitch.angle", "pitch-angle-low", "-0.5", "-0.49", "deg"),
    one("pitch.shims.2.thickness", "shim-stacks", "60", "60.1", "thou"),  # one and a half times 40
    one("pitch.shims.2.thickness", "shim-stacks", "26.7", "26.6", "thou"),  # 40 over one and a half
    # A front corner is the leading one, however it is called.
    (
        "shim-stacks",
        {"pitch.shims.2.thickness": "70 thou", "pitch.shims.2.corner": "rear, upper"},
        {"pitch.shims.2.thickness": "70 thou", "pitch.shims.2.corner": "front, upper"},
    ),
    one("tip.cure.1.time", "cure-order", "48", "48.1", "h"),
    one("tip.cure.1.temperature", "cure-order", "10.1", "10", "°C"),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)
