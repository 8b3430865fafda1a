"""The maker's points, on the edge of order, likeness and limits, and beyond it."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Changes, Edge, judged, one, speaks_just_beyond


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
    one("track.max_total", "track-total-below-row", "6.5", "6.4", "thou"),  # a quarter inch of 26
    (
        "track-good-enough",
        {"track.max_split": "1 in", "track.good_enough": "0.99 in"},
        {"track.max_split": "1 in", "track.good_enough": "1 in"},
    ),
    one("track.max_total", "track-table-short", "52", "51.9", "thou"),  # 2 in of 26
    one("track.max_total", "track-total-large", "98.8", "98.9", "thou"),  # 1.9 x 52
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)


# Both adjuster and dial stand at 2+1/4 in, so that a total is the same at either; 26 thou/in on 2 in are 52.
@pytest.mark.parametrize(
    ("basis", "counted", "takes"),
    [
        ("total of both", "both, added", 52),
        ("total of both", "one blade", 26),
        ("amount on each", "both, added", 104),
    ],
)
def test_what_a_split_takes_of_the_total_follows_from_how_that_is_counted(
    basis: str, counted: str, takes: int
) -> None:
    raised = {blade: {"loosen": "two notches", "tighten": "one notch"} for blade in "ab"}
    both: Changes = {"track.basis": basis, "track.max_total_of": counted, "track.to_raise": raised}
    assert "track-table-short" not in judged({**both, "track.max_total": f"{takes} thou"})
    assert "track-table-short" in judged({**both, "track.max_total": f"{takes - 1} thou"})


def test_a_total_at_the_adjuster_is_compared_there() -> None:
    # The dial at twice the adjuster's distance shows twice its movement: 52 at the dial are 26 at the adjuster.
    far: Changes = {"track.lever": "1+1/8 in", "track.max_total_reads": "adjuster"}
    assert "track-table-short" not in judged({**far, "track.max_total": "26 thou"})
    assert "track-table-short" in judged({**far, "track.max_total": "25.9 thou"})
