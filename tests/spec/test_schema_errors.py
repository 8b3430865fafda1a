"""What Pydantic objects to, said in the keeper's terms."""

from __future__ import annotations

import copy
import tomllib
from collections.abc import Iterator
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from cardgen.spec import schema_errors
from cardgen.spec.fields import expected, group_types
from cardgen.spec.groups import PURPOSES
from cardgen.spec.load import load_bytes
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Path, Problem
from cardgen.spec.rules.while_reading import MEANINGS
from tests.editing import edited, replaced

# One of every type a TOML file can hold, and values at the edges.
BAD: list[Any] = [
    True, 7, 0, -1, 10**6, Decimal("7.5"), Decimal("NaN"), "", "no such word", "x" * 300, "190", "\u202e", [],
    [1], [[1]], [True], ["a", "b", "c", "d"], ["\x00"], {}, {"a": 1}, [{}], [{"a": 1}], [7, "x"],
    date(2026, 1, 1), datetime(2026, 1, 1), time(1, 2),
]  # fmt: skip


def _problems(text: str, today: date) -> list[Problem]:
    return list(load_bytes(text.encode(), "rotor.toml", today).problems)


def _only(text: str, today: date, key: str) -> Problem:
    (problem,) = (found for found in _problems(text, today) if found.key == key)
    return problem


def _walk(value: object, path: Path) -> Iterator[Path]:
    yield path
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for part, deeper in inside:
        yield from _walk(deeper, (*path, part))


def _kind(path: Path) -> Path:
    return tuple(0 if isinstance(part, int) else part for part in path)


def _with(raw: Any, path: Path, value: Any) -> Any:
    if not path:
        return value
    changed = copy.copy(raw)
    changed[path[0]] = _with(raw[path[0]], path[1:], value)
    return changed


def _without(raw: Any, path: Path) -> Any:
    if len(path) == 1:
        return {key: value for key, value in raw.items() if key != path[0]}
    changed = copy.copy(raw)
    changed[path[0]] = _without(raw[path[0]], path[1:])
    return changed


@pytest.fixture(scope="module")
def table(shape_text: str) -> dict[str, Any]:
    return tomllib.loads(shape_text, parse_float=Decimal)


def test_every_error_that_a_bad_value_can_raise_is_mapped(table: dict[str, Any]) -> None:
    seen: set[str] = set()
    for name, kind in group_types().items():
        adapter = TypeAdapter(kind)
        # The places of a list are alike: each key of its items is spoilt in the first that has it.
        paths = {_kind(path): path for path in reversed([*_walk(table[name], ())])}.values()
        raws = [_with(table[name], path, bad) for path in paths for bad in BAD]
        raws += [_without(table[name], path) for path in paths if path and isinstance(path[-1], str)]
        for raw in raws:
            try:
                adapter.validate_python(raw)
            except ValidationError as error:
                seen |= {details["type"] for details in error.errors(include_url=False)}
                for found in schema_errors.findings(name, raw, error):
                    assert found.rule != "value-unread", found
                    assert found.rule in MEANINGS, found
                    assert found.read and found.why and found.write, found
                    assert len(found.read) <= 60
                    assert found.path[0] == name
                    assert "[" not in "".join(part for part in found.path if isinstance(part, str))
    assert seen == set(schema_errors.ADVICE)


def test_every_group_that_must_stand_says_what_it_is_for(table: dict[str, Any]) -> None:
    required = {field.alias or name for name, field in RotorSpec.model_fields.items() if field.is_required()}
    assert set(PURPOSES) == required
    assert set(table) == set(group_types())


def test_every_key_of_every_group_says_what_it_means(table: dict[str, Any]) -> None:
    for name in table:
        for path in _walk(table[name], (name,)):
            place = expected(path)
            assert place is not None, path
            listed = isinstance(path[-1], int) or "sources" in path
            assert place.about or place.group or listed or len(path) == 1, path


