"""Every rule has a specification that it and no other rule objects to."""

from __future__ import annotations

import ast
import re
from datetime import date
from functools import cache
from pathlib import Path

import pytest

import cardgen.spec
from cardgen.spec.load import Loaded, load, load_bytes
from cardgen.spec.problem import Problem
from cardgen.spec.rules import ALL_RULES, RULES, while_reading
from tests.spec.rules.cases import BASE, Case, cases

#: The day the cases are judged on; they were written for it.
TODAY = date(2026, 6, 1)

CASES = cases()
SAMPLES = Path(__file__).parents[3] / "sample_inputs"

#: Rules without a case, and where they are tested instead, or why nothing can show them.
NO_CASE = {
    "file-kind": "test_load",
    "file-not-utf8": "test_load",
    "file-byte-order-mark": "test_load",
    "file-line-length": "test_load",
    "file-line-ends": "test_toml_slips",
    "toml-character": "test_load",
    "toml-number": "test_load",
    "toml-depth": "test_load",
    "file-problems": "test_load",
    "toml-syntax": "kept for what the reader of TOML may say some day and does not say now",
    "value-unread": "kept for a kind of error that the model cannot raise",
}

#: Words of the code that a keeper has never heard.
JARGON = (
    r"\b(None|null|tuple|dict|boolean|bool|float|integer|parse[rd]?|regex|validat\w+|exception|pydantic|pint)\b"
)

#: A number with a unit: in the advice it could be taken for the value to write.
A_VALUE = r"\d\s?(in|ft|thou|mm|m|lb|lbf|oz|g|kg|N·m|in·lbf|ft·lbf|deg|rpm|kt|h|thou/in)\b"

each_case = pytest.mark.parametrize("case", CASES.values(), ids=list(CASES))


@cache
def judged(case: Case) -> Loaded:
    return load_bytes(case.text.encode(), f"{case.rule}.toml", TODAY)


@each_case
def test_its_rule_and_no_other_objects(case: Case) -> None:
    loaded = judged(case)
    refused = {problem.rule for problem in loaded.problems}
    warned = {problem.rule for problem in loaded.warnings}
    expected = (set(), {case.rule}) if case.warned else ({case.rule}, set(case.warns))
    assert (refused, warned) == expected
    assert (loaded.spec is None) is not case.warned


@each_case
def test_the_problem_points_at_what_was_edited(case: Case) -> None:
    for problem in _own(case):
        assert any(re.fullmatch(rf"{re.escape(key)}([.[].*)?", problem.key) for key in case.at), problem.key


# Read off the texts by eye with an editor that shows line and column.
@pytest.mark.parametrize(
    ("rule", "line", "column", "key"),
    [
        ("same-serial", 21, 1, "blades.serial_b"),
        ("torque-order", 66, 1, "fasteners[1].torque_min"),
        ("order-unknown", 111, 16, "tightening.order[3]"),
        ("track-basis-missing", 115, 1, "track.basis"),
        ("track-chord", 130, 40, "track.points[1].chord"),
        ("string-key-stray", 129, 1, "string.checks[2].measured_at"),
        ("quantity-comma", 23, 1, "blades.mass"),
        ("bounds-torque", 66, 1, "fasteners[1].torque_min"),
    ],
)
def test_places_are_those_an_editor_shows(rule: str, line: int, column: int, key: str) -> None:
    first = _own(CASES[rule])[0]
    assert (first.line, first.column, first.key) == (line, column, key)


def test_every_rule_has_a_case_or_a_reason_for_having_none() -> None:
    assert set(CASES) | set(NO_CASE) == set(ALL_RULES)
    assert not set(CASES) & set(NO_CASE)


def test_every_id_raised_while_reading_is_listed() -> None:
    root = Path(cardgen.spec.__file__).parent
    prefixes = {name.split("-")[0] for name in while_reading.MEANINGS}
    raised = set()
    for source in (*root.glob("*.py"), *(root / "model").glob("*.py")):
        for node in ast.walk(ast.parse(source.read_text("utf-8"))):
            text = node.value if isinstance(node, ast.Constant) else ""
            if isinstance(text, str) and re.fullmatch(r"[a-z]+(-[a-z0-9]+)+", text):
                raised.add(text)
    raised = {name for name in raised if name.split("-")[0] in prefixes}
    assert raised == set(while_reading.MEANINGS)


def test_ids_are_in_small_letters_with_hyphens_and_stand_for_one_rule() -> None:
    assert not {rule.id for rule in RULES} & set(while_reading.MEANINGS)
    assert all(re.fullmatch(r"[a-z]+(-[a-z0-9]+)+", name) for name in ALL_RULES)
    # Rules that share an id say the same, and weigh the same.
    assert len({(rule.id, rule.meaning, rule.kind) for rule in RULES}) == len({rule.id for rule in RULES})


def test_meanings_are_one_sentence_each() -> None:
    for name, meaning in ALL_RULES.items():
        assert re.fullmatch(r"[A-Z][^.]*(\d\.\d[^.]*)*\.", meaning), name


@each_case
def test_messages_say_why_and_what_to_write_without_proposing_a_value(case: Case) -> None:
    for problem in _own(case):
        assert problem.why and problem.write
        assert len(re.findall(r"[.;] ", problem.why)) <= 2, problem.why
        assert len(problem.why) <= 300, problem.why
        assert not problem.why.endswith("."), problem.why
        assert not re.search(JARGON, problem.why + " " + problem.write), problem
        if case.rule not in while_reading.MEANINGS:
            assert not re.search(A_VALUE, problem.write), problem.write


def test_base_is_a_sound_rotor_with_nothing_to_warn_of() -> None:
    loaded = load_bytes(BASE.encode(), "base.toml", TODAY)
    assert loaded.problems == ()
    assert {problem.rule for problem in loaded.warnings} == {"override-unused"}


@pytest.mark.parametrize("folder", ["refused", "warned"])
def test_the_samples_show_the_rule_they_are_named_after_and_are_explained(folder: str) -> None:
    readme = (SAMPLES / "README.md").read_text("utf-8")
    files = sorted((SAMPLES / folder).iterdir())
    assert files
    for path in files:
        loaded = load(path, TODAY)
        assert isinstance(loaded, Loaded)
        refused = {problem.rule for problem in loaded.problems}
        warned = {problem.rule for problem in loaded.warnings}
        assert (refused, warned) == (({path.stem}, set()) if folder == "refused" else (set(), {path.stem}))
        assert f"`{folder}/{path.name}`" in readme


def _own(case: Case) -> list[Problem]:
    loaded = judged(case)
    found = [problem for problem in (*loaded.problems, *loaded.warnings) if problem.rule == case.rule]
    assert found
    return found
