"""The JSON Schema, judged by checkers that other people wrote."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from cardgen.spec.fields import group_types
from cardgen.spec.json_schema import json_schema, schema_text
from cardgen.spec.load import load_bytes
from cardgen.spec.rules.while_reading import MEANINGS
from tests.editing import edited, replaced, without_group

BROKEN = [
    ("schema", "1"),
    ("rotor.diameter", '"24 ft 6"'),
    ("rotor.diameter", '"7,40 m"'),
    ("rotor.diameter", "24"),
    ("rotor.rotation", '"left"'),
    ("rotor.set_id", '"lower case"'),
    ("rotor.diametre", '"24 ft"'),
    ("blades.chord", None),
    ("blades.serial_a", '"' + "9" * 41 + '"'),
    ("authority.use_until", '"some day"'),
    ("fasteners[1].torque_min", '"165"'),
    ("fasteners[1].torque_min", '"165 mil"'),
    ("fasteners[1].stations", "[25]"),
    ("fasteners[1].not_given", '["torque_min"]'),
    ("tip.not_given", '["screws"]'),
    ("documents[3].date", '"Nov 2024"'),
    ("fasteners[1].thread", '"3/8"'),
    ("tightening.order", "[]"),
    ("track.interpolate", '"yes"'),
    ("track.sides", '["a", "b", "c"]'),
    ("track.sources.max_totl", '"RULES s.2"'),
    ("pitch.tolerance", '"6 rpm"'),
]


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    return Draft202012Validator(json_schema(), format_checker=Draft202012Validator.FORMAT_CHECKER)


def _data(text: str) -> Any:
    """Parse TOML the way editors do: JSON has no dates, so they are strings."""
    return json.loads(json.dumps(tomllib.loads(text), default=date.isoformat))


def test_it_is_a_valid_schema_of_its_dialect() -> None:
    Draft202012Validator.check_schema(json_schema())


def test_the_text_is_the_schema() -> None:
    assert json.loads(schema_text()) == json_schema()


def test_every_accepted_specification_fits(
    validator: Draft202012Validator, shape_text: str, sample_paths: list[Path]
) -> None:
    assert sample_paths
    for text in (shape_text, *(path.read_text(encoding="utf-8") for path in sample_paths)):
        assert [error.message for error in validator.iter_errors(_data(text))] == []


#: How people write values, as TOML; a prime or quote of one kind stands between quotes of the other.
WRITTEN = [
    ("rotor.diameter", '"24\'6″"'),
    ("rotor.diameter", '"24 feet 6 1/2 inches"'),
    ("blades.chord", "'7½\"'"),
    ("fasteners[1].torque_min", '"165\u00a0in-lb"'),
    ("fasteners[1].torque_min", '"165 INCH POUNDS"'),
    ("fasteners[1].torque_min", '"18.7Nm"'),
    ("fasteners[1].thread", "'3/8\"–24 UNF-3A'"),
    ("fasteners[1].thread", '"M8 × 1"'),
    ("fasteners[1].locking", '"split pin"'),
    ("pitch.tolerance", '"6′"'),
    ("pitch.angle", '"4°30′"'),
    ("rotor.normal_speed", '"360 rev/min"'),
    ("run.wind_limit", '"7 knots"'),
]


@pytest.mark.parametrize(("key", "value"), WRITTEN)
def test_a_value_as_people_write_it_fits(
    validator: Draft202012Validator, shape_text: str, key: str, value: str
) -> None:
    text = edited(shape_text, key, value)
    assert [error.message for error in validator.iter_errors(_data(text))] == []
    loaded = load_bytes(text.encode(), "rotor.toml", date(2026, 6, 1))
    assert key not in {problem.key for problem in loaded.problems if problem.rule in MEANINGS}


@pytest.mark.parametrize(("key", "value"), BROKEN)
def test_a_broken_specification_does_not_fit(
    validator: Draft202012Validator, shape_text: str, key: str, value: str | None
) -> None:
    assert list(validator.iter_errors(_data(edited(shape_text, key, value))))


def test_a_required_group_left_out_does_not_fit(validator: Draft202012Validator, shape_text: str) -> None:
    for group in ("rotor", "documents", "track", "authority"):
        assert list(validator.iter_errors(_data(without_group(shape_text, group))))


def _groups(node: Any) -> Iterator[dict[str, Any]]:
    if isinstance(node, dict):
        if isinstance(node.get("properties"), dict):
            yield node
        for inside in node.values():
            yield from _groups(inside)
    if isinstance(node, list):
        for inside in node:
            yield from _groups(inside)


def test_every_key_is_described_and_no_other_is_allowed() -> None:
    groups = list(_groups(json_schema()))
    assert len(groups) > len(group_types())
    for group in groups:
        assert group["additionalProperties"] is False
        for key, place in group["properties"].items():
            assert place.get("description"), key


def test_nothing_has_a_default() -> None:
    assert '"default"' not in schema_text()


def _checked(command: list[str], folder: Path) -> subprocess.CompletedProcess[str]:
    program = shutil.which(command[0], path=str(Path(sys.executable).parent)) or shutil.which(command[0])
    assert program, f"{command[0]} is one of the test dependencies"
    return subprocess.run(
        [program, *command[1:]], cwd=folder, capture_output=True, text=True, check=False, timeout=60
    )


@pytest.mark.parametrize("command", [["taplo", "lint"], ["tombi", "lint", "--offline"]], ids=["taplo", "tombi"])
def test_an_editor_checker_accepts_what_is_right_and_refuses_what_is_not(
    command: list[str], shape_text: str, tmp_path: Path
) -> None:
    (tmp_path / "rotor.schema.json").write_text(schema_text(), encoding="utf-8")
    directive = "#:schema ./rotor.schema.json\n"
    (tmp_path / "good.toml").write_text(directive + shape_text, encoding="utf-8")
    broken = replaced(shape_text, 'wind_limit    = "7 kt"', 'wind_limit    = "7 mph"')
    (tmp_path / "bad.toml").write_text(directive + broken, encoding="utf-8")
    written = shape_text
    for key, value in WRITTEN:
        written = edited(written, key, value)
    (tmp_path / "written.toml").write_text(directive + written, encoding="utf-8")
    for name in ("good.toml", "written.toml"):
        good = _checked([*command, name], tmp_path)
        assert good.returncode == 0, good.stdout + good.stderr
    bad = _checked([*command, "bad.toml"], tmp_path)
    assert bad.returncode != 0
    assert "7 mph" in bad.stdout + bad.stderr
