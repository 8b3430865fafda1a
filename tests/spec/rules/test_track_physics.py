"""A rule against its estimate, on the edge of three times, of 1.67 times and of one and a half."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Changes, Edge, judged, speaks_just_beyond


def stated(thou: str) -> Changes:
    """The one point of this rotor, with another rule."""
    return {"track.points": [{"diameter": "24 ft + 0 in", "chord": "7+1/2 in", "rule": f"{thou} thou/in"}]}


EDGES: list[Edge] = [
    # The estimate of one blade: inertia 11.7934 x 3.6576 squared / 3 = 52.590; Lock number 1.225 x 5.73 x
    # 0.1905 x 3.6576 to the fourth / 52.590 = 4.5506; rule 16 x 0.05715 / (4.5506 x 7.3152), 27.469 thou/in.
    ("track-rule-unlike", stated("45.8"), stated("45.9")),  # 1.67 of it is 45.874
    ("track-rule-unlike", stated("16.5"), stated("16.4")),  # over 1.67, 16.449
    ("track-rule-unlike", stated("82.5"), stated("82.3")),  # three times, 82.408
    ("track-rule-unlike", stated("9.1"), stated("9.2")),  # a third, 9.156
    ("track-rule-physics", stated("82.3"), stated("82.5")),
    ("track-rule-physics", stated("9.2"), stated("9.1")),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)


@pytest.mark.parametrize(
    ("thou", "words"),
    [
        # Half of the 27.469 expected of one blade is 13.73, and half as much again of that is 20.6.
        ("16.4", 'if the basis were "amount on each" or "whole bar"'),
        ("9.2", 'if the basis were "amount on each" or "whole bar"'),  # 13.73 over one and a half is 9.156
        ("9.1", "No other basis or split would bring the two together"),
        ("45.9", 'if the split were "half"'),
        ("82.3", 'if the split were "half"'),  # halved 41.15, and one and a half times 27.469 is 41.2
        ("82.5", "No other basis or split would bring the two together"),
    ],
)
def test_what_alone_would_explain_a_rule_is_named_and_nothing_else(thou: str, words: str) -> None:
    found = judged(stated(thou))
    (problem,) = [found[rule] for rule in ("track-rule-unlike", "track-rule-physics") if rule in found]
    assert words in problem.why
