"""The maker's points, on the edge of order, likeness and limits, and beyond it."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Changes, Edge, one, speaks_just_beyond


def points(*rules: tuple[str, str]) -> Changes:
    """Two or more of the maker's points, between which values are allowed."""
    stated = [{"diameter": size, "chord": "7+1/2 in", "rule": f"{rule} thou/in"} for size, rule in rules]
    return {"track.points": stated, "track.interpolate": True}


def chord(inches: str) -> Changes:
    """The one point of this rotor, stated for another chord."""
    return {"track.points": [{"diameter": "24 ft + 0 in", "chord": f"{inches} in", "rule": "26 thou/in"}]}


EDGES: list[Edge] = [
    ("track-points-order", points(("22 ft", "30"), ("26 ft", "24")), points(("26 ft", "24"), ("22 ft", "30"))),
    (
        "track-point-twice",
        points(("24 ft", "26"), ("24 ft + 0.51 in", "26")),
        points(("24 ft", "26"), ("24 ft + 0.5 in", "26")),
    ),
    (
        "track-points-unlike",
        points(("22 ft", "26"), ("26 ft", "26")),
        points(("22 ft", "26"), ("26 ft", "26.1")),
    ),
    (
        "track-points-unlike",
        points(("22 ft", "30"), ("26 ft", "20")),
        points(("22 ft", "30.1"), ("26 ft", "20")),
    ),
    ("track-chord", chord("7.734375"), chord("7.735")),  # 7.5/32 is 0.234375
    ("track-chord", chord("7.265625"), chord("7.265")),
    one("track.max_total", "track-table-short", "52", "51.9", "thou"),  # 2 in of 26
    one("track.max_total", "track-total-large", "98.8", "98.9", "thou"),  # 1.9 x 52
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)
