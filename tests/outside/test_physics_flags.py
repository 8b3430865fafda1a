"""The physics behind the flags, against an integration of the motion itself and against published tables."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest
from scipy.constants import g as standard_gravity
from scipy.integrate import solve_ivp

from cardgen.spec import physics
from cardgen.spec.physics import Blade
from cardgen.spec.rules.bench_values import _LIGHTEST_LEAD, _PI
from cardgen.spec.rules.thread_table import ROWS
from cardgen.spec.units import quantity

#: A made-up rotor: radius 15 ft, chord 8.5 in, a uniform blade of 15 kg.
BLADE = Blade(4.572, 0.2159, 15.0)
#: Blade pitch in radians, plus on one blade and minus on the other.
PITCH = 0.003


def settled_split(blade: Blade, first: float, second: float, speed: float = 37.7) -> float:
    """Integrate the teetering of two rigid blades, element by element, until it settles; give the split in m.

    Each element is lifted by rho/2 a c u^2 (pitch - v/u), with u along the disc and v across it. The bar
    carries both blades, so their flapping moments add with opposite signs.
    """
    edges = np.linspace(0, blade.radius, 401)
    middles, width = (edges[1:] + edges[:-1]) / 2, edges[1]
    inertia = float(np.sum(blade.mass / blade.radius * middles**2 * width))
    along = speed * middles
    half = 1.225 * 5.73 * blade.chord / 2 * width * middles * along**2

    def moment(pitch: float, rate: float) -> float:
        return float(np.sum(half * (pitch - rate * middles / along)))

    def motion(_: float, state: np.ndarray) -> list[float]:
        angle, rate = state
        pull = -2 * inertia * speed**2 * angle
        return [rate, (moment(first, rate) - moment(second, -rate) + pull) / (2 * inertia)]

    turns = solve_ivp(motion, (0, 40 * 2 * math.pi / speed), [0.0, 0.0], rtol=1e-9, atol=1e-12)
    return 2 * blade.radius * float(turns.y[0, -1])


def test_lock_number_of_the_made_up_blade_by_hand() -> None:
    # rho a c R^4 / I with I = 15 x 4.572^2 / 3 = 104.516 kg m2, by hand.
    assert BLADE.flap_inertia == pytest.approx(104.516, rel=1e-5)
    assert BLADE.lock_number == pytest.approx(6.335571, rel=1e-6)


def test_split_of_the_integrated_motion_is_that_of_the_formula() -> None:
    split = settled_split(BLADE, PITCH, -PITCH)
    assert split / 0.0254 == pytest.approx(0.855302, rel=1e-3)
    assert split == pytest.approx(2 * BLADE.radius * BLADE.lock_number * 2 * PITCH / 16, rel=1e-3)


def test_split_does_not_depend_on_the_speed() -> None:
    slow, fast = (settled_split(BLADE, PITCH, 0, speed) for speed in (25.0, 45.0))
    assert slow == pytest.approx(fast, rel=1e-6)


# What one unit of adjustment turns each blade by, in lever lengths: the rule is the move of the one
# adjuster, the sum of two opposite moves, each of them, or the move of the bar that tilts both.
@pytest.mark.parametrize(
    ("basis", "first", "second"),
    [
        ("one blade", 1.0, 0.0),
        ("total of both", 0.5, -0.5),
        ("amount on each", 1.0, -1.0),
        ("whole bar", 1.0, -1.0),
    ],
)
def test_rate_of_each_basis_agrees_with_the_integrated_motion(basis: str, first: float, second: float) -> None:
    lever, move = 0.05, 0.0002
    split = settled_split(BLADE, first * move / lever, second * move / lever)
    assert physics.track_rate(BLADE, lever, basis) == pytest.approx(move / split, rel=1e-3)


def test_rate_is_sixteen_thousand_levers_by_lock_number_and_diameter_in_inches() -> None:
    # gamma 4.16 and 27.9 thou/in were worked out by hand for 23 ft, 7+3/4 in, 27 lb and a lever of 2 in.
    feet, chord, mass = quantity(23, "ft"), quantity(Fraction(31, 4), "in"), quantity(27, "lb")
    blade = Blade.of(feet, chord, mass)
    assert blade.lock_number == pytest.approx(4.16, abs=0.005)
    assert 1000 * physics.track_rate(blade, 0.0508, "one blade") == pytest.approx(27.9, abs=0.05)


def test_tip_speed_pull_and_loading_by_hand() -> None:
    # 360 rev/min is 37.699 rad/s; at 11.5 ft 132.14 m/s; 250 kg on 38.60 m2 are 6.48 kg/m2; 27 lb at
    # half of 3.5052 m pull 12.247 x 1.7526 x 37.699^2 = 30.5 kN. All by hand.
    feet, speed = quantity(23, "ft"), quantity(360, "rpm")
    assert physics.tip_speed(feet, speed) == pytest.approx(132.14, abs=0.01)
    assert physics.disc_loading(quantity(250, "kg"), feet) == pytest.approx(6.48, abs=0.005)
    pull = physics.blade_pull(quantity(27, "lb"), quantity(69, "in"), speed)
    assert pull == pytest.approx(30505, rel=1e-3)


def test_autorotation_speed_balances_the_weight() -> None:
    # Lift of all elements, integrated: N/2 rho c C_L times the sum of (W r)^2 dr, N = 2 blades.
    feet, chord, mass = quantity(23, "ft"), quantity(Fraction(31, 4), "in"), quantity(250, "kg")
    tip = physics.autorotation_tip_speed(mass, feet, chord)
    radius = 3.5052
    middles = (np.arange(2000) + 0.5) * radius / 2000
    local = tip / radius * middles
    lift = 2 * 0.5 * 1.225 * 0.19685 * 0.5 * float(np.sum(local**2)) * radius / 2000
    assert lift == pytest.approx(250 * standard_gravity, rel=1e-3)


# FAA AC 43.13-1B (9/8/98), chapter 7, table 7-1, in in·lbf, read from the document's own text:
# tension nut, shear nut, most for the tension nut, most for the shear nut.
TABLE_7_1 = """
10-32    20-25      12-15        40   25
1/4-28   50-70      30-40       100   60
5/16-24  100-140    60-85       225  140
3/8-24   160-190    95-110      390  240
7/16-20  450-500    270-300     840  500
1/2-20   480-690    290-410    1100  660
9/16-18  800-1000   480-600    1600  960
5/8-18   1100-1300  600-780    2400 1400
3/4-16   2300-2500  1300-1500  5000 3000
"""


def test_thread_table_is_table_7_1() -> None:
    rows = [line.split() for line in TABLE_7_1.strip().splitlines()]
    assert [row[0] for row in rows] == list(ROWS)
    for thread, tension, shear, most_tension, most_shear in rows:
        for nut, window, most in (("tension", tension, most_tension), ("shear", shear, most_shear)):
            column = ROWS[thread][nut]
            assert f"{column.least}-{column.most}" == window
            assert str(column.allowable) == most


def test_lead_is_reckoned_lighter_and_the_circle_smaller_than_they_are() -> None:
    # Lead 11.34 g/cm3 (handbooks), so a slug is never reckoned shorter than it is.
    assert Fraction(1134, 100) > _LIGHTEST_LEAD
    assert math.pi - 1e-8 < _PI < math.pi
