"""Every rule that compares a value with a limit, on the limit and just beyond it.

The rotor is that of `base.toml`: diameter 24 ft (288 in, 7.3152 m), chord 7+1/2 in, 350 rpm, blades of 26 lb.
Where a limit is not simply stated, the sum that gives its value on this rotor stands beside it.
"""

from __future__ import annotations

import tomllib
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from cardgen.spec.load import load_bytes
from cardgen.spec.problem import Problem
from tests.bench.mutants import write
from tests.bench.safety import at

TODAY = date(2026, 6, 1)

Changes = dict[str, Any]
#: A rule, what is changed so that it just says nothing, and what so that it just speaks.
Edge = tuple[str, Changes, Changes]


@cache
def _base() -> bytes:
    return Path(__file__).with_name("base.toml").read_bytes()


def judged(changes: Changes) -> dict[str, Problem]:
    """Give what is found in the base with some values changed, by rule; a change to None takes a key out."""
    table: dict[str, Any] = tomllib.loads(_base().decode(), parse_float=Decimal)
    for key, value in changes.items():
        *place, last = (int(part) if part.isdigit() else part for part in key.split("."))
        group = at(table, tuple(place))
        if value is None:
            del group[last]
        else:
            group[last] = value
    loaded = load_bytes(write(table), "base.toml", TODAY)
    return {found.rule: found for found in (*loaded.warnings, *loaded.problems)}


def one(key: str, rule: str, quiet: str, loud: str, unit: str) -> Edge:
    """One key, at the last value that is allowed and at the next one that is not."""
    return rule, {key: f"{quiet} {unit}"}, {key: f"{loud} {unit}"}


