"""The trade's two known rules."""

from __future__ import annotations

import pytest

from cardgen.figures import compute
from cardgen.spec.rate import NoRate, WhyNot, track_rate
from tests.figures.specs import spec_of

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
