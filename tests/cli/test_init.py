"""``cardgen init``: every key, no value, never over another file."""

from __future__ import annotations

import json
import re
import shlex
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, Literal

import pytest
from jsonschema import Draft202012Validator

from cardgen.spec.json_schema import json_schema
from cardgen.spec.not_given import MAY_BE_NOT_GIVEN
from cardgen.spec.starting import starting
from tests.cli.running import INCH, METRIC, cardgen

HUBS: tuple[Literal["adjustable", "string"], ...] = ("adjustable", "string")
UNITS: tuple[Literal["inch", "metric"], ...] = ("inch", "metric")

#: Words that say which part of the file this is; none of them is a maker's.
STRUCTURE = {"strap", "hub face", "centre mark", 2}


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


@pytest.mark.parametrize("hub", HUBS)
def test_every_key_that_papers_may_leave_open_says_so_and_no_other(
    hub: Literal["adjustable", "string"],
) -> None:
    group, offered = "", set()
    for line in starting("rotor.toml", hub, "inch").splitlines():
        if header := re.match(r"#? ?\[+([a-z]+)", line):
            group = header[1]
        elif (key := re.match(r"#? ?([a-z_]+) +=", line)) and line.endswith("or not_given"):
            offered.add((group, key[1]))
    assert offered == {(group, key) for group, keys in MAY_BE_NOT_GIVEN.items() for key in keys}


@pytest.mark.parametrize("hub", HUBS)
def test_of_a_group_that_is_kept_each_key_says_whether_it_is_needed(
    hub: Literal["adjustable", "string"],
) -> None:
    """Judged against the schema that editors get; what is needed only with another key says with which."""
    group, seen = "", 0
    for line in starting("rotor.toml", hub, "inch").splitlines():
        if header := re.match(r"(# )?\[+([a-z_.]+)\]", line):
            group = header[2] if header[1] and not header[2].startswith("track.") else ""
        elif group and (key := re.match(r"# ([a-z_]+) +=[^#]*(?:# (.*))?", line)):
            says = re.match(r"needed(:|$)", key[2] or "") is not None
            assert says is (key[1] in _needed(group)), line
            seen += says
    assert seen > 50


@cache
def _needed(group: str) -> frozenset[str]:
    schema = json_schema()
    place = schema
    for name in group.split("."):
        place = place["properties"][name]
        place = place.get("items", place)
        for choice in (place, *place.get("anyOf", ())):
            choice = choice.get("items", choice)
            if "$ref" in choice:
                place = schema["$defs"][choice["$ref"].rpartition("/")[2]]
                break
    return frozenset(place.get("required", ()))


#: Where a card sets the words into its own sentence, the comment shows that sentence.
SET_IN = {
    "name": "torque the …",
    "dial_touches": "set the dial on the …",
    "dial_base": "set the stand on the …",
    "view_from": "watch from the …",
    "contact": "… touch",
}


@pytest.mark.parametrize("key", SET_IN)
def test_words_that_stand_in_a_sentence_are_asked_for_with_it(key: str) -> None:
    lines = re.findall(rf"^(?:# )?{key} +=.*", starting("rotor.toml", "adjustable", "inch"), re.MULTILINE)
    assert [line for line in lines if f'the card says "{SET_IN[key]}"' in line] == lines
    assert len(lines) == 1


def test_what_every_rotor_needs_stands_in_no_comment() -> None:
    """By the schema that editors get: whoever fills in each empty line has left no needed one behind a #."""
    text = starting("rotor.toml", "adjustable", "inch")
    for group in ("documents", "rotor", "blades", "fasteners", "track", "authority"):
        (kept,) = re.findall(rf"^\[+{group}\](.*?)(?=^(?:# )?\[)", text, re.MULTILINE | re.DOTALL)
        needed = _needed(group)
        assert needed
        assert needed <= set(re.findall(r"^([a-z_]+) +=", kept, re.MULTILINE)), group


def test_a_maker_s_own_bolt_that_no_paper_numbers_may_lack_its_station() -> None:
    (line,) = re.findall(r"^stations .*", starting("rotor.toml", "adjustable", "inch"), re.MULTILINE)
    assert "left out only for the maker's own that no paper numbers" in line


