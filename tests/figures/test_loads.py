"""Loads that need a group of their own, and the second unit beside them; worked by hand."""

from __future__ import annotations

import pytest

from cardgen.figures import compute
from tests.figures.specs import spec_of

REFLECTORS = """[reflectors]
pattern_a = "one bar"
pattern_b = "two bars"
height = "2 in"
mass = "12 g"
place = "under the tip"
faces = "the hub"
holder = "tape"
view_from = "behind"
source = "MK p.13"

[log]"""


def test_a_reflector_pulls_at_the_tip() -> None:
    # 0.012 kg x 3.6576 m x 1343.36 (rad/s) squared = 58.96 N; up.
    figures = compute(spec_of(("[log]", REFLECTORS))).all
    assert figures["loads.reflector_pull"].parts.number == "59"
    without = compute(spec_of(("[log]", REFLECTORS.replace('mass = "12 g"\n', ""))))
    assert without.loads.reflector_pull is None
    assert compute(spec_of()).loads.reflector_pull is None


@pytest.mark.parametrize("key", ['mass = "30 lb"\n', 'mass_centre = "72 in"\n'])
def test_a_blade_pulls_only_where_its_mass_and_centre_are_stated(key: str) -> None:
    assert compute(spec_of((key, ""))).loads.blade_pull is None


def test_the_item_in_the_pocket_is_an_example_of_ten_grams() -> None:
    item = compute(spec_of()).all["loads.loose_item"]
    # Ten grams are 0.3527 oz.
    assert item.shown == "10 g (0.35 oz) G"
