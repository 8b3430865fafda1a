"""Values unlike those of most rotors: on the edge of what is common practice (no source), and beyond it."""

from __future__ import annotations

import pytest

from tests.spec.rules.edges import Edge, judged, one, speaks_just_beyond

SEEN = "value-unusual"

EDGES: list[Edge] = [
    one("run.wind_limit", SEEN, "10", "10.1", "kt"),
    one("run.wind_limit", SEEN, "5", "4.9", "kt"),
    # Two and a half and six times 7.3152 m.
    one("run.clear_radius", SEEN, "18.288", "18.28", "m"),
    one("run.clear_radius", SEEN, "43.89", "43.9", "m"),
    ("value-unusual", {"run.ground_speeds": ["87.5 rpm"]}, {"run.ground_speeds": ["87.4 rpm"]}),  # 350/4
    one("rotor.least_speed", SEEN, "210", "209.9", "rpm"),  # 0.6 x 350
    one("track.good_enough", SEEN, "0.4", "0.41", "in"),
    # 2.8 times a sixteenth of an inch is 0.175 in.
    one("track.good_enough", SEEN, "0.175", "0.174", "in"),
    # 26 thou/in on a quarter inch are 6.5 thou; the tangent of half a degree is 0.0087269: 0.7448 in.
    one("track.dial_offset", "dial-offset-large", "0.744", "0.745", "in"),
]


@pytest.mark.parametrize("edge", EDGES, ids=str)
def test_a_rule_speaks_beyond_its_limit_and_not_on_it(edge: Edge) -> None:
    speaks_just_beyond(edge)


@pytest.mark.parametrize(("least", "speaks"), [("20", False), ("17", True), ("75", False), ("76", True)])
def test_the_beginning_of_a_click_wrenchs_scale_is_compared_with_its_end(least: str, speaks: bool) -> None:
    # Of 250 in·lbf a fourteenth is 17.9 and three tenths are 75.
    wrench = {
        "wrenches.0.kind": "click",
        "wrenches.0.range_min": f"{least} in·lbf",
        "wrenches.0.graduation": "1 in·lbf",
    }
    assert ("wrench-range-unusual" in judged(wrench)) is speaks


def test_a_value_that_is_refused_is_not_called_unusual_as_well() -> None:
    found = judged({"run.wind_limit": "26 kt"})
    assert "bounds-wind" in found and SEEN not in found
    assert judged({"teeter.play_max": "20 thou"}).keys() == {"teeter-play", "override-unused"}


def test_an_unusual_value_says_on_which_side_it_lies() -> None:
    assert judged({"run.wind_limit": "16 kt"})[SEEN].why.endswith("is mostly 5 to 10 kt, and this lies above")
