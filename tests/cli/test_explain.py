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


def test_a_number_on_a_card_leads_to_every_figure_that_prints_it_and_to_its_sum() -> None:
    """Beam wrench TW-4, 12 in long with 3 in of extension, 4 percent, marks of 2 in·lbf; 6 in·lbf of drag read.

    (175 x 12/15 + 6) / 0.96 = 152.1, and the next mark above is 154. The four bolts are one block.
    """
    ran = cardgen("explain", INCH, "154", *TODAY)
    assert ran.code == 0
    heads, sums, sources = (ran.out.splitlines()[at::3] for at in range(3))
    assert heads == ["torque.fasteners[1].TW-4.drag.2.low  154 in·lbf C"]
    (said,) = sums
    assert said.startswith("  sum:   154 in·lbf is torque_min, ")
    for put in ("torque_min 175 in·lbf", "drag 6 in·lbf", "wrench length 12 in", "wrench extension 3 in"):
        assert put in said
    assert said.endswith("wrench error 4 percent, wrench graduation 2 in·lbf.")
    # The torque is the maker's, and the wrench's error and marks are read beside it on the bench.
    assert set(sources) == {"  from:  MAKER-1 p.9; wrench TW-4 and its calibration sheet"}
    told = json.loads(cardgen("explain", INCH, "154 in·lbf", "--json", *TODAY).out)
    assert [figure["id"] for figure in told] == [head.split("  ")[0] for head in heads]


def test_a_value_of_a_wrench_comes_from_that_wrench_and_its_calibration_sheet() -> None:
    by_id = cardgen("explain", INCH, "wrenches[2].error", *TODAY).out
    assert by_id.startswith("wrenches[2].error  4 percent L\n  from:  wrench TW-7 and its calibration sheet\n")
    by_number = cardgen("explain", METRIC, "320 mm", *TODAY).out
    assert "  sum:   320 mm is read from wrench K-5 and its calibration sheet.\n" in by_number
    listed = cardgen("explain", INCH, *TODAY).out.splitlines()
    wrenches = [line for line in listed if line.startswith("wrenches[")]
    assert wrenches
    for line in wrenches:
        name = "TW-4" if line.startswith("wrenches[1]") else "TW-7"
        assert line.endswith(f" L  wrench {name} and its calibration sheet")


def test_a_number_is_found_however_it_is_written_and_only_in_its_unit() -> None:
    found = cardgen("explain", INCH, "1+1/2 in", *TODAY).out
    assert "track.max_split  1-1/2 in (38.1 mm) K\n  sum:   1-1/2 in is stated in CLUB-2 s.4.\n" in found
    assert "track.row.6.split  1.50 in" in found
    assert cardgen("explain", INCH, "1+1/2 mm", *TODAY).code == 2


def test_a_click_wrench_has_the_drag_before_its_lever() -> None:
    """Click wrench K-5, 320 mm long, 60 mm of extension bent by 30 degrees, 4 percent, marks of 0.5 N·m.

    No drag: 22 x 320/(320 + 60 cos 30°) / 0.96 = 19.72, and the next mark above is 20.0.
    """
    listed = cardgen("explain", METRIC, "20.0 N·m", *TODAY).out
    assert "torque.fasteners[1].K-5.drag.1.low  20.0 N·m C" in listed
    assert "torque_min, plus the drag at the nut, times wrench length over length with extension" in listed
    assert "drag 0.0 N·m, wrench length 320 mm, wrench extension 60 mm, wrench angle 30 deg" in listed


def test_a_mistyped_id_is_answered_with_the_nearest() -> None:
    ran = cardgen("explain", METRIC, "track.row.3.dail", *TODAY)
    assert ran.code == 2
    assert 'Did you mean "track.row.3.dial"?' in ran.err


@pytest.mark.parametrize(
    "path", [("rotor", "diameter"), ("fasteners", 0, "torque_max"), ("track", "points", 1, "rule")]
)
def test_a_key_as_a_keeper_says_it_leads_back_to_its_path(path: tuple[str | int, ...]) -> None:
    assert path_of(key_of(path)) == path
