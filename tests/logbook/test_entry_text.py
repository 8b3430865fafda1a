"""An entry as lines of text: read as the same entry that was saved as a file, or refused with its line."""

from __future__ import annotations

from datetime import date

import pytest

from cardgen.logbook.entry import ReadEntry, read_entry
from cardgen.spec.problem import Problem

TODAY = date(2026, 11, 25)
LINES = r"""
kind: cardgen log entry
schema: 1
set_id: NR-0306
revision: 2
code: 7K3M-9QXD-4
scanned.code:
scanned.agrees: false
record.date: 2026-11-21
record.work: Track runs: two.\nA mark \\ B mark.
values.head.play-front.value: 2.5
values.head.play-front.unit: thou
values.head.play-front.outside: true
runs.0.run: 1
runs.0.split: 1+1/4
runs.0.unit: in
runs.0.high_blade: A
touched.0: a strap bolt loosened
corrects: 3
"""


def read(text: str) -> ReadEntry | tuple[Problem, ...]:
    return read_entry(text.encode(), "entry.txt", TODAY)


def test_lines_are_the_values_that_they_name() -> None:
    found = read(LINES)
    assert isinstance(found, ReadEntry), found
    assert found.kept == {
        "kind": "cardgen log entry",
        "schema": 1,
        "set_id": "NR-0306",
        "revision": 2,
        "code": "7K3M-9QXD-4",
        "scanned": {"code": "", "agrees": False},
        "record": {"date": "2026-11-21", "work": "Track runs: two.\nA mark \\ B mark."},
        "values": {"head": {"play-front": {"value": "2.5", "unit": "thou", "outside": True}}},
        "runs": [{"run": 1, "split": "1+1/4", "unit": "in", "high_blade": "A"}],
        "touched": ["a strap bolt loosened"],
        "corrects": 3,
    }


@pytest.mark.parametrize("ending", ["\r\n", "\n\n", "\n  "])
def test_a_messenger_may_change_the_ends_of_lines(ending: str) -> None:
    found, same = read(LINES.replace("\n", ending)), read(LINES)
    assert isinstance(found, ReadEntry) and isinstance(same, ReadEntry)
    assert found.kept == same.kept


@pytest.mark.parametrize(
    ("line", "where"),
    [
        ("and thank you", 20),
        ("schema: 1", 20),
        ("record: x", 20),
        ("record.work.more: x", 20),
        (": x", 20),
    ],
)
def test_a_line_that_cannot_be_read_or_stands_twice_is_named(line: str, where: int) -> None:
    found = read(f"{LINES}{line}\n")
    assert isinstance(found, tuple)
    assert [(each.rule, each.line, each.read) for each in found] == [("entry-line", where, line)]


@pytest.mark.parametrize(
    ("line", "rule"),
    [
        ("runs.2.run: 2", "entry-type"),
        ("as_read: yes", "entry-type"),
        ("record.place: soft\u00adhyphen", "entry-control"),
        ("record.nothing: x", "entry-unknown"),
        (".".join("a" * 60) + ": x", "entry-json"),
    ],
)
def test_what_no_entry_holds_is_refused_as_in_a_file(line: str, rule: str) -> None:
    found = read(f"{LINES}{line}\n")
    assert isinstance(found, tuple)
    assert rule in {each.rule for each in found}
