"""Where a key stands in the file."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator

import pytest

from cardgen.spec.positions import Positions
from cardgen.spec.problem import Path

FILE = """\
# Kopfzeile mit Umlaut: äöü
schema = 1
[rotor]
mark_a = "ä"
  "mark b" = 'x'
track.sources."max.split" = "y"   # dotted, quoted
[[fasteners]]
station = 1
[fasteners.sources]
nut = "z"
[[fasteners]]   # the second
station = 2
[string]
[[string.checks]]
method = "a"
[[string.checks]]
method = "b"
[track]
points = [
  # a comment first
  { diameter = "1 m", äö = 1 },
  { diameter = "2 m", rule = { deep = [10, 20] } },
]
text = \"\"\"
[not.a.group]
\"\"\"
[ spaced . "out" ]
key = 1
"""

PLACES: list[tuple[Path, tuple[int, int]]] = [
    (("schema",), (2, 1)),
    (("rotor",), (3, 1)),
    (("rotor", "mark_a"), (4, 1)),
    (("rotor", "mark b"), (5, 3)),
    (("rotor", "track", "sources", "max.split"), (6, 1)),
    (("fasteners",), (7, 1)),
    (("fasteners", 0), (7, 1)),
    (("fasteners", 0, "station"), (8, 1)),
    (("fasteners", 0, "sources", "nut"), (10, 1)),
    (("fasteners", 1), (11, 1)),
    (("fasteners", 1, "station"), (12, 1)),
    (("string", "checks", 0, "method"), (15, 1)),
    (("string", "checks", 1, "method"), (17, 1)),
    (("track", "points"), (19, 1)),
    (("track", "points", 0), (21, 3)),
    (("track", "points", 0, "diameter"), (21, 5)),
    (("track", "points", 1, "rule"), (22, 23)),
    (("track", "points", 1, "rule", "deep", 1), (22, 44)),
    (("spaced", "out", "key"), (28, 1)),
]


def _valid(text: str) -> str:
    # A bare key has plain letters only; the umlauts must be quoted to be TOML at all.
    return text.replace("äö = 1", '"äö" = 1')


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize(("path", "place"), PLACES)
def test_every_form_of_key_has_its_place(path: Path, place: tuple[int, int], end: str) -> None:
    text = _valid(FILE).replace("\n", end)
    tomllib.loads(text)
    assert Positions(text.encode()).of(path) == place


def test_columns_count_characters_not_bytes() -> None:
    text = '"äöü" = { a = "ß", b = 1 }\n'
    assert Positions(text.encode()).of(("äöü", "b")) == (1, text.index("b = ") + 1)


@pytest.mark.parametrize(
    ("path", "place"),
    [
        (("rotor", "diameter"), (3, 1)),
        (("fasteners", 1, "torque_min"), (11, 1)),
        (("fasteners", 0, "sources", "drag"), (9, 1)),
        (("string", "checks", 1, "limit"), (16, 1)),
        (("track", "points", 1, "chord"), (22, 3)),
        (("blades", "chord"), (0, 0)),
        (("blades",), (0, 0)),
    ],
)
def test_a_missing_key_is_placed_at_its_nearest_parent(path: Path, place: tuple[int, int]) -> None:
    assert Positions(_valid(FILE).encode()).of(path) == place


def test_every_key_of_the_complete_specification_has_a_line_of_its_own(shape_text: str) -> None:
    positions = Positions(shape_text.encode())
    lines = shape_text.split("\n")
    for path in _paths(tomllib.loads(shape_text), ()):
        line, column = positions.of(path)
        named = next(str(part) for part in reversed(path) if isinstance(part, str))
        if isinstance(path[-1], str):
            assert named in lines[line - 1], path
            assert lines[line - 1][column - 1 :].startswith((named, "[")), path


def _paths(value: object, path: Path) -> Iterator[Path]:
    if path:
        yield path
    if isinstance(value, dict):
        for key, inside in value.items():
            yield from _paths(inside, (*path, key))
    if isinstance(value, list):
        for index, inside in enumerate(value):
            yield from _paths(inside, (*path, index))


def test_nesting_without_end_is_given_up_quietly() -> None:
    text = "a = " + "[" * 300 + "]" * 300 + "\n" + ".".join("b" * 50) + " = 1\n"
    positions = Positions(text.encode())
    assert positions.of(("a", 0, 0)) == (1, 7)
    assert positions.of(("b", "b", "x")) == (2, 1)