@pytest.mark.parametrize(
    ("key", "value", "rule"),
    [
        ("schema", "3", "schema-version"),
        ("schema", "2.0", "schema-version"),
        ("schema", '"2"', "schema-version"),
        ("schema", "true", "schema-version"),
        ("rotor.diameter", "24.5", "quantity-not-text"),
        ("rotor.diameter", "24", "quantity-not-text"),
        ("rotor.diameter", "true", "quantity-not-text"),
        ("rotor.diameter", '["24 ft"]', "quantity-not-text"),
        ("rotor.normal_speed", '"340"', "quantity-unit-missing"),
        ("rotor.rotation", '"sideways"', "word-unknown"),
        ("rotor.rotation", "1", "word-unknown"),
        ("rotor.rotation", '["clockwise"]', "word-unknown"),
        ("rotor.mark_a", "1", "text-not-text"),
        ("rotor.mark_a", '""', "text-empty"),
        ("rotor.set_id", '"rb 2041"', "set-id"),
        ("rotor.set_id", '"A23456789012345678"', "set-id"),
        ("blades.serial_a", '"' + "9" * 200 + '"', "text-length"),
        ("blades.serial_a", "501", "text-not-text"),
        ("authority.use_until", '"2027-05-31"', "date-form"),
        ("authority.use_until", "2027-05-31T00:00:00", "date-form"),
        ("authority.use_until", "2027-05-31T00:00:00Z", "date-form"),
        ("authority.use_until", "08:00:00", "date-form"),
        ("authority.use_until", "20270531", "date-form"),
        ("fasteners[1].thread", '"3/8"', "thread-form"),
        ("fasteners[1].thread", "38", "thread-form"),
        ("tightening.order", "[]", "list-length"),
        ("tightening.order", "1", "list-form"),
        ("tightening.order", '"1, 2"', "list-form"),
        ("wrenches[1].error", '"3 %"', "percent-form"),
        ("wrenches[1].error", "true", "percent-form"),
        ("wrenches[1].error", "nan", "percent-form"),
        ("wrenches[1].error", "inf", "percent-form"),
        ("wrenches[1].error", "3e1", "percent-form"),
        ("wrenches[1].error", "1e-400000000", "percent-form"),
        ("wrenches[1].error", "1e400000000", "percent-form"),
        ("track.interpolate", '"yes"', "true-or-false"),
        ("track.interpolate", "1", "true-or-false"),
        ("track.points", "[]", "list-length"),
        ("track.sides", '["a", "b", "c"]', "list-length"),
        ("track.sides", '"a"', "list-form"),
        ("pitch.swap.corners", '["one"]', "list-length"),
        ("track.points", "{}", "list-form"),
        ("log", "1", "group-form"),
    ],
)
def test_a_wrong_type_is_refused_by_its_rule(
    shape_text: str, today: date, key: str, value: str, rule: str
) -> None:
    text = shape_text.replace("  # shorter\n", "\n")
    if key == "track.points":
        start, end = text.index("points  "), text.index("interpolate")
        text = text[:start] + f"points = {value}\n" + text[end:]
    elif key == "log":
        text = "log = 1\n" + replaced(text, '[log]\nform_url = "https://log.example.org/test-77/"\n', "")
    else:
        text = edited(text, key, value)
    assert _only(text, today, key).rule == rule


@pytest.mark.parametrize(
    ("key", "value", "write"),
    [
        ("authority.use_until", '"2027-05-31"', "2027-05-31"),
        ("authority.use_until", "2027-05-31T00:00:00", "2027-05-31"),
        ("authority.use_until", '"31.5.2027"', "2027-05-31"),
        ("authority.use_until", '"5.6.2027"', "year, month and day without quotes, such as 2027-11-30"),
        (
            "rotor.rotation",
            '"Clock-wise"',
            '"counter-clockwise" or "clockwise"; the nearest is "clockwise"',
        ),
        ("rotor.rotation", '"left"', '"counter-clockwise" or "clockwise"'),
        ("fasteners[1].torque_min", '"165 NM"', '"165 N·m"'),
        ("rotor.set_id", '"TEST\u201377"', '"TEST-77"'),
        ("fasteners[1].thread", '"m8 \u00d7 1"', '"M8x1"'),
        ("fasteners[1].thread", '"3/8 UNF"', '"3/8-24"'),
    ],
)
def test_what_to_write_is_said_exactly(shape_text: str, today: date, key: str, value: str, write: str) -> None:
    assert _only(edited(shape_text, key, value), today, key).write == write


