"""One value of a file is changed; its comments, its order and every other value stay."""

from __future__ import annotations

import tomllib
from datetime import date
from typing import Any

import pytest

from cardgen.spec.problem import Path
from cardgen.spec.starting import starting, starting_groups
from cardgen.spec.written import NotWrittenError, with_row, with_value, without_group, without_row
from tests.cli.running import INCH

START = starting("rotor.toml", "adjustable", "inch").encode()


def lines_changed(before: bytes, after: bytes) -> list[str]:
    old = before.decode().splitlines()
    return [line for line in after.decode().splitlines() if line not in old]


@pytest.mark.parametrize(
    ("path", "value", "line"),
    [
        (("rotor", "set_id"), "RB-1", 'set_id         = "RB-1"       # name of the deck'),
        # The line stood ready behind a #, with its comment.
        (("rotor", "mass"), "70 lb", 'mass         = "70 lb"       # whole rotor'),
        (("track", "points", 0, "rule"), "30 thou/in", "points                = [{"),
        (("documents", 0, "date"), date(2026, 1, 2), "date     = 2026-01-02             # 2025-03-01"),
    ],
)
def test_a_value_is_written_where_the_file_has_its_line(path: Path, value: Any, line: str) -> None:
    made = with_value(START, path, value)
    (changed,) = lines_changed(START, made)
    assert changed.startswith(line)


def test_a_group_that_stood_ready_begins_with_its_source_and_nothing_else() -> None:
    made = with_value(START, ("head", "radial_play"), "2 thou")
    assert tomllib.loads(made.decode())["head"] == {"radial_play": "2 thou", "source": "", "not_given": []}


def test_a_value_taken_out_stays_ready_behind_its_mark() -> None:
    text = INCH.read_bytes()
    made = with_value(text, ("rotor", "mass"), None)
    assert lines_changed(text, made) == ['# mass         = ""                   # bar, straps and both blades']
    again = with_value(made, ("rotor", "mass"), "96 lb")
    assert tomllib.loads(again.decode()) == tomllib.loads(text.decode())


@pytest.mark.parametrize("group", ["hub", "tip", "string", "care"])
def test_a_group_taken_out_stays_ready_and_begins_again(group: str) -> None:
    text = START if group == "hub" else INCH.read_bytes()
    made = without_group(text, (group,))
    before = tomllib.loads(text.decode())
    assert tomllib.loads(made.decode()) == {key: held for key, held in before.items() if key != group}
    # Nothing of it is gone but from what is read.
    assert [line.removeprefix("# ") for line in made.decode().splitlines()] == [
        line.removeprefix("# ") for line in text.decode().splitlines()
    ]
    assert without_group(made, (group,)) == made
    again = tomllib.loads(with_value(made, (group, "source"), "MAKER-1 p.3").decode())
    assert again[group]["source"] == "MAKER-1 p.3"


@pytest.mark.parametrize(
    "hostile", ['"', "'''", "\\", "a\nb = 1", "# no comment", "]\n[rotor]", "\x00\x7f", "𝔘‮"]
)
def test_no_text_that_is_typed_can_change_anything_else(hostile: str) -> None:
    text = INCH.read_bytes()
    for path in (("rotor", "mark_a"), ("documents", 1, "title"), ("track", "said", "lower_a")):
        made = tomllib.loads(with_value(text, path, hostile).decode())
        held: Any = made
        for part in path:
            held = held[part]
        assert held == hostile


def test_rows_are_added_and_taken_out_with_the_comments_of_the_others_kept() -> None:
    text = INCH.read_bytes()
    for name in ("fasteners", "documents", "wrenches"):
        before = tomllib.loads(text.decode())[name]
        more = with_row(text, (name,), {"name": "one more"})
        assert tomllib.loads(more.decode())[name] == [*before, {"name": "one more"}]
        assert tomllib.loads(without_row(more, (name, len(before))).decode()) == tomllib.loads(text.decode())
        assert more.count(b"#") == text.count(b"#")
        less = without_row(text, (name, 0))
        assert tomllib.loads(less.decode())[name] == before[1:]
    with pytest.raises(NotWrittenError):
        without_row(text, ("fasteners", 9))


def test_the_first_of_a_list_begins_where_the_file_keeps_it_ready() -> None:
    made = with_row(START, ("wrenches",), {"id": "T-1"})
    assert tomllib.loads(made.decode())["wrenches"] == [{"id": "T-1"}]


def test_the_starting_file_tells_its_groups_in_the_order_of_a_leaflet() -> None:
    groups = starting_groups()
    assert list(groups)[:4] == ["documents", "rotor", "blades", "hub"]
    assert list(groups["blades"].keys)[:3] == ["serial_a", "serial_b", "chord"]
    assert groups["blades"].keys["chord"].startswith("leading edge to trailing edge")
