"""The invented leaflet as a keeper enters it: it checks clean, and says what two pages leave open."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from cardgen.deck.letter import letters
from cardgen.spec.load import Loaded, load
from cardgen.spec.model import RotorSpec

ENTERED = Path(__file__).with_name("swift-24.toml")
LEAFLET = Path(__file__).with_name("leaflet.md").read_text("utf-8")


@pytest.fixture(scope="module")
def spec() -> RotorSpec:
    loaded = load(ENTERED, date(2026, 11, 25))
    assert isinstance(loaded, Loaded)
    assert loaded.spec is not None, loaded.problems
    assert loaded.warnings == ()
    return loaded.spec


def test_it_is_a_file_of_at_most_two_hundred_and_thirty_lines() -> None:
    assert len(ENTERED.read_text("utf-8").splitlines()) <= 230


def test_what_the_leaflet_leaves_open_is_asked_for(spec: RotorSpec) -> None:
    """Read off the leaflet: the teeter pin's head, its washers, the marks beside the centre, the push."""
    (letter,) = letters(spec.table)
    assert letter.document.id == "LEAFLET-3"
    assert {each.path[-1] for each in letter.questions} == {"pin_head", "washer", "mark_spacing", "push"}
    assert [each.place for each in letter.questions] == ["p.1", "p.1", "p.1", "p.2"]


@pytest.mark.parametrize(
    ("key", "printed"),
    [
        (("blades", "serial_a"), "24/0771"),
        (("rotor", "hub_serial"), "B-412"),
        (("rotor", "most_speed"), "440"),
        (("fasteners", 0, "torque_min"), "110"),
        (("fasteners", 0, "torque_max"), "130"),
        (("balance", "max_lead"), "50"),
        (("balance", "screw_hole"), "4.3"),
        (("tip", "screw_torque"), "1.7"),
        (("track", "dial_lever"), "2 1/2"),
        (("track", "points", 0, "rule"), "28"),
        (("track", "adjuster_torque_max"), "75"),
        (("head", "radial_play"), "0.003"),
        (("reflectors", "height"), "35"),
    ],
)
def test_a_value_is_the_leaflet_s_own(spec: RotorSpec, key: tuple[str | int, ...], printed: str) -> None:
    assert spec.typed(key).startswith(printed)
    assert printed in LEAFLET
