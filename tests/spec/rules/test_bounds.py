"""Tip speed and disc loading that no rotor has, and the ends of bounds."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from cardgen.spec.fields import expected, group_types
from cardgen.spec.problem import Path
from cardgen.spec.rules import RULES
from tests.spec.rules.edges import Edge, judged, one, speaks_just_beyond

SPEED = "rotor.normal_speed"

EDGES: list[Edge] = [
    # Angular speed in rad/s is rpm x 2 pi/60; at a radius of 3.6576 m a tip moves rpm x 0.383023 m/s.
    one(SPEED, "bounds-tip-speed", "156.7", "156.6", "rpm"),  # 60 m/s are 156.65
    one(SPEED, "bounds-tip-speed", "522.1", "522.2", "rpm"),  # 200 m/s are 522.16
    # The disc is pi x 3.6576 squared, 42.028 m2.
    one("aircraft.mass", "bounds-disc-loading", "126.1", "126.0", "kg"),  # 3 are 126.08
    one("aircraft.mass", "bounds-disc-loading", "840.5", "840.6", "kg"),  # 20 are 840.56
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)


def test_every_quantity_of_a_specification_has_a_bound_that_nothing_leaves() -> None:
    bounded = {
        (*reads.owner, *key)
        for rule in RULES
        if rule.kind == "bound"
        for reads in rule.reads
        for key in reads.keys
    }
    quantities = {
        tuple(part for part in path if isinstance(part, str))
        for name in group_types()
        for path in _keys((name,))
        if (place := expected(path)) is not None and place.kind is not None
    }
    # The angle of an extension has a rule of its own.
    assert quantities - bounded == {("wrenches", "angle")}


def _keys(path: Path) -> Iterator[Path]:
    place = expected(path)
    if place is not None and place.many:
        yield from _keys((*path, 0))
    elif place is not None and place.group:
        for key in place.keys:
            yield from _keys((*path, key))
    else:
        yield path


def test_a_bound_allows_its_own_ends() -> None:
    # "12 to 40 ft" and "4 to 14 in", as the rule's own meaning says.
    for key, rule, ends, beyond in (
        ("rotor.diameter", "bounds-diameter", ("12 ft", "40 ft"), ("11.99 ft", "40.01 ft")),
        ("blades.chord", "bounds-chord", ("4 in", "14 in"), ("3.99 in", "14.01 in")),
        ("pitch.angle", "bounds-pitch-angle", ("-2 deg", "8 deg"), ("-2.01 deg", "8.01 deg")),
    ):
        assert [rule in judged({key: value}) for value in ends] == [False, False]
        assert [rule in judged({key: value}) for value in beyond] == [True, True]
    assert "is below anything" in judged({"blades.chord": "3.99 in"})["bounds-chord"].why
    assert "is above anything" in judged({"blades.chord": "14.01 in"})["bounds-chord"].why
