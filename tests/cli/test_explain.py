"""``cardgen explain``: from a printed number down to the line it was typed on."""

from __future__ import annotations

import json

import pytest

from cardgen.cli.explain import path_of
from cardgen.spec.problem import key_of
from tests.cli.running import INCH, METRIC, TODAY, cardgen


def test_every_figure_is_listed_once_by_its_id() -> None:
    told = json.loads(cardgen("explain", INCH, "--json", *TODAY).out)
    names = [figure["id"] for figure in told]
    assert len(set(names)) == len(names)
    listed = cardgen("explain", INCH, *TODAY).out.splitlines()
    assert [line.split("  ")[0] for line in listed] == names


def test_a_figure_has_the_promised_keys() -> None:
    (figure,) = json.loads(cardgen("explain", INCH, "fasteners[1].torque_max", "--json", *TODAY).out)
    assert set(figure) == {"id", "shown", "value", "unit", "origin", "reference", "formula", "inputs"}
    assert (figure["value"], figure["unit"], figure["origin"]) == (205, "in·lbf", "M")
    assert figure["reference"] == "MAKER-1 p.9"


def test_a_club_limit_never_looks_like_a_maker_s() -> None:
    (figure,) = json.loads(cardgen("explain", INCH, "track.max_split", "--json", *TODAY).out)
    assert (figure["origin"], figure["reference"]) == ("K", "CLUB-2 s.4")


def test_a_computed_figure_is_followed_down_to_lines_of_the_file() -> None:
    ran = cardgen("explain", METRIC, "track.row.3.dial", *TODAY)
    assert ran.code == 0
    lines = METRIC.read_text("utf-8").splitlines()
    for key in ("lever ", "dial_lever", "max_split ", '  { diameter = "7.00 m"'):
        number = next(at for at, line in enumerate(lines, 1) if line.startswith(key))
        assert f"typed: {METRIC}:{number}" in ran.out
    assert "made:  rate times split" in ran.out


def test_its_inputs_are_figures_or_keys_that_exist() -> None:
    told = {figure["id"]: figure for figure in json.loads(cardgen("explain", METRIC, "--json", *TODAY).out)}
    wanted = {name for figure in told.values() for name in figure["inputs"]}
    assert "rotor.diameter" in wanted
    assert {name for name in wanted if "." not in name and name not in told} == set()


def test_a_mistyped_id_is_answered_with_the_nearest() -> None:
    ran = cardgen("explain", METRIC, "track.row.3.dail", *TODAY)
    assert ran.code == 2
    assert 'Did you mean "track.row.3.dial"?' in ran.err


@pytest.mark.parametrize(
    "path", [("rotor", "diameter"), ("fasteners", 0, "torque_max"), ("track", "points", 1, "rule")]
)
def test_a_key_as_a_keeper_says_it_leads_back_to_its_path(path: tuple[str | int, ...]) -> None:
    assert path_of(key_of(path)) == path