@pytest.mark.parametrize(
    ("group", "typed", "write"),
    [
        ("rotor", "diametre", "diameter, if that is what is meant"),
        ("rotor", "set-id", "set_id, if that is what is meant"),
        ("fasteners[2]", "torqe_max", "torque_max, if that is what is meant"),
        ("pitch.swap", "corner", "corners, if that is what is meant"),
        ("blades", "graduation", "graduation below [wrenches], where it belongs"),
    ],
)
def test_an_unknown_key_is_answered_with_the_nearest(
    shape_text: str, today: date, group: str, typed: str, write: str
) -> None:
    found = _only(edited(shape_text, f"{group}.{typed}", '"1 in"'), today, f"{group}.{typed}")
    assert (found.rule, found.read, found.write) == ("key-unknown", '"1 in"', write)


def test_an_unknown_key_near_to_nothing_is_answered_with_all_keys(shape_text: str, today: date) -> None:
    found = _only(edited(shape_text, "log.zzz", "1"), today, "log.zzz")
    assert found.write == "one of form_url"


def test_an_unknown_group_is_answered_with_the_nearest(shape_text: str, today: date) -> None:
    found = _only(f"{shape_text}\n[rotr]\nx = 1\n", today, "rotr")
    assert (found.rule, found.write) == ("key-unknown", "rotor, if that is what is meant")


@pytest.mark.parametrize(
    ("key", "write"),
    [
        ("rotor.diameter", 'diameter = tip to tip; in the form "23 ft + 0 in" or "7.01 m"'),
        ("rotor.pitch", 'pitch = "adjustable" or "fixed"'),
        ("fasteners[3].name", "name = what the hand calls them"),
        (
            "authority.use_until",
            "use_until = last day these cards may be used; "
            "year, month and day without quotes, such as 2027-11-30",
        ),
        ("wrenches[1].error", "error = percent, from its calibration sheet; in the form 4"),
        (
            "log.form_url",
            'form_url = https address of the form; in the form "https://log.example.org/rb-2041/"',
        ),
    ],
)
def test_a_missing_key_says_what_belongs_there(shape_text: str, today: date, key: str, write: str) -> None:
    found = _only(edited(shape_text, key, None), today, key)
    assert (found.rule, found.read, found.write) == ("key-missing", "nothing", write)


@pytest.mark.parametrize(
    ("key", "typed", "write"),
    [
        ("rotor.diameter", '""', 'tip to tip; in the form "23 ft + 0 in" or "7.01 m"'),
        ("rotor.mark_a", '""', 'how the metal of blade A is marked; in the form "one dot"'),
        ("rotor.source", '""', 'document id and place; in the form "MAKER-1 p.7"'),
        (
            "fasteners[1].thread",
            '""',
            'size and pitch; if you fit them; in the form "3/8-24", "10-32" or "M8x1"',
        ),
        ("track.sources.max_total", '""', 'document id and place; in the form "MAKER-1 p.7"'),
        ("wrenches[1].error", '""', "percent, from its calibration sheet; in the form 4"),
        ("schema", '""', "schema = 2, with every key as this shape has it"),
    ],
)
def test_an_empty_text_is_answered_with_what_belongs_there(
    shape_text: str, today: date, key: str, typed: str, write: str
) -> None:
    assert _only(edited(shape_text, key, typed), today, key).write == write


@pytest.mark.parametrize(
    ("key", "told"), [("head.push", True), ("blades.strap_pads", True), ("head.radial_play", False)]
)
def test_an_empty_text_that_papers_may_leave_open_tells_how_that_is_said(
    shape_text: str, today: date, key: str, told: bool
) -> None:
    answer = f'not_given = ["{key.partition(".")[2]}"]'
    assert (answer in _only(edited(shape_text, key, '""'), today, key).write) is told


def test_an_empty_entry_of_a_list_is_answered_with_what_the_list_holds(shape_text: str, today: date) -> None:
    found = _only(edited(shape_text, "track.sides", '["one notch", ""]'), today, "track.sides[2]")
    assert found.write == "the adjusters of a blade by their marks on the metal"


