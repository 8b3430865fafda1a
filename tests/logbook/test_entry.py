"""Reading an entry: what is in form is read, what is not is refused whole, and nothing ever raises."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.logbook.entry import ReadEntry, read_entry
from cardgen.logbook.entry_file import LARGEST, read_json
from cardgen.logbook.number import read_number
from cardgen.logbook.record_lines import Record
from cardgen.press.form_records import groups_for
from cardgen.spec.problem import Problem
from tests.logbook.logs import TODAY, as_bytes, box, rules_of, run

PLAIN: dict[str, Any] = {
    "kind": "cardgen log entry",
    "schema": 1,
    "set_id": "NR-0306",
    "revision": 1,
    "code": "7KM2-9QXD-P",
    "record": {"date": "2026-11-21", "work": "Read the track."},
}


def read(**parts: Any) -> ReadEntry | tuple[Problem, ...]:
    return read_entry(as_bytes({**PLAIN, **parts}), "entry.json", TODAY)


def refused(**parts: Any) -> list[str]:
    return rules_of(read(**parts))


def test_the_least_that_a_form_saves_is_an_entry() -> None:
    found = read()
    assert isinstance(found, ReadEntry)
    assert found.entry.record.day == date(2026, 11, 21)
    assert found.kept == PLAIN


def test_what_the_form_saves_is_read_whole() -> None:
    found = read(
        scanned={"code": "7KM2-9QXD-P", "card": "track", "agrees": True},
        record={"date": "2026-11-21", "time": "14:05", "work": "Track.\nOil.", "rotor_hours": "12.5"},
        values={"track": {"split": box("1+1/4", "in"), "high-blade": box("A")}},
        runs=[run(1, "1.25", speed="320", wind="5 kt", dial_after="40", total="40", total_blade="A")],
        touched=["a strap bolt loosened"],
        entry="4f1c0d9a77aa",
    )
    assert isinstance(found, ReadEntry)


@pytest.mark.parametrize(
    ("parts", "rule"),
    [
        ({"kind": "something else"}, "entry-word"),
        ({"schema": 2}, "entry-range"),
        ({"schema": True}, "entry-type"),
        ({"schema": 1.0}, "entry-type"),
        ({"revision": 0}, "entry-range"),
        ({"extra": "line"}, "entry-unknown"),
        ({"set_id": 5}, "entry-type"),
        ({"set_id": ""}, "entry-empty"),
        ({"record": {}}, "entry-missing"),
        ({"record": {"date": "2026-11-26"}}, "entry-future"),
        ({"record": {"date": "20261121"}}, "entry-date"),
        ({"record": {"date": "2026-02-30"}}, "entry-date"),
        ({"record": {"date": "2026-11-21", "time": "25:00"}}, "entry-time"),
        ({"record": {"date": "2026-11-21", "rotor_hours": "12,5"}}, "entry-number"),
        ({"record": {"date": "2026-11-21", "place": "a\nb"}}, "entry-lines"),
        ({"record": {"date": "2026-11-21", "work": "x" * 2001}}, "entry-long"),
        ({"record": {"date": "2026-11-21", "work": "a\x07b"}}, "entry-control"),
        ({"record": {"date": "2026-11-21", "work": "a\u202eb"}}, "entry-control"),
        ({"record": {"date": "2026-11-21", "work": "a\ud800b"}}, "entry-control"),
        ({"values": {"track": {"split": "1"}}}, "entry-type"),
        ({"values": {"track": {"split": {"value": "1", "unit": "in", "outside": "no"}}}}, "entry-type"),
        ({"entry": "a mark"}, "entry-mark"),
        ({"touched": ["the moon"]}, "entry-change"),
        ({"runs": [run(1, "1.25", high=None)]}, "run-blade"),
        ({"runs": [run(1, "1.25", high="C")]}, "entry-word"),
        ({"runs": [run(1, "-1")]}, "run-split"),
        ({"runs": [run(1, "nan")]}, "entry-number"),
        ({"runs": [run(1, "1e1")]}, "entry-number"),
        ({"runs": [run(2, "1"), run(1, "1")]}, "run-order"),
        ({"runs": [run(1, "0", high=None, dial_after="5")]}, "run-blade"),
        ({"changed": {"dial_after": "5", "dial_unit": "thou"}}, "run-blade"),
        ({"changed": {"lowered": "A", "dial_unit": "thou"}}, "entry-missing"),
        ({"changed": {"dial_unit": "thou"}}, "entry-missing"),
        ({"changed": {"total": "5"}}, "entry-missing"),
    ],
)
def test_what_is_not_in_form_is_refused_with_its_reason(parts: dict[str, Any], rule: str) -> None:
    assert refused(**parts) == [rule]


def test_a_split_of_nothing_needs_no_high_blade() -> None:
    assert isinstance(read(runs=[run(1, "0", high=None)]), ReadEntry)


@pytest.mark.parametrize(
    ("content", "rule"),
    [
        (b"", "entry-json"),
        (b"[]", "entry-json"),
        (b"\xff\xfe", "entry-text"),
        (b"\xef\xbb\xbf{}", "entry-json"),
        (b'{"schema": 1, "schema": 1}', "entry-twice"),
        (b'{"schema": NaN}', "entry-not-finite"),
        (b'{"schema": -Infinity}', "entry-not-finite"),
        (b"{" * 100_000, "entry-json"),
        (b'{"a":' * 500 + b"1" + b"}" * 500, "entry-json"),
        (b'{"schema": ' + b"9" * 5000 + b"}", "entry-json"),
        (b" " * (LARGEST + 1), "entry-size"),
    ],
    ids=lambda value: value if isinstance(value, str) else value[:12],
)
def test_what_is_not_one_plain_json_object_is_refused(content: bytes, rule: str) -> None:
    assert rules_of(read_entry(content, "entry.json", TODAY)) == [rule]


def test_a_file_of_just_one_mebibyte_is_read() -> None:
    # IEC 80000-13: a mebibyte is 1024 times 1024 bytes; what is refused is said to be larger than that.
    assert read_json(b"{}".ljust(1024 * 1024), "entry.json") == {}
    found = read_json(b"{}".ljust(1024 * 1024 + 1), "entry.json")
    assert isinstance(found, Problem)
    assert "larger than 1 MiB" in found.why


def test_a_slip_in_the_json_is_shown_at_its_place() -> None:
    content = b'{\n  "kind": "cardgen log entry",\n  "set_id": "NR-0306" "revision": 1\n}\n'
    found = read_entry(content, "entry.json", TODAY)
    assert isinstance(found, tuple)
    (problem,) = found
    # The comma is missing before the second key, which begins in column 23.
    assert (problem.rule, problem.line, problem.column) == ("entry-json", 3, 23)
    assert "revision" in problem.read


def test_every_problem_says_what_to_write() -> None:
    problems = read(runs=[run(1, "1,25", high="C")], record={"date": "x"}, extra=1)
    assert isinstance(problems, tuple)
    assert len(problems) == 4
    assert all(problem.why and problem.write and problem.key for problem in problems)


_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)


@given(st.binary(max_size=200))
def test_no_bytes_ever_raise(content: bytes) -> None:
    found = read_entry(content, "entry.json", TODAY)
    assert isinstance(found, tuple)


@given(st.sampled_from([*PLAIN, "values", "runs", "touched", "scanned", "entry"]), _json)
def test_no_value_in_any_line_ever_raises(line: str, value: object) -> None:
    content = json.dumps({**PLAIN, line: value}).encode()
    found = read_entry(content, "entry.json", TODAY)
    assert isinstance(found, ReadEntry | tuple)


@given(st.sampled_from(["split", "high_blade", "speed", "dial_after", "total", "method"]), _json)
def test_no_value_in_a_run_ever_raises_and_no_run_lacks_its_blade(line: str, value: object) -> None:
    content = json.dumps({**PLAIN, "runs": [{**run(1, "1.25"), line: value}]}).encode()
    found = read_entry(content, "entry.json", TODAY)
    if isinstance(found, ReadEntry):
        made = found.entry.runs[0]
        assert made.high_blade is not None or read_number(made.split) == 0


@pytest.mark.parametrize("jurisdiction", ["us-amateur-built", "uk-permit", "ca-amateur-built", "au", "other"])
def test_every_line_of_every_form_is_a_line_of_a_record(jurisdiction: str) -> None:
    asked = groups_for(jurisdiction)
    ids = {line.id for group in (*asked.before, *asked.after) for line in group.lines}
    assert ids <= set(Record.model_fields)
