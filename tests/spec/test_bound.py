"""Which keys bound something, against the words that explain them to a keeper."""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.spec.bound import Bound
from cardgen.spec.fields import KeyMeaning, bound_of, expected
from cardgen.spec.problem import Path, key_of

#: Written down by hand from the explanations of the keys.
LEAST = {
    *("fasteners[1].torque_min", "wrenches[1].range_min", "track.adjuster_torque_min"),
    *("string.checks[1].sweep_min", "tip.cure[1].time", "run.clear_radius"),
    *("rotor.least_speed", "install.tail_gap_min"),
}
MOST = {
    *("fasteners[1].torque_max", "fasteners[1].drag_max", "wrenches[1].range_max", "hub.joint_play_max"),
    *("string.checks[1].sweep_max", "string.checks[1].difference", "string.checks[1].limit"),
    *("pitch.tolerance", "pitch.max_difference", "balance.max_lead", "balance.height_limit"),
    *("teeter.play_max", "head.radial_play", "track.adjuster_torque_max", "track.max_split"),
    *("track.max_total", "track.good_enough", "run.wind_limit", "care.interval", "rotor.most_speed"),
}


def test_exactly_these_keys_are_a_least_or_a_most() -> None:
    found = {key_of(path): bound_of(path) for path in _paths(())}
    assert {key for key, bound in found.items() if bound is Bound.AT_LEAST} == LEAST
    assert {key for key, bound in found.items() if bound is Bound.AT_MOST} == MOST


def test_a_key_that_is_explained_as_a_least_or_a_most_has_that_bound() -> None:
    said = {"least": Bound.AT_LEAST, "lowest": Bound.AT_LEAST}
    said |= {"most": Bound.AT_MOST, "largest": Bound.AT_MOST, "highest": Bound.AT_MOST}
    found = [(path, said[first]) for path in _paths(()) if (first := _about(path).partition(" ")[0]) in said]
    assert len(found) > 15
    assert all(bound_of(path) is bound for path, bound in found)


def _paths(path: Path) -> Iterator[Path]:
    meaning = expected(path)
    assert isinstance(meaning, KeyMeaning)
    if meaning.many:
        yield from _paths((*path, 0))
    elif meaning.group:
        for key in meaning.keys:
            yield from _paths((*path, key))
    else:
        yield path


def _about(path: Path) -> str:
    meaning = expected(path)
    return "" if meaning is None else meaning.about
