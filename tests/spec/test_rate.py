"""Which of the maker's points holds for a rotor, at the edges of a quarter inch and of the stated sizes."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cardgen.spec.rate import NoRate, TrackRate, WhyNot, per_total, total_of, track_rate
from cardgen.spec.units import magnitude, quantity
from tests.figures.specs import spec_of, track_change


def points(*rules: tuple[str, int]) -> tuple[str, str]:
    written = ", ".join(
        f'{{ diameter = "{size}", chord = "8 in", rule = "{rule} thou/in" }}' for size, rule in rules
    )
    return (
        'points = [{ diameter = "24 ft + 0 in", chord = "8 in", rule = "30 thou/in" }]',
        f"points = [{written}]",
    )


ALLOWED = ("\npoints =", "\ninterpolate = true\npoints =")
TWO = points(("22 ft", 34), ("26 ft", 24))


def rate_for(inches: str, *changes: tuple[str, str]) -> TrackRate | NoRate:
    return track_rate(spec_of(*changes).track, quantity(Fraction(inches), "in"))


def thou_per_inch(found: TrackRate | NoRate) -> object:
    """Give the rate, that of the first step, and the points they are taken from."""
    assert isinstance(found, TrackRate), found
    return magnitude(found.rate, "thou/in"), magnitude(found.first_step, "thou/in"), found.points


@pytest.mark.parametrize("inches", ["287.75", "288", "288.25"])
def test_a_quarter_inch_either_way_is_the_same_rotor(inches: str) -> None:
    # 24 ft are 288 in.
    assert thou_per_inch(rate_for(inches)) == (30, 30, (0,))


@pytest.mark.parametrize("inches", ["287.74", "288.26"])
def test_more_than_a_quarter_inch_is_another_rotor(inches: str) -> None:
    assert rate_for(inches) == NoRate(WhyNot.OUTSIDE)


def test_between_two_points_lies_the_straight_line_and_the_first_step_takes_the_smaller_end() -> None:
    # 22 ft are 264 in and 26 ft are 312: a quarter of the way 34 - 10/4.
    assert thou_per_inch(rate_for("276", TWO, ALLOWED)) == (Fraction("31.5"), 24, (0, 1))
    # The list need not be sorted, and the larger rotor may have the larger rule.
    turned = points(("26 ft", 34), ("22 ft", 24))
    assert thou_per_inch(rate_for("276", turned, ALLOWED)) == (Fraction("26.5"), 24, (1, 0))


def test_the_two_points_next_to_the_rotor_count() -> None:
    three = points(("20 ft", 60), ("22 ft", 34), ("26 ft", 24))
    assert thou_per_inch(rate_for("276", three, ALLOWED)) == (Fraction("31.5"), 24, (1, 2))


def test_nothing_lies_beyond_the_outermost_points() -> None:
    assert rate_for("263.7", TWO, ALLOWED) == NoRate(WhyNot.OUTSIDE)
    assert rate_for("312.3", TWO, ALLOWED) == NoRate(WhyNot.OUTSIDE)
    assert thou_per_inch(rate_for("312.25", TWO, ALLOWED)) == (24, 24, (1,))


def test_two_points_for_one_rotor_are_not_chosen_between() -> None:
    assert rate_for("288", points(("24 ft", 30), ("288 in", 31))) == NoRate(WhyNot.TWO_POINTS)
    # Half an inch apart, the rotor between them is both; beside them it is one of them.
    close = points(("24 ft", 30), ("24 ft + 1/2 in", 31))
    assert rate_for("288.25", close) == NoRate(WhyNot.TWO_POINTS)
    assert thou_per_inch(rate_for("288.26", close)) == (31, 31, (1,))


def test_why_there_is_no_rule() -> None:
    assert rate_for("288", *track_change(method='"none"')) == NoRate(WhyNot.NOT_ADJUSTED)
    assert rate_for("288", *track_change(split="")) == NoRate(WhyNot.NO_SPLIT)
    assert rate_for("276", TWO) == NoRate(WhyNot.NOT_ALLOWED)


def test_half_a_split_is_half_the_tips_distance() -> None:
    half, whole = spec_of(*track_change(split='"half"')).track, spec_of().track
    rule, split = quantity(60, "thou/in"), quantity(2, "in")
    assert (per_total(half, rule), per_total(whole, rule)) == (quantity(30, "thou/in"), rule)
    assert (total_of(half, split), total_of(whole, split)) == (quantity(4, "in"), split)