def test_it_asks_in_the_order_in_which_a_leaflet_tells() -> None:
    """Common practice, no source: who, bolts, line, hub, tips, track, aircraft; what it has not comes last."""
    text = starting("rotor.toml", "string", "inch")
    groups = ("documents", "rotor", "fasteners", "string", "teeter", "balance", "track", "run", "authority")
    places = [re.search(rf"^#? ?\[+{group}\]", text, re.MULTILINE) for group in groups]
    starts = [place.start() for place in places if place]
    assert len(starts) == len(groups)
    assert starts == sorted(starts)
    # The bolts are listed as a table before the one block that is copied for each kind.
    assert re.search(r"^# +joint +\| station \| place", text, re.MULTILINE)
    assert text.count("\n[[fasteners]]") == 1


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


@pytest.mark.parametrize("hub", HUBS)
def test_an_editor_knows_every_key_of_it(hub: Literal["adjustable", "string"]) -> None:
    """Judged by another library against the schema that editors get: empty values, and no key too many."""
    data = json.loads(json.dumps(tomllib.loads(starting("rotor.toml", hub, "inch")), default=str))
    found = list(Draft202012Validator(json_schema()).iter_errors(data))
    assert len(found) > 40
    assert [each.message for each in found if each.validator == "additionalProperties"] == []


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


#: What no two rotors share, or what must be looked at anew.
OWN = ("set_id", "diameter", "mark_a", "mark_b", "drawn_a", "drawn_b", "hub_serial", "serial_a", "serial_b")
#: Groups in which a key of such a name is the maker's.
OTHERS = ("balance", "reflectors", "track")
OWN_TOO = ("registration", "use_until", "date", "calibrated_until", "form_url", "place", "acknowledged_by")


@pytest.mark.parametrize("like", [INCH, METRIC])
def test_a_like_rotor_s_file_is_begun_from_without_serials_marks_and_dates(like: Path, tmp_path: Path) -> None:
    assert cardgen("init", "mine.toml", "--from", like, cwd=tmp_path).code == 0
    text = (tmp_path / "mine.toml").read_text("utf-8")
    before, after = (dict(paths(tomllib.loads(each))) for each in (like.read_text("utf-8"), text))
    assert list(before) == list(after)
    changed = {path for path in before if before[path] != after[path]}
    assert {after[path] for path in changed} == {""}
    kept = {path for path in before if path[-1] in OWN + OWN_TOO and path[0] not in OTHERS}
    assert kept <= changed
    assert {path[-1] for path in changed} <= {*OWN, *OWN_TOO, "thickness"}
    # Every comment is still there, in its place.
    assert re.findall("#.*", like.read_text("utf-8")) == re.findall("#.*", text)[2:]


def paths(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    """Give every value at the ends of a table with its path."""
    if isinstance(value, dict | list):
        for key, each in value.items() if isinstance(value, dict) else enumerate(value):
            yield from paths(each, (*path, key))
    else:
        yield path, value


def test_a_flag_that_was_let_pass_for_one_rotor_is_not_let_pass_for_the_next(tmp_path: Path) -> None:
    passed = '[[overrides]]\nrule = "a"\nacknowledged_by = "inspector"  # on duty\ndate = 2026-04-02\n'
    (tmp_path / "old.toml").write_text(f"schema = 2\r\n{passed}", "utf-8")
    assert cardgen("init", "new.toml", "--from", "old.toml", cwd=tmp_path).code == 0
    begun = (tmp_path / "new.toml").read_text("utf-8")
    assert 'acknowledged_by = ""  # on duty\ndate = ""\n' in begun


@pytest.mark.parametrize(
    ("text", "why"),
    [("schema = 1\n", "not of schema 2"), ("[rotor", "is no TOML"), (None, "there is no such file")],
)
def test_nothing_is_begun_from_what_cannot_be_read(text: str | None, why: str, tmp_path: Path) -> None:
    if text is not None:
        (tmp_path / "old.toml").write_text(text, "utf-8")
    ran = cardgen("init", "new.toml", "--from", "old.toml", cwd=tmp_path)
    assert ran.code == 3
    assert why in ran.err
    assert not (tmp_path / "new.toml").exists()
