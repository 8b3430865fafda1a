"""What the papers leave open: given or listed, and only what is on the closed list."""

from __future__ import annotations

import pytest

from cardgen.spec.not_given import MAY_BE_NOT_GIVEN
from tests.spec.rules.edges import judged

#: The closed list, copied by hand from the end of the shape of a specification.
CLOSED = {
    *("rotor.marks_at", "blades.strap_pads", "string.mark_spacing", "string.tip_support"),
    *("fasteners.pin_head", "fasteners.drag_max", "fasteners.entered_from", "fasteners.washer"),
    *("pitch.station", "pitch.tolerance", "balance.height_limit", "head.push", "install.tail_gap_min"),
    *("track.counter_hold", "track.dial_offset", "track.max_total", "track.good_enough"),
    *("run.wind_limit", "run.clear_radius", "run.ground_speeds", "run.track_speeds"),
}
#: What belongs to a key and goes with it.
WITH = {"track.max_total": ["track.max_total_reads"], "run.track_speeds": ["run.track_read_in"]}
#: The other strap bolt still has its drag, and the two are alike in all else.
QUIET = {"override-unused", "bolts-unlike"}


def _at(key: str) -> str:
    """Take the first row of a list."""
    return key.replace("fasteners.", "fasteners.0.")


def _group(key: str) -> str:
    return _at(key).rpartition(".")[0]


def test_the_list_is_closed() -> None:
    assert {f"{group}.{key}" for group, keys in MAY_BE_NOT_GIVEN.items() for key in keys} == CLOSED


@pytest.mark.parametrize("key", sorted(CLOSED))
def test_an_open_key_is_given_or_listed(key: str) -> None:
    gone = dict.fromkeys(map(_at, [key, *WITH.get(key, ())]))
    missing = judged(gone)
    assert any(rule.endswith("-missing") for rule in missing), missing
    listed = judged({**gone, f"{_group(key)}.not_given": [key.rpartition(".")[2]]})
    assert listed.keys() <= QUIET, listed


@pytest.mark.parametrize("key", sorted(CLOSED))
def test_a_key_that_is_given_is_not_listed_as_well(key: str) -> None:
    found = judged({f"{_group(key)}.not_given": [key.rpartition(".")[2]]})
    assert found.keys() - QUIET == {"not-given-given"}
    assert key.rpartition(".")[2] in found["not-given-given"].why


@pytest.mark.parametrize(
    ("group", "key"),
    [
        ("rotor", "diameter"),
        ("blades", "serial_a"),
        ("fasteners.0", "torque_max"),
        ("fasteners.0", "drag"),
        ("fasteners.0", "thread"),
        ("track", "split"),
        ("track", "basis"),
        ("track", "rule_reads"),
        ("track", "lever"),
        ("track", "to_lower"),
        ("track", "points"),
        ("track", "max_split"),
        ("care", "wash"),
        ("head", "radial_play"),
    ],
)
def test_what_must_be_known_cannot_be_listed(group: str, key: str) -> None:
    found = judged({f"{group}.not_given": [key]})["not-given-unknown"]
    assert found.why == f"{key} must be known before there are cards"


def test_a_key_that_no_group_has_is_named() -> None:
    found = judged({"track.not_given": ["max_totl"]})["not-given-unknown"]
    assert found.why == "max_totl is not a key of this group"
    assert "max_total" in found.write


def test_what_this_rotor_does_not_need_is_not_asked_for() -> None:
    # A bolt that the maker fitted is never touched, so nobody needs to know how its washer sits.
    maker = {"fasteners.1.fitted_by": "maker", "tightening.order": [1], "fasteners.1.washer": None}
    assert "not-given-needless" in judged({**maker, "fasteners.1.not_given": ["washer"]})
    assert "not-given-needless" not in judged(maker)
