"""The second calculation at its edges: odd minutes, points in any order, and the last mark of a sum."""

from __future__ import annotations

from dataclasses import replace

import pytest

from cardgen.figures import compute
from cardgen.proof.recheck import check_second_path
from tests.figures.specs import spec_of
from tests.proof.test_recheck import POINT


def test_an_odd_number_of_minutes_is_a_right_difference() -> None:
    spec = spec_of(('max_difference = "0.1 deg"', 'max_difference = "7 arcmin"'))
    figures = compute(spec).all
    assert figures["pitch.difference_minutes"].parts.number == "7"
    assert check_second_path(spec.text, figures) == ()


@pytest.mark.parametrize("order", [(22, 26, 28), (28, 26, 22), (26, 22, 28)])
def test_only_the_two_points_beside_the_rotor_count_in_whatever_order_they_stand(
    order: tuple[int, ...],
) -> None:
    rules = {22: "34", 26: "23", 28: "20"}
    points = [POINT.replace("24 ft", f"{feet} ft").replace("30", rules[feet]) for feet in order]
    spec = spec_of((POINT, ", ".join(points)), ("\npoints =", "\ninterpolate = true\npoints ="))
    figures = compute(spec).all
    # Half way from 34 to 23; the first change uses the smaller.
    assert (figures["track.rate"].parts.number, figures["track.rate_first_step"].parts.number) == (
        "28.50",
        "23.00",
    )
    assert check_second_path(spec.text, figures) == ()


@pytest.mark.parametrize(("aim", "is_right"), [("167", False), ("168", True), ("181", False), ("182", False)])
def test_a_pinned_nut_is_brought_to_the_least_mark_that_keeps_it_inside_and_no_other(
    aim: str, is_right: bool
) -> None:
    """At the nut 160 to 190 in·lbf, drag up to 20, and a wrench that may be 4 percent out.

    By hand: with 20 of drag the low end asks for 180/0.96 - 20 = 167.5, the high for 210 x 0.96 - 20 = 181.6;
    without drag 166.7 and 182.4 would do. A pinned nut is set to the least; the rest is kept for the slot.
    """
    spec = spec_of()
    figures = dict(compute(spec).all)
    sum_ = figures["torque.fasteners[1].T1.aim"]
    figures[sum_.id] = replace(sum_, parts=replace(sum_.parts, number=aim))
    named = [differs.figure for differs in check_second_path(spec.text, figures)]
    assert named == ([] if is_right else [sum_.id])
