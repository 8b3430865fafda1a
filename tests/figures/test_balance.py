"""The lead table: its steps, both units, and what the bench's own friction hides; worked by hand."""

from __future__ import annotations

import pytest

from cardgen.figures import Figure, compute
from cardgen.figures.balance import BalanceFigures
from tests.figures.specs import spec_of


def balance(*changes: tuple[str, str]) -> BalanceFigures:
    found = compute(spec_of(*changes)).balance
    assert found is not None
    return found


def lead(most: str, *changes: tuple[str, str]) -> BalanceFigures:
    return balance(('max_lead = "60 g"', f'max_lead = "{most}"'), *changes)


def numbers(figures: list[Figure]) -> list[str]:
    return [figure.parts.number for figure in figures]


#: Deep enough that lead alone ends the table.
DEEP = ('cavity_depth = "3 in"', 'cavity_depth = "99 in"')


@pytest.mark.parametrize(
    ("most", "masses"),
    # At most eight even steps of 1, 2 or 5 and their tens, then the most itself.
    [
        (8, [1, 2, 3, 4, 5, 6, 7, 8]),
        (9, [2, 4, 6, 8, 9]),
        (16, [2, 4, 6, 8, 10, 12, 14, 16]),
        (17, [5, 10, 15, 17]),
        (40, [5, 10, 15, 20, 25, 30, 35, 40]),
        (41, [10, 20, 30, 40, 41]),
        (80, [10, 20, 30, 40, 50, 60, 70, 80]),
        (81, [20, 40, 60, 80, 81]),
        (160, [20, 40, 60, 80, 100, 120, 140, 160]),
        (161, [50, 100, 150, 161]),
        (400, [50, 100, 150, 200, 250, 300, 350, 400]),
        (401, [100, 200, 300, 400, 401]),
        (900, [100, 200, 300, 400, 500, 600, 700, 800, 900]),
    ],
)
def test_the_steps_of_the_table_are_even_and_few(most: int, masses: list[int]) -> None:
    found = lead(f"{most} g", DEEP)
    assert numbers([row.mass for row in found.rows]) == [str(mass) for mass in masses]
    assert found.stopped_by == "max_lead"


def test_less_than_a_gram_is_a_row_of_its_own() -> None:
    assert numbers([row.mass for row in lead("0.5 g").rows]) == ["0.5"]


def test_a_row_gives_the_mass_its_ounces_and_its_length_rounded_down() -> None:
    # An ounce is 28.3495 g (NIST SP 811): 10 g 0.3527, 20 g 0.7055, 60 g 2.1164 oz.
    # Bore 0.5 in: 1.26677 cm2 x 11.340 g/cm3 is 36.487 g to the inch: 0.2741, 0.5481, 1.6444 in.
    rows = [balance().rows[at] for at in (0, 1, -1)]
    assert numbers([row.ounces for row in rows]) == ["0.35", "0.70", "2.11"]
    assert numbers([row.length for row in rows]) == ["0.27", "0.54", "1.64"]
    assert rows[0].length.parts.unit == "in"


def test_a_metric_bore_gives_millimetres() -> None:
    # Bore 12 mm: 1.130973 cm2 x 11.340 g/cm3 is 1.28252 g to the millimetre: 7.797 and 15.594 mm.
    rows = balance(('cavity_diameter = "1/2 in"', 'cavity_diameter = "12 mm"')).rows
    assert numbers([row.length for row in rows[:2]]) == ["7.7", "15.5"]
    assert rows[0].length.parts.unit == "mm"


def test_a_gram_shakes_with_its_radius_and_the_speed_squared() -> None:
    # 0.001 kg x 140 in (3.556 m) x (350 rpm = 36.6519 rad/s) squared is 4.777 N; up.
    assert balance().shake_per_gram.parts.number == "4.8"


def test_friction_is_the_rotors_mass_at_two_thou_over_the_tips_radius() -> None:
    # 80 lb is 36287.4 g; x 0.002 in / 140 in is 0.5184 g; up.
    friction = balance().friction
    assert friction is not None
    assert friction.parts.number == "0.6"
    assert balance(('mass = "80 lb"\n', "")).friction is None
