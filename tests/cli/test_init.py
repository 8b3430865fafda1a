"""``cardgen init``: every key, no value, never over another file."""

from __future__ import annotations

import json
import re
import shlex
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Literal

import pytest

from cardgen.cli.init import starting
from cardgen.spec.json_schema import json_schema
from tests.cli.running import METRIC, cardgen

HUBS: tuple[Literal["adjustable", "string"], ...] = ("adjustable", "string")
UNITS: tuple[Literal["inch", "metric"], ...] = ("inch", "metric")

#: Words that say which part of the file this is; none of them is a maker's.
STRUCTURE = {"strap", "hub face", "centre mark", 1}


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("hub", HUBS)
def test_nothing_in_it_has_a_value(
    hub: Literal["adjustable", "string"], units: Literal["inch", "metric"]
) -> None:
    values = list(leaves(tomllib.loads(starting("rotor.toml", hub, units))))
    assert len(values) > 40
    assert {value for value in values if value != ""} <= STRUCTURE


def leaves(value: Any) -> Iterator[Any]:
    """Give every value at the ends of a table."""
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list):
        for each in value:
            yield from leaves(each)
    else:
        yield value


@pytest.mark.parametrize("hub", HUBS)
def test_every_key_of_a_specification_stands_in_it(hub: Literal["adjustable", "string"]) -> None:
    text = starting("rotor.toml", hub, "inch")
    schema = json_schema()
    groups = [*schema["$defs"].values(), schema]
    keys = {key for group in groups for key in group.get("properties", {})} - {"sources"}
    if hub == "string":
        keys -= {"hub", "damper", "joint_play_max"}
    missing = {key for key in keys if not re.search(rf"[\[\s.{{,]{key}[\]\s.]", text)}
    assert missing == set()


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("hub", HUBS)
def test_check_finds_only_places_to_fill_in(
    hub: Literal["adjustable", "string"], units: Literal["inch", "metric"], tmp_path: Path
) -> None:
    ran = cardgen("init", "--hub", hub, "--units", units, cwd=tmp_path)
    assert ran.code == 0
    told = json.loads(cardgen("check", tmp_path / "rotor.toml", "--json").out)
    assert len(told["problems"]) > 40
    assert {problem["rule"] for problem in told["problems"]} & {"key-unknown", "group-unknown"} == set()
    assert {problem["read"] for problem in told["problems"]} <= {'""', "nothing", "[]"}


def test_it_never_overwrites(tmp_path: Path) -> None:
    path = tmp_path / "rotor.toml"
    path.write_text("precious", "utf-8")
    ran = cardgen("init", path)
    assert ran.code == 3
    assert path.read_text("utf-8") == "precious"
    assert "exists already" in ran.err


def test_it_asks_nothing_and_names_the_next_command(tmp_path: Path) -> None:
    ran = cardgen("init", "mine.toml", cwd=tmp_path)
    assert ran.out.endswith("Next: cardgen check mine.toml\n")
    assert "cardgen check mine.toml" in (tmp_path / "mine.toml").read_text("utf-8")


def test_a_name_with_a_blank_in_it_can_be_pasted_into_a_shell(tmp_path: Path) -> None:
    ran = cardgen("init", "Mein Rötor.toml", cwd=tmp_path)
    assert ran.code == 0
    said = ran.out.partition("Next: ")[2]
    assert shlex.split(said) == ["cardgen", "check", "Mein Rötor.toml"]
    text = (tmp_path / "Mein Rötor.toml").read_text("utf-8")
    (line,) = [each for each in text.splitlines() if each.startswith("#     cardgen check")]
    assert shlex.split(line.removeprefix("#")) == ["cardgen", "check", "Mein Rötor.toml"]


def test_a_folder_that_is_not_there_is_trouble(tmp_path: Path) -> None:
    ran = cardgen("init", tmp_path / "nowhere" / "rotor.toml")
    assert ran.code == 3
    assert len(ran.err.splitlines()) == 1


def test_a_sample_s_values_are_not_in_it() -> None:
    typed = set(leaves(tomllib.loads(METRIC.read_text("utf-8"))))
    quantities = {value for value in typed if isinstance(value, str) and re.match(r"[0-9.]+ \S", value)}
    assert len(quantities) > 20
    # Three forms in the comments happen to be this sample's own: a speed, a distance, and nought.
    text = starting("x", "string", "metric")
    assert {value for value in quantities if f'"{value}"' in text} <= {"360 rpm", "30 m", "0 mm"}
