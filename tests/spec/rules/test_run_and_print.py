"""Speeds on the ground, the clear radius and the form's address, on the edge and beyond it."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Edge, one, speaks_just_beyond

URL = "https://log.example.org/"

EDGES: list[Edge] = [
    ("run-speed-high", {"run.track_speeds": ["385 rpm"]}, {"run.track_speeds": ["385.1 rpm"]}),  # 1.1 x 350
    ("run-speed-high", {"run.ground_speeds": ["385 rpm"]}, {"run.ground_speeds": ["385.1 rpm"]}),
    (
        "run-speed-order",
        {"run.ground_speeds": ["150 rpm", "150.1 rpm"]},
        {"run.ground_speeds": ["150 rpm", "150 rpm"]},
    ),
    ("track-speed-low", {"run.track_speeds": ["210 rpm"]}, {"run.track_speeds": ["209.9 rpm"]}),  # 0.6 x 350
    one("rotor.least_speed", "rotor-speed-order", "349.9", "350", "rpm"),
    one("rotor.most_speed", "rotor-speed-order", "350", "349.9", "rpm"),
    (
        "run-speed-past-most",
        {"rotor.most_speed": "355 rpm", "run.track_speeds": ["355 rpm"]},
        {"rotor.most_speed": "355 rpm", "run.track_speeds": ["355.1 rpm"]},
    ),
    ("track-speed-below-least", {"rotor.least_speed": "300 rpm"}, {"rotor.least_speed": "300.1 rpm"}),
    (
        "track-speed-below-least",
        {"rotor.least_speed": "340 rpm", "run.track_read_in": "ground"},
        {"rotor.least_speed": "340 rpm"},
    ),
    one("run.clear_radius", "clear-radius", "7.3152", "7.315", "m"),
    (
        "form-url-long",
        {"log.form_url": URL + "a" * (89 - len(URL)) + "/"},
        {"log.form_url": URL + "a" * (90 - len(URL)) + "/"},
    ),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)