# Angular speed in rad/s is rpm x 2 pi/60; at a radius of 3.6576 m a tip moves rpm x 0.383023 m/s.
SPEED = "rotor.normal_speed"
TIP_SPEEDS = [
    one(SPEED, "tip-speed", "235", "234.9", "rpm"),  # 90 m/s are 234.97
    one(SPEED, "tip-speed", "430.7", "430.9", "rpm"),  # 165 m/s are 430.78
    one(SPEED, "bounds-tip-speed", "156.7", "156.6", "rpm"),  # 60 m/s are 156.65
    one(SPEED, "bounds-tip-speed", "522.1", "522.2", "rpm"),  # 200 m/s are 522.16
    # What is beyond all rotors is not said twice.
    one(SPEED, "tip-speed", "156.6", "156.7", "rpm"),
    one(SPEED, "tip-speed", "522.2", "522.1", "rpm"),
]
# The disc is pi x 3.6576 squared, 42.028 m2.
LOADINGS = [
    one("aircraft.mass", "disc-loading", "189.2", "189.1", "kg"),  # 4.5 kg/m2 are 189.13
    one("aircraft.mass", "disc-loading", "672.4", "672.5", "kg"),  # 16 are 672.45
    one("aircraft.mass", "bounds-disc-loading", "126.1", "126.0", "kg"),  # 3 are 126.08
    one("aircraft.mass", "bounds-disc-loading", "840.5", "840.6", "kg"),  # 20 are 840.56
    one("aircraft.mass", "disc-loading", "126.0", "126.1", "kg"),
    one("aircraft.mass", "disc-loading", "840.6", "840.5", "kg"),
]
# 265 kg are carried at the tip speed whose square is 6 x 265 x 9.80665 / (1.225 x 2 x 0.1905 x 3.6576 x 0.5):
# 135.16 m/s, 352.87 rpm. 0.65, 0.76, 1.31 and 1.35 of it are 229.37, 268.18, 462.26 and 476.37.
CARRYING = [
    one(SPEED, "rotor-speed", "229.4", "229.3", "rpm"),
    one(SPEED, "rotor-speed", "476.3", "476.4", "rpm"),
    one(SPEED, "rotor-speed-unlike", "268.2", "268.1", "rpm"),
    one(SPEED, "rotor-speed-unlike", "462.2", "462.3", "rpm"),
    one(SPEED, "rotor-speed-unlike", "229.3", "229.4", "rpm"),
    one(SPEED, "rotor-speed-unlike", "476.4", "476.3", "rpm"),
]
# 26 lb at 73 in and 350 rpm pull 29.376 kN on two bolts of 71.256 mm2 in two planes: 103.07 N/mm2.
# 250 N/mm2 are 63.06 lb; without a centre, taken at 72 in, 63.94 lb.
MASSES = [
    one("blades.mass", "blade-pull", "63.0", "63.1", "lb"),
    (
        "blade-pull",
        {"blades.mass": "63.9 lb", "blades.mass_centre": None},
        {"blades.mass": "64.0 lb", "blades.mass_centre": None},
    ),
    one("rotor.mass", "mass-sum", "52.1", "52", "lb"),  # two blades of 26
    one("rotor.mass", "mass-sum", "104", "104.1", "lb"),
    one("blades.mass_centre", "mass-centre", "57.6", "57.5", "in"),  # 0.4 x 144
    one("blades.mass_centre", "mass-centre", "93.6", "93.7", "in"),  # 0.65 x 144
    ("blade-slender", {"rotor.diameter": "15 ft + 0 in"}, {"rotor.diameter": "14 ft + 11+1/2 in"}),  # 12 chords
    ("blade-slender", {"rotor.diameter": "35 ft + 0 in"}, {"rotor.diameter": "35 ft + 1/2 in"}),  # 28 chords
    # A blade is 0.1905 x 3.6576 = 0.69677 m2: 8 kg/m2 are 5.5742 kg, 32 are 22.297 kg.
    one("blades.mass", "blade-mass", "5.58", "5.57", "kg"),
    one("blades.mass", "blade-mass", "22.29", "22.30", "kg"),
]
RELATIONS = [
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
    one("string.checks.0.difference", "string-difference", "0.099", "0.1", "in"),  # 0.4 less 0.3
    (
        "string-difference",
        {"string.checks.0.sweep_max": "0.3 in"},
        {"string.checks.0.sweep_max": "0.301 in"},
    ),
    one("string.checks.0.sweep_max", "string-sweep-wide", "0.75", "0.76", "in"),  # 2.5 x 0.3
    one("pitch.max_difference", "pitch-difference", "0.39", "0.4", "deg"),  # twice 0.2
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
    one("tip.cure.1.time", "cure-order", "48", "48.1", "h"),
    one("tip.cure.1.temperature", "cure-order", "10.1", "10", "°C"),
]
# AC 43.13-1B, table 7-1, 3/8-24 with a tension nut: 160 to 190, at most 390 in·lbf.
TORQUES = [
    (
        rule,
        {f"fasteners.0.{key}": f"{value} in·lbf" for key, value in quiet.items()},
        {f"fasteners.0.{key}": f"{value} in·lbf" for key, value in loud.items()},
    )
    for rule, quiet, loud in (
        # A quarter above 190 is 237.5; a quarter below 160 is what gives 160 with a quarter on top, 128.
        ("torque-unlike-handbook", {"torque_max": "237.5"}, {"torque_max": "237.6"}),
        ("torque-unlike-handbook", {"torque_max": "390.1"}, {"torque_max": "390"}),
        ("torque-unlike-handbook", {"torque_min": "128"}, {"torque_min": "127.9"}),
        ("torque-unlike-handbook", {"torque_min": "79.9"}, {"torque_min": "80"}),
        ("torque-thread-bounds", {"torque_min": "80"}, {"torque_min": "79.9"}),
        ("torque-thread-bounds", {"torque_max": "390"}, {"torque_max": "390.1"}),
        ("torque-window-wide", {"torque_max": "280.5"}, {"torque_max": "280.6"}),  # 1.7 x 165
        ("drag-large", {"drag_max": "110"}, {"drag_max": "110.1"}),  # two thirds of 165
        ("torque-order", {"torque_min": "189.9"}, {"torque_min": "190"}),
    )
]
LOCK = {"track.adjuster_torque_min": "100 in·lbf"}
TORQUES += [
    (
        "torque-window-wide",
        {**LOCK, "track.adjuster_torque_max": "170 in·lbf"},
        {**LOCK, "track.adjuster_torque_max": "170.1 in·lbf"},
    ),
    (
        "track-torque-order",
        {**LOCK, "track.adjuster_torque_max": "100.1 in·lbf"},
        {**LOCK, "track.adjuster_torque_max": "100 in·lbf"},
    ),
]
WRENCHES = [
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
BENCH = [
    one("string.checks.0.sweep_min", "string-sweep-order", "0.39", "0.4", "in"),
    one("pitch.station", "pitch-station", "143.9", "144", "in"),
    one("balance.tip_radius", "tip-radius", "122.4", "122.3", "in"),  # 0.85 x 144
    one("balance.tip_radius", "tip-radius", "144", "144.1", "in"),
    one("shake.trial_mass", "trial-mass", "60", "60.1", "g"),
]
URL = "https://log.example.org/"
RUNNING = [
    ("run-speed-high", {"run.track_speeds": ["385 rpm"]}, {"run.track_speeds": ["385.1 rpm"]}),  # 1.1 x 350
    ("run-speed-high", {"run.ground_speeds": ["385 rpm"]}, {"run.ground_speeds": ["385.1 rpm"]}),
    (
        "run-speed-order",
        {"run.ground_speeds": ["150 rpm", "150.1 rpm"]},
        {"run.ground_speeds": ["150 rpm", "150 rpm"]},
    ),
    ("track-speed-low", {"run.track_speeds": ["210 rpm"]}, {"run.track_speeds": ["209.9 rpm"]}),  # 0.6 x 350
    one("run.clear_radius", "clear-radius", "7.3152", "7.315", "m"),
    (
        "form-url-long",
        {"log.form_url": URL + "a" * (89 - len(URL)) + "/"},
        {"log.form_url": URL + "a" * (90 - len(URL)) + "/"},
    ),
    ("document-date-future", {"documents.0.date": TODAY}, {"documents.0.date": date(2026, 6, 2)}),
    ("use-until-past", {"authority.use_until": TODAY}, {"authority.use_until": date(2026, 5, 31)}),
    # Five years of 366 days: 1826 days to 1 June 2031, and four more.
    (
        "use-until-far",
        {"authority.use_until": date(2031, 6, 5)},
        {"authority.use_until": date(2031, 6, 6)},
    ),
    ("override-date-future", {"overrides.0.date": TODAY}, {"overrides.0.date": date(2026, 6, 2)}),
    ("stages-rising", {"tightening.stages": [99, 100]}, {"tightening.stages": [100, 100]}),
    ("stages-end", {"tightening.stages": [1, 100]}, {"tightening.stages": [0, 100]}),
    ("stages-end", {"tightening.stages": [50, 100]}, {"tightening.stages": [50, 99]}),
    ("stages-end", {"tightening.stages": [50, 100]}, {"tightening.stages": [50, 101]}),
    ("station-gap", {"fasteners.1.station": 2}, {"fasteners.1.station": 3}),
    ("abreast-order", {"fasteners.1.abreast_of": 1}, {"fasteners.1.abreast_of": 2}),
    ("abreast-order", {"fasteners.1.abreast_of": 1}, {"fasteners.0.abreast_of": 2}),
    ("abreast-unknown", {"fasteners.1.abreast_of": 1}, {"fasteners.1.abreast_of": 3}),
]


def points(*rules: tuple[str, str]) -> Changes:
    """Two or more of the maker's points, between which values are allowed."""
    stated = [{"diameter": size, "chord": "7+1/2 in", "rule": f"{rule} thou/in"} for size, rule in rules]
    return {"track.points": stated, "track.interpolate": True}


def chord(inches: str) -> Changes:
    """The one point of this rotor, stated for another chord."""
    return {"track.points": [{"diameter": "24 ft + 0 in", "chord": f"{inches} in", "rule": "26 thou/in"}]}


def stated(thou: str) -> Changes:
    """The one point of this rotor, with another rule."""
    return {"track.points": [{"diameter": "24 ft + 0 in", "chord": "7+1/2 in", "rule": f"{thou} thou/in"}]}


TRACK = [
    ("track-points-order", points(("22 ft", "30"), ("26 ft", "24")), points(("26 ft", "24"), ("22 ft", "30"))),
    (
        "track-point-twice",
        points(("24 ft", "26"), ("24 ft + 0.51 in", "26")),
        points(("24 ft", "26"), ("24 ft + 0.5 in", "26")),
    ),
    (
        "track-points-unlike",
        points(("22 ft", "26"), ("26 ft", "26")),
        points(("22 ft", "26"), ("26 ft", "26.1")),
    ),
    (
        "track-points-unlike",
        points(("22 ft", "30"), ("26 ft", "20")),
        points(("22 ft", "30.1"), ("26 ft", "20")),
    ),
    ("track-chord", chord("7.734375"), chord("7.735")),  # 7.5/32 is 0.234375
    ("track-chord", chord("7.265625"), chord("7.265")),
    one("track.max_total", "track-table-short", "52", "51.9", "thou"),  # 2 in of 26
    one("track.max_total", "track-total-large", "98.8", "98.9", "thou"),  # 1.9 x 52
    # The estimate of one blade: inertia 11.7934 x 3.6576 squared / 3 = 52.590; Lock number 1.225 x 5.73 x
    # 0.1905 x 3.6576 to the fourth / 52.590 = 4.5506; rule 16 x 0.05715 / (4.5506 x 7.3152), 27.469 thou/in.
    ("track-rule-unlike", stated("45.8"), stated("45.9")),  # 1.67 of it is 45.874
    ("track-rule-unlike", stated("16.5"), stated("16.4")),  # over 1.67, 16.449
    ("track-rule-unlike", stated("82.5"), stated("82.3")),  # three times, 82.408
    ("track-rule-unlike", stated("9.1"), stated("9.2")),  # a third, 9.156
    ("track-rule-physics", stated("82.3"), stated("82.5")),
    ("track-rule-physics", stated("9.2"), stated("9.1")),
]
EDGES: list[Edge] = [
    *TIP_SPEEDS,
    *LOADINGS,
    *CARRYING,
    *MASSES,
    *RELATIONS,
    *TORQUES,
    *WRENCHES,
    *BENCH,
    *RUNNING,
    *TRACK,
]


@pytest.mark.parametrize("edge", EDGES, ids=[f"{at}-{edge[0]}" for at, edge in enumerate(EDGES)])
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    rule, quiet, loud = edge
    assert rule not in judged(quiet)
    assert rule in judged(loud)


@pytest.mark.parametrize(
    ("thou", "words"),
    [
        # Half of the 27.469 expected of one blade is 13.73, and half as much again of that is 20.6.
        ("16.4", 'if the basis were "amount on each" or "whole bar"'),
        ("9.2", 'if the basis were "amount on each" or "whole bar"'),  # 13.73 over one and a half is 9.156
        ("9.1", "No other basis or split would bring the two together"),
        ("45.9", 'if the split were "half"'),
        ("82.3", 'if the split were "half"'),  # halved 41.15, and one and a half times 27.469 is 41.2
        ("82.5", "No other basis or split would bring the two together"),
    ],
)
def test_what_alone_would_explain_a_rule_is_named_and_nothing_else(thou: str, words: str) -> None:
    found = judged(stated(thou))
    (problem,) = [found[rule] for rule in ("track-rule-unlike", "track-rule-physics") if rule in found]
    assert words in problem.why


def test_a_bound_allows_its_own_ends() -> None:
    # "12 to 40 ft" and "4 to 14 in", as the rule's own meaning says.
    for key, rule, ends, beyond in (
        ("rotor.diameter", "bounds-diameter", ("12 ft", "40 ft"), ("11.99 ft", "40.01 ft")),
        ("blades.chord", "bounds-chord", ("4 in", "14 in"), ("3.99 in", "14.01 in")),
        ("pitch.angle", "bounds-pitch-angle", ("-2 deg", "8 deg"), ("-2.01 deg", "8.01 deg")),
    ):
        assert [rule in judged({key: value}) for value in ends] == [False, False]
        assert [rule in judged({key: value}) for value in beyond] == [True, True]
    assert "is below anything" in judged({"blades.chord": "3.99 in"})["bounds-chord"].why
    assert "is above anything" in judged({"blades.chord": "14.01 in"})["bounds-chord"].why


def test_two_blades_as_heavy_as_the_rotor_and_far_lighter_ones_are_told_apart() -> None:
    assert "weigh as much as that or more" in judged({"rotor.mass": "52 lb"})["mass-sum"].why
    assert "are only 50%" in judged({"rotor.mass": "104.1 lb"})["mass-sum"].why


def test_an_error_of_nothing_and_one_too_large_are_told_apart() -> None:
    assert "no wrench is without error" in judged({"wrenches.0.error": 0})["wrench-error"].why
    assert "more than ten percent" in judged({"wrenches.0.error": 11})["wrench-error"].why
