"""Stress areas of threads, and the stress of torques, against published tables."""

from __future__ import annotations

import pytest

from cardgen.spec.rules.thread_stress import LEAST, MOST, THIN_NUT, pulled, stress_area
from cardgen.spec.rules.thread_table import ROWS
from cardgen.spec.threads import Thread, read_thread
from cardgen.spec.units import quantity


def thread(name: str) -> Thread:
    found = read_thread(name)
    assert isinstance(found, Thread)
    return found


@pytest.mark.parametrize(
    ("name", "square_inches"),
    # Tensile stress areas of the Unified coarse and fine series as handbooks print them after ASME B1.1, in
    # square inches. Publishers differ by one in the last digit.
    [
        ("10-24", "0.0175"),
        ("10-32", "0.0200"),
        ("1/4-20", "0.0318"),
        ("1/4-28", "0.0364"),
        ("5/16-18", "0.0524"),
        ("5/16-24", "0.0580"),
        ("3/8-16", "0.0775"),
        ("3/8-24", "0.0878"),
        ("7/16-14", "0.1063"),
        ("7/16-20", "0.1187"),
        ("1/2-13", "0.1419"),
        ("1/2-20", "0.1599"),
        ("9/16-18", "0.203"),
        ("5/8-11", "0.226"),
        ("5/8-18", "0.256"),
        ("3/4-10", "0.334"),
        ("3/4-16", "0.373"),
    ],
)
def test_unified_stress_areas_are_the_published_ones(name: str, square_inches: str) -> None:
    digits = len(square_inches) - 2
    found = float(stress_area(thread(name))) / 25.4**2
    assert abs(round(found, digits) - float(square_inches)) <= 1.01 * 10**-digits


@pytest.mark.parametrize(
    ("name", "square_millimetres"),
    # Nominal stress areas of ISO 898-1, tables of coarse and of fine threads, in mm2, to three figures.
    [
        ("M4x0.7", "8.78"),
        ("M5x0.8", "14.2"),
        ("M6x1", "20.1"),
        ("M8x1.25", "36.6"),
        ("M8x1", "39.2"),
        ("M10x1.5", "58"),
        ("M10x1.25", "61.2"),
        ("M10x1", "64.5"),
        ("M12x1.75", "84.3"),
        ("M12x1.5", "88.1"),
        ("M12x1.25", "92.1"),
        ("M14x2", "115"),
        ("M16x2", "157"),
        ("M16x1.5", "167"),
        ("M20x2.5", "245"),
    ],
)
def test_metric_stress_areas_are_the_published_ones(name: str, square_millimetres: str) -> None:
    assert f"{float(stress_area(thread(name))):.3g}" == square_millimetres


@pytest.mark.parametrize(
    ("name", "newton_metres"),
    # General tightening torques of bolts of class 8.8 as workshop tables print them, dry and lightly oiled,
    # for a friction of 0.14: M8 18 to 25, M10 36 to 49, M12 64 to 86; fine threads 27, 54 and 96.
    [
        ("M6x1", (8, 10)),
        ("M8x1.25", (18, 25)),
        ("M8x1", (24, 27)),
        ("M10x1.5", (36, 49)),
        ("M10x1.25", (48, 54)),
        ("M12x1.75", (64, 86)),
        ("M12x1.25", (85, 96)),
    ],
)
def test_torques_of_workshop_tables_are_usual_and_ten_times_as_much_or_little_is_not(
    name: str, newton_metres: tuple[int, int]
) -> None:
    low, high = (pulled(quantity(torque, "N·m"), thread(name)) for torque in newton_metres)
    assert LEAST <= low < high <= MOST
    # Twice what a class 8.8 bolt takes and a fifth of it are found; ten times is a digit too many.
    assert high * 2 > MOST
    assert low / 5 < LEAST


@pytest.mark.parametrize("name", ROWS)
def test_the_handbooks_own_ranges_would_not_be_flagged_by_stress(name: str) -> None:
    """AC 43.13-1B, table 7-1, all rows and both nuts: least and most of the recommended range."""
    for nut, part in (("tension", 1), ("shear", THIN_NUT)):
        column = ROWS[name][nut]
        least, most = (
            pulled(quantity(torque, "in·lbf"), thread(name)) for torque in (column.least, column.most)
        )
        assert LEAST * part <= least < most <= MOST * part


def test_a_thin_nut_bears_three_fifths_in_the_handbook() -> None:
    """AC 43.13-1B, table 7-1: shear over tension of the recommended most, 0.57 to 0.61 in every row."""
    for row in ROWS.values():
        assert row["shear"].most / row["tension"].most == pytest.approx(float(THIN_NUT), abs=0.03)


def test_stress_by_hand() -> None:
    """20 N·m on M8x1.25: 20000 N mm / (0.2 x 8 mm x 36.6 mm2) = 341.5 N/mm2, with the area of ISO 898-1."""
    assert float(pulled(quantity(20, "N·m"), thread("M8x1.25"))) == pytest.approx(341.5, rel=1e-3)
