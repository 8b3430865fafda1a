"""The second unit of every kind of number."""

from __future__ import annotations

import pytest

from cardgen.figures import compute
from tests.figures.specs import spec_of


@pytest.mark.parametrize(
    ("name", "change", "second"),
    # Factors of NIST SP 811: lb 0.45359237 kg, in 25.4 mm, lbf 4.4482216 N, oz 28.349523 g.
    [
        ("rotor.mass", ("80 lb", "80 lb"), "36.29 kg"),  # 36.2874
        ("rotor.mass", ("80 lb", "36 kg"), "79.4 lb"),  # 79.366
        ("aircraft.mass", ("300 kg", "300 kg"), "661.4 lb"),  # 661.39
        (
            "fasteners[1].torque_min",
            ('torque_min = "160 in·lbf"', 'torque_min = "13 ft·lbf"'),
            "17.7 N·m",
        ),  # 17.626
        (
            "fasteners[1].torque_max",
            ('torque_max = "190 in·lbf"', 'torque_max = "20 N·m"'),
            "177 in·lbf",
        ),  # 177.01
        (
            "fasteners[1].torque_min",
            ('torque_min = "160 in·lbf"', 'torque_min = "19 N·m"'),
            "169 in·lbf",
        ),  # 168.17
        ("balance.max_lead", ("60 g", "2 oz"), "56.6 g"),  # 56.699, a most
        ("balance.max_lead", ("60 g", "60 g"), "2.11 oz"),  # 2.1164, a most
        ("balance.cavity_diameter", ('cavity_diameter = "1/2 in"', 'cavity_diameter = "12 mm"'), "0.472 in"),
        ("rotor.diameter", ('"TEST-1"\ndiameter = "24 ft + 0 in"', '"TEST-1"\ndiameter = "24 ft"'), "7.32 m"),
        ("rotor.diameter", ('"TEST-1"\ndiameter = "24 ft + 0 in"', '"TEST-1"\ndiameter = "7.32 m"'), "24.0 ft"),
        ("track.max_total", ("60 thou", "60 thou"), "1.524 mm"),
        ("track.max_total", ("60 thou", "25 thou"), "0.635 mm"),
        ("loads.tip_speed", ("60 thou", "60 thou"), "440 ft/s"),  # 134.06 / 0.3048 = 439.8
        ("loads.disc_loading", ("60 thou", "60 thou"), "1.46 lb/ft²"),  # 7.138 / 0.45359 x 0.092903 = 1.462
        ("loads.pull_per_gram", ("60 thou", "60 thou"), "31.4 lbf/oz"),  # 4.913 / 4.44822 x 28.3495 = 31.31, up
        ("string.shake", ("60 thou", "60 thou"), "93 lbf/in"),  # 16.155 / 4.44822 x 25.4 = 92.25, up
        ("castle.3/8-24.per_thickness", ("60 thou", "60 thou"), "340 deg/mm"),  # 8.64 / 0.0254 = 340.2
    ],
)
def test_a_number_has_the_other_systems_unit_beside_it(name: str, change: tuple[str, str], second: str) -> None:
    assert compute(spec_of(change)).all[name].parts.second == second


@pytest.mark.parametrize(
    ("play", "second"),
    # 25.4 mm to the inch (NIST SP 811); a most is rounded down.
    [
        ("0.04 mm", "0.0015 in"),  # 0.001575
        ("0.3 mm", "0.011 in"),  # 0.01181
        ("0.2 thou", "0.0050 mm"),  # 0.00508
        ("4 thou", "0.101 mm"),  # 0.1016
    ],
)
def test_a_small_limit_keeps_two_digits_in_the_second_unit(play: str, second: str) -> None:
    spec = spec_of(('radial_play = "2 thou"', f'radial_play = "{play}"'))
    assert compute(spec).all["head.radial_play"].parts.second == second


def test_a_small_number_that_bounds_nothing_keeps_two_digits_too() -> None:
    # 0.04 mm is 0.001575 in, nearest 0.0016; 2 g are 0.07055 oz, of which no more than 0.070 are a most.
    spec = spec_of(('tip_support = "1/2 in"', 'tip_support = "0.04 mm"'), ('"60 g"', '"2 g"'))
    figures = compute(spec).all
    assert figures["string.tip_support"].parts.second == "0.0016 in"
    assert figures["balance.max_lead"].parts.second == "0.070 oz"


def test_what_rounds_to_nothing_is_nothing_in_the_second_unit() -> None:
    # A quarter inch asks for 0.25 thou, which no half-thou mark of the dial shows.
    row = compute(spec_of(("30 thou/in", "1 thou/in"))).all["track.row.1.dial"]
    assert (row.parts.number, row.parts.second) == ("0.0", "0.000 mm")


@pytest.mark.parametrize(
    ("lead", "second"),
    # Whole hundreds of newtons: the second goes up to tens of pounds, never finer.
    # 140 lb: 156011 N, up 156100, is 35092.7 lbf; a hundred newtons are 22.5 lbf, so tens.
    [("140 lb", "35100 lbf"), ("30 lb", "7540 lbf")],
)
def test_a_coarse_number_has_a_coarse_second(lead: str, second: str) -> None:
    figures = compute(spec_of(('mass = "30 lb"', f'mass = "{lead}"'))).all
    assert figures["loads.blade_pull"].parts.second == second
