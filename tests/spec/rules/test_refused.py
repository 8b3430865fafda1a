"""Every rule has a specification that it and no other rule objects to."""

from __future__ import annotations

import ast
import re
from datetime import date
from functools import cache
from pathlib import Path

import pytest

import cardgen.spec
from cardgen.spec.load import FileTrouble, Loaded, load
from cardgen.spec.problem import Problem
from cardgen.spec.rules import ALL_RULES, RULES, while_reading
from tests.spec.rules.variants import HERE, MARK, SAMPLES, Case, cases

#: The day the samples are judged on; they were written for it.
TODAY = date(2026, 6, 1)

CASES = {case.rule: case for case in cases()}

#: Rules without a sample, and why no readable file can show them.
NO_SAMPLE = {
    "file-not-utf8": "the file would not be text",
    "file-byte-order-mark": "an editor would not show it",
    "file-line-length": "the file would hold thousands of characters on a line",
    "file-line-ends": "an editor would not show it",
    "toml-character": "the file would hold an invisible character",
    "toml-number": "the file would hold thousands of digits",
    "toml-depth": "the file would hold thousands of brackets",
    "file-problems": "the file would hold hundreds of mistakes",
    "toml-syntax": "kept for what the reader of TOML may say some day and does not say now",
    "value-unread": "kept for a kind of error that the model cannot raise",
}

#: Rules about a list as a whole, which point at its first entry while the marks stand further down.
WHOLE_LIST = {"drag-unreadable", "wrench-cannot", "strap-bolt-missing"}

#: Words of the code that a keeper has never heard.
JARGON = (
    r"\b(None|null|tuple|dict|boolean|bool|float|integer|parse[rd]?|regex|validat\w+|exception|pydantic|pint)\b"
)

#: A number with a unit: in the advice it could be taken for the value to write.
A_VALUE = r"\d\s?(in|ft|thou|mm|m|lb|lbf|oz|g|kg|N·m|in·lbf|ft·lbf|deg|rpm|kt|h|thou/in)\b"


def judged(case: Case) -> Loaded:
    loaded = _read(case.file)
    assert isinstance(loaded, Loaded)
    return loaded


@cache
def _read(file: Path) -> Loaded | FileTrouble:
    return load(file, TODAY)


@pytest.mark.parametrize("case", CASES.values(), ids=list(CASES))
def test_its_rule_and_no_other_objects(case: Case) -> None:
    loaded = judged(case)
    refused = {problem.rule for problem in loaded.problems}
    warned = {problem.rule for problem in loaded.warnings}
    expected = (set(), {case.rule}) if case.warned else ({case.rule}, set(case.warns))
    assert (refused, warned) == expected
    assert (loaded.spec is None) is not case.warned


@pytest.mark.parametrize("case", CASES.values(), ids=list(CASES))
def test_the_file_is_the_base_with_one_mistake(case: Case) -> None:
    assert case.file.read_text("utf-8") == case.text


@pytest.mark.parametrize("case", CASES.values(), ids=list(CASES))
def test_the_problem_stands_on_a_marked_line(case: Case) -> None:
    lines = case.text.splitlines()
    marked = {number for number, line in enumerate(lines, start=1) if MARK.strip() in line}
    found = [problem for problem in _own(case) if problem.line]
    if case.rule in WHOLE_LIST:
        assert all(problem.line < min(marked) for problem in found)
    elif marked:
        assert {problem.line for problem in found} <= marked


# Read off the files by eye with an editor that shows line and column.
@pytest.mark.parametrize(
    ("rule", "line", "column", "key"),
    [
        ("same-serial", 23, 1, "blades.serial_b"),
        ("torque-order", 66, 1, "fasteners[1].torque_min"),
        ("order-unknown", 109, 16, "tightening.order[3]"),
        ("track-basis-missing", 113, 1, "track.basis"),
        ("track-chord", 127, 40, "track.points[1].chord"),
        ("string-key-stray", 126, 1, "string.checks[2].measured_at"),
        ("quantity-comma", 25, 1, "blades.mass"),
        ("bounds-torque", 66, 1, "fasteners[1].torque_min"),
    ],
)
def test_places_are_those_an_editor_shows(rule: str, line: int, column: int, key: str) -> None:
    first = _own(CASES[rule])[0]
    assert (first.line, first.column, first.key) == (line, column, key)


def test_every_rule_has_a_sample_or_a_reason_for_having_none() -> None:
    assert set(CASES) | set(NO_SAMPLE) == set(ALL_RULES)
    assert not set(CASES) & set(NO_SAMPLE)


def test_no_sample_is_left_over() -> None:
    kept = {path for folder in ("refused", "warned") for path in (SAMPLES / folder).iterdir()}
    assert kept == {case.file for case in CASES.values()}


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


def test_ids_are_unique_and_in_small_letters_with_hyphens() -> None:
    ids = [rule.id for rule in RULES]
    assert len(ids) == len(set(ids))
    assert not set(ids) & set(while_reading.MEANINGS)
    assert all(re.fullmatch(r"[a-z]+(-[a-z0-9]+)+", name) for name in ALL_RULES)


def test_meanings_are_one_sentence_each() -> None:
    for name, meaning in ALL_RULES.items():
        assert re.fullmatch(r"[A-Z][^.]*(\d\.\d[^.]*)*\.", meaning), name


@pytest.mark.parametrize("case", CASES.values(), ids=list(CASES))
def test_messages_say_why_and_what_to_write_without_proposing_a_value(case: Case) -> None:
    for problem in _own(case):
        assert problem.why and problem.write
        assert len(re.findall(r"[.;] ", problem.why)) <= 2, problem.why
        assert len(problem.why) <= 300, problem.why
        assert not problem.why.endswith("."), problem.why
        assert not re.search(JARGON, problem.why + " " + problem.write), problem
        if case.rule not in while_reading.MEANINGS:
            assert not re.search(A_VALUE, problem.write), problem.write


def test_every_rule_names_the_groups_that_its_test_takes() -> None:
    for rule in RULES:
        if rule.id.startswith("bounds-") and rule.groups == ("draft",):
            continue
        code = rule.test.__code__
        assert code.co_argcount == len(rule.groups) + len(rule.optional), rule.id


def test_base_is_a_sound_rotor_with_nothing_to_warn_of() -> None:
    loaded = load(HERE / "base.toml", TODAY)
    assert isinstance(loaded, Loaded)
    assert loaded.problems == ()
    assert {problem.rule for problem in loaded.warnings} == {"override-unused"}


def _own(case: Case) -> list[Problem]:
    loaded = judged(case)
    found = [problem for problem in (*loaded.problems, *loaded.warnings) if problem.rule == case.rule]
    assert found
    return found