def test_a_needed_key_that_is_misspelt_is_one_problem(shape_text: str, today: date) -> None:
    (found,) = _problems(shape_text.replace("mark_a ", "markA ", 1), today)
    assert (found.key, found.write) == ("rotor.markA", "mark_a, if that is what is meant")
    both = _problems(shape_text.replace("mark_a ", "markA ", 1).replace("marks_at ", "zzz ", 1), today)
    assert [problem.key for problem in both] == ["rotor.marks_at", "rotor.markA", "rotor.zzz"]


# Unicode Character Database, name of U+2013.
@pytest.mark.parametrize(
    ("key", "typed", "name"),
    [
        ("rotor.set_id", '"TEST\u201377"', "an en dash (U+2013)"),
        ("rotor.rotation", '"counter\u2013clockwise"', "an en dash (U+2013)"),
    ],
)
def test_a_look_alike_is_named_in_the_reason(
    shape_text: str, today: date, key: str, typed: str, name: str
) -> None:
    assert name in _only(edited(shape_text, key, typed), today, key).why


def test_a_group_in_the_wrong_brackets_is_told_the_right_ones(shape_text: str, today: date) -> None:
    doubled = _only(replaced(shape_text, "[rotor]", "[[rotor]]"), today, "rotor")
    assert (doubled.rule, doubled.write) == ("group-form", "[rotor], in single brackets, then its keys below")
    single = _only(replaced(shape_text, "[[overrides]]", "[overrides]"), today, "overrides")
    assert single.rule == "list-form"
    assert single.write == "[[overrides]], in double brackets, then its keys; once for each"


@pytest.mark.parametrize(
    ("station", "rule"),
    [
        ("true", "number-whole"),
        ("1.0", "number-whole"),
        ('"1"', "number-whole"),
        ("0", "number-range"),
        ("25", "number-range"),
        ("-1", "number-range"),
    ],
)
def test_a_wrong_number_in_a_list_is_refused_by_its_rule(
    shape_text: str, today: date, station: str, rule: str
) -> None:
    text = edited(shape_text, "fasteners[1].stations", f"[{station}]")
    assert _only(text, today, "fasteners[1].stations[1]").rule == rule


def test_a_bad_key_hides_neither_its_neighbour_nor_another_group(shape_text: str, today: date) -> None:
    text = shape_text
    for key in (
        "rotor.diameter",
        "rotor.mark_a",
        "fasteners[1].torque_min",
        "fasteners[3].thread",
        "log.form_url",
    ):
        text = edited(text, key, "7")
    keys = [problem.key for problem in _problems(text, today)]
    assert keys == [
        "rotor.diameter", "rotor.mark_a", "fasteners[1].torque_min", "fasteners[3].thread", "log.form_url"
    ]  # fmt: skip


def test_what_was_typed_cannot_steer_a_terminal(shape_text: str, today: date) -> None:
    text = edited(shape_text, "rotor.mark_a", r'"\u001b[2J\u202e"')
    text = edited(text, "rotor.diameter", r'"1\u001b]0;x inches"')
    text += '\n["\\u001b[31m"]\n'
    for problem in _problems(text, today):
        assert (problem.key + problem.read + problem.why + problem.write).isprintable()


def test_a_megabyte_of_text_makes_a_short_message(shape_text: str, today: date) -> None:
    found = _only(edited(shape_text, "rotor.diameter", '"1 ' + "x" * 1900 + '"'), today, "rotor.diameter")
    assert len(found.read) == 60
    assert len(found.why) <= 600


def test_a_source_for_a_key_that_is_not_there_is_refused(shape_text: str, today: date) -> None:
    text = replaced(shape_text, 'max_total = "RULES s.2"', 'max_totl = "RULES s.2"')
    found = _only(text, today, "track.sources.max_totl")
    assert (found.rule, found.write) == ("sources-key-unknown", "max_total, if that is the key meant")
    text = replaced(shape_text, 'drag_max = "RULES s.9"', 'pin_head = "RULES s.9"')
    assert _only(text, today, "fasteners[2].sources.pin_head").rule == "sources-key-unknown"


def test_words_are_normalised_to_one_form(shape_text: str, today: date) -> None:
    # Unicode Standard Annex 15: the same letter typed two ways is one letter.
    loaded = load_bytes(edited(shape_text, "rotor.mark_a", '"e\\u0301"').encode(), "rotor.toml", today)
    assert loaded.spec is not None
    assert loaded.spec.rotor.mark_a == "\u00e9"
