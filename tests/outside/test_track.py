"""The trade's two known rules, the arc of a small angle, and what a normal scatter is."""

from __future__ import annotations

from math import radians, sin, sqrt

import pytest
from scipy.stats import norm

from cardgen.figures import compute
from cardgen.figures.track_verdict import DIFFERENT, GUARD
from cardgen.spec.rate import NoRate, WhyNot, rate_at, track_rate
from cardgen.spec.units import magnitude, quantity
from tests.figures.specs import spec_of, track_change

POINT = '{ diameter = "24 ft + 0 in", chord = "8 in", rule = "30 thou/in" }'
SIZE = '"TEST-1"\ndiameter = "24 ft + 0 in"'


@pytest.mark.parametrize(("feet", "thou"), [(30, 10), (25, 5)])
def test_the_two_rules_of_the_trade_hold_for_their_own_diameter(feet: int, thou: int) -> None:
    """Ten thou an inch on a 30 ft rotor, five on 25 ft: common practice, no source."""
    spec = spec_of(
        (POINT, f'{{ diameter = "{feet} ft", chord = "8 in", rule = "{thou} thou/in" }}'),
        (SIZE, f'"TEST-1"\ndiameter = "{feet} ft"'),
    )
    table = compute(spec).track
    assert table is not None
    one_inch = table.rows[3]
    assert one_inch.split.parts.number == "1.00"
    assert one_inch.dial is not None
    assert one_inch.dial.parts.number == f"{thou}.0"


def test_the_two_rules_of_the_trade_say_nothing_about_other_rotors() -> None:
    """Two facts, each for its own rotor: common practice, no source."""
    both = ", ".join(
        f'{{ diameter = "{feet} ft", chord = "8 in", rule = "{thou} thou/in" }}'
        for feet, thou in ((30, 10), (25, 5))
    )
    for feet, why in ((24, WhyNot.OUTSIDE), (31, WhyNot.OUTSIDE), (28, WhyNot.NOT_ALLOWED)):
        spec = spec_of((POINT, both), (SIZE, f'"TEST-1"\ndiameter = "{feet} ft"'))
        assert track_rate(spec.track, spec.rotor.diameter) == NoRate(why)


@pytest.mark.parametrize("degrees", ["0.25", "0.5", "1", "2"])
def test_a_rule_in_degrees_moves_the_adjuster_as_it_turns_about_the_pivot(degrees: str) -> None:
    """The sine of the standard library: the chord of so small an arc is as long to a part in a thousand."""
    spec = spec_of(("30 thou/in", f"{degrees} deg/in"), *track_change(lever='"2 in"', dial_lever='"3 in"'))
    found = track_rate(spec.track, spec.rotor.diameter)
    assert not isinstance(found, NoRate)
    at = rate_at(spec.track, found.rate)
    assert at.adjuster is not None and at.dial is not None
    angle = radians(float(degrees))
    for arm, moved in ((2, at.adjuster), (3, at.dial)):
        inches = float(magnitude(moved * quantity(1, "in"), "in"))
        assert inches == pytest.approx(arm * sin(angle), rel=1e-3)


def test_what_differs_beyond_chance_is_that_of_the_normal_distribution() -> None:
    """scipy's normal distribution: two readings of one split differ by more once in twenty."""
    assert float(DIFFERENT) == pytest.approx(sqrt(2) * norm.ppf(0.975), abs=0.03)
    assert sqrt(2) * norm.ppf(0.975) < DIFFERENT
    assert float(GUARD) == pytest.approx(norm.ppf(0.95), abs=0.01)
