"""Figures that no ordinary rotor has, on the edge and beyond it."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Edge, judged, one, speaks_just_beyond

SPEED = "rotor.normal_speed"

EDGES: list[Edge] = [
    # Angular speed in rad/s is rpm x 2 pi/60; at a radius of 3.6576 m a tip moves rpm x 0.383023 m/s.
    one(SPEED, "tip-speed", "235", "234.9", "rpm"),  # 90 m/s are 234.97
    one(SPEED, "tip-speed", "430.7", "430.9", "rpm"),  # 165 m/s are 430.78
    # What is beyond all rotors is not said twice.
    one(SPEED, "tip-speed", "156.6", "156.7", "rpm"),
    one(SPEED, "tip-speed", "522.2", "522.1", "rpm"),
    # The disc is pi x 3.6576 squared, 42.028 m2.
    one("aircraft.mass", "disc-loading", "189.2", "189.1", "kg"),  # 4.5 kg/m2 are 189.13
    one("aircraft.mass", "disc-loading", "672.4", "672.5", "kg"),  # 16 are 672.45
    one("aircraft.mass", "disc-loading", "126.0", "126.1", "kg"),
    one("aircraft.mass", "disc-loading", "840.6", "840.5", "kg"),
    # 265 kg are carried at a tip speed whose square is 6 x 265 x 9.80665 / (1.225 x 2 x 0.1905 x 3.6576 x 0.5),
    # at 135.16 m/s, 352.87 rpm. 0.65, 0.76, 1.31 and 1.35 of it are 229.37, 268.18, 462.26 and 476.37.
    one(SPEED, "rotor-speed", "229.4", "229.3", "rpm"),
    one(SPEED, "rotor-speed", "476.3", "476.4", "rpm"),
    one(SPEED, "rotor-speed-unlike", "268.2", "268.1", "rpm"),
    one(SPEED, "rotor-speed-unlike", "462.2", "462.3", "rpm"),
    one(SPEED, "rotor-speed-unlike", "229.3", "229.4", "rpm"),
    one(SPEED, "rotor-speed-unlike", "476.4", "476.3", "rpm"),
    # 26 lb at 73 in and 350 rpm pull 29.376 kN on two bolts of 71.256 mm2 in two planes: 103.07 N/mm2.
    # 250 N/mm2 are 63.06 lb; without a centre, taken at 72 in, 63.94 lb.
    one("blades.mass", "blade-pull", "63.0", "63.1", "lb"),
    (
        "blade-pull",
        {"blades.mass": "63.9 lb", "blades.mass_centre": None},
        {"blades.mass": "64.0 lb", "blades.mass_centre": None},
    ),
    # A bolt of the maker's, its thread not given, counts as one more of the others: three share the pull.
    (
        "blade-pull",
        {"blades.mass": "70 lb", "fasteners.1.stations": [2, 3]},
        {"blades.mass": "70 lb"},
    ),
    (
        "blade-pull",
        {"blades.mass": "63.0 lb", "fasteners.1.thread": None, "fasteners.1.fitted_by": "maker"},
        {"blades.mass": "63.1 lb", "fasteners.1.thread": None, "fasteners.1.fitted_by": "maker"},
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


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)


def test_two_blades_as_heavy_as_the_rotor_and_far_lighter_ones_are_told_apart() -> None:
    assert "weigh as much as that or more" in judged({"rotor.mass": "52 lb"})["mass-sum"].why
    assert "are only 50%" in judged({"rotor.mass": "104.1 lb"})["mass-sum"].why
