"""One log entry, as the log-entry form saves it: the JSON both sides agree on.

    {
      "kind": "cardgen log entry", "schema": 1,
      "set_id": "NR-0306", "revision": 2, "code": "7K3M-9QXD-4",
      "entry": "4f1c…",                     random, made by the form; may be left out
      "scanned": {"code": "7K3M-9QXD-4", "card": "track", "agrees": true},
      "record": {"date": "2026-11-25", "work": "…", …},      see `record_lines`
      "values": {"track": {"split": {"value": "1+1/4", "unit": "in", "outside": false}}},
      "runs":   [{"run": 1, "split": "1.75", "unit": "in", "high_blade": "A", …}],   see `RunLine`
      "changed": {"lowered": "A", "dial_after": "12", "dial_unit": "thou"},          see `Late`
      "touched": ["a strap bolt loosened"],  rows of the table of what a change undoes
      "touched_when": "before the runs",     of this entry; without it, after them
      "corrects": 3,                         the entry of the log that this one is read in place of
      "as_read": true                        somebody has said that odd numbers were read so
    }

``values`` is card id, then the id of a box on that card, then the text as typed with the box's own
unit; ``outside`` is the form's mark that it lies outside the limit printed beside the box. Track
runs stand either in the boxes of the track card or in ``runs``, which can also say how and how
fast they were read; never in both. From ``entry`` on everything may be left out, and so may every
line of the record but the date. Nothing here is signed: an entry counts when a person has
signed it on paper or as the rules that apply allow.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any, Literal, TypeAlias

from pydantic import AfterValidator, Field, ValidationError
from pydantic_core import ErrorDetails, PydanticCustomError

from cardgen.figures.care_matrix import CHANGES
from cardgen.logbook.entry_file import problem, read_json
from cardgen.logbook.number import read_number
from cardgen.logbook.record_lines import Line, Number, Part, Record, one_line
from cardgen.spec.problem import Problem
from cardgen.spec.safe_text import shown

_HEX = re.compile(r"[0-9a-f-]{8,64}", re.ASCII)


def _an_id(text: str) -> str:
    if not _HEX.fullmatch(text):
        why = "this is no mark that a form makes"
        raise PydanticCustomError("entry-mark", why, {"write": "8 to 64 hexadecimal digits"})
    return text


def _a_change(text: str) -> str:
    if text not in _CHANGES:
        write = f"one of: {'; '.join(_CHANGES)}"
        raise PydanticCustomError("entry-change", "no such change is in the table", {"write": write})
    return text


#: Why a split with no high blade is refused.
LEVEL = "blades that are level have no split, and a split that was read has a high blade"
_CHANGES = tuple(change.what for change in CHANGES)
Short = Annotated[str, Field(max_length=40), AfterValidator(one_line)]
Blade: TypeAlias = Literal["A", "B"]
#: Which blade flew high; "level" where the two could not be told apart.
High: TypeAlias = Literal["A", "B", "level"]
#: What a change is read in: on the dial, or in flats of the adjuster's nut.
ReadIn: TypeAlias = Literal["thou", "mm", "flats"]


class Scanned(Part):
    """What the phone read from a card before the form opened."""

    code: Short = ""
    card: Short = ""
    agrees: bool = False


class Measured(Part):
    """One box of a card: its text as typed, its unit, and the form's mark where it is out of limit."""

    value: Annotated[str, Field(min_length=1, max_length=200), AfterValidator(one_line)]
    unit: Short = ""
    outside: bool = False


class ChangeLine(Part):
    """What was changed after a run: what the dial shows for one blade, or flats, always with the unit.

    A change is made to lower the high blade; where the dial went the other way, its reading is
    negative. ``total`` counts from as delivered, and ``total_blade`` is the blade it has lowered.
    """

    dial_before: Number | None = None
    dial_after: Number | None = None
    dial_unit: ReadIn | None = None
    total: Number | None = None
    total_blade: Blade | None = None


class RunLine(ChangeLine):
    """One track run, and what was changed after it.

    ``split`` is at the first named speed, or at ``speed``; ``last_split`` at the last named speed, with
    the blade that was high there.
    """

    run: Annotated[int, Field(ge=1, le=999)]
    split: Number
    unit: Literal["in", "mm"]
    high_blade: High | None = None
    last_split: Number | None = None
    last_high: High | None = None
    speed: Number | None = None
    wind: Short | None = None
    method: Literal["by eye", "video"] = "by eye"
    remark: Line | None = None


class Late(ChangeLine):
    """What holds before the runs of an entry: a change since the last run in the log, or a total alone.

    ``lowered`` is the blade that the change lowered; a total alone has none and is the total as it stands.
    """

    lowered: Blade | None = None
    dial_unit: ReadIn


class FormEntry(Part):
    """One entry, in form; whether it fits its deck is for `against_deck`."""

    kind: Literal["cardgen log entry"]
    schema_: Annotated[int, Field(alias="schema", ge=1, le=1)]
    set_id: Line
    revision: Annotated[int, Field(ge=1, le=999_999)]
    code: Short
    entry: Annotated[str, AfterValidator(_an_id)] | None = None
    scanned: Scanned = Scanned()
    record: Record
    values: dict[Short, dict[Short, Measured]] = Field(default_factory=dict)
    runs: Annotated[tuple[RunLine, ...], Field(strict=False, max_length=99)] = ()
    changed: Late | None = None
    touched: Annotated[tuple[Annotated[str, AfterValidator(_a_change)], ...], Field(strict=False)] = ()
    touched_when: Literal["before the runs", "after the runs"] | None = None
    corrects: Annotated[int, Field(ge=1)] | None = None
    as_read: bool = False


@dataclass(frozen=True)
class ReadEntry:
    """An entry in form, and the plain values it was read from, which are what is kept."""

    entry: FormEntry
    kept: Mapping[str, object]


def read_entry(content: bytes, file: str, today: date) -> ReadEntry | tuple[Problem, ...]:
    """Read one entry from the bytes of a file, or give everything that stands against it."""
    raw = read_json(content, file)
    if isinstance(raw, Problem):
        return (raw,)
    try:
        entry = FormEntry.model_validate(raw)
    except ValidationError as error:
        return tuple(_problem_of(found, file) for found in error.errors(include_url=False))[:_MOST]
    if problems := tuple(_faults(entry, file, today)):
        return problems[:_MOST]
    return ReadEntry(entry, raw)


def read_kept(content: bytes) -> FormEntry | None:
    """Read an entry that is in the register; it passed the rules of its day and is asked no others.

    Nothing where it is not of an entry's shape any more.
    """
    raw = read_json(content, "")
    try:
        return None if isinstance(raw, Problem) else FormEntry.model_validate(raw)
    except ValidationError:
        # The caller tells which entry it is.
        return None


_MOST = 50
_TOLD: Mapping[str, tuple[str, str, str]] = {
    "missing": ("entry-missing", "this is needed in every entry", "the line filled in"),
    "extra_forbidden": ("entry-unknown", "no form has such a line", "the entry as the form saved it"),
    "string_too_long": ("entry-long", "this is longer than a form allows", "fewer words"),
    "string_too_short": ("entry-empty", "an empty text says nothing", "the line filled in, or left out"),
    "too_long": ("entry-long", "these are more than a day holds", "fewer of them"),
    "literal_error": ("entry-word", "this is none of the words that may stand here", ""),
    "greater_than_equal": ("entry-range", "this number is too small to be meant", "the number itself"),
    "less_than_equal": ("entry-range", "this number is too large to be meant", "the number itself"),
}


def _problem_of(found: ErrorDetails, file: str) -> Problem:
    """Say one refusal of the model; what is of the wrong type altogether has no row of its own."""
    context: dict[str, Any] = found.get("ctx", {})
    path = tuple(found["loc"])
    wrong_type = ("entry-type", "this is not of the kind that belongs here", "the entry as the form saved it")
    rule, why, write = _TOLD.get(found["type"], wrong_type)
    if "write" in context:
        rule, why, write = found["type"], found["msg"], str(context["write"])
    if found["type"] == "literal_error":
        write = str(context["expected"])
    read = "" if found["type"] == "missing" else shown(found["input"])
    return problem(file, path, rule, read, why, write)


def _faults(entry: FormEntry, file: str, today: date) -> Iterator[Problem]:
    """Find what no single line shows."""
    if entry.record.day > today:
        why = "the work cannot have been finished on a day that has not come"
        yield problem(
            file, ("record", "date"), "entry-future", entry.record.date, why, "the day it was finished"
        )
    numbers = [run.run for run in entry.runs]
    if numbers != sorted(set(numbers)):
        why = "every run has a number of its own, and they rise"
        yield problem(file, ("runs",), "run-order", shown(numbers), why, "the runs in the order they were made")
    for at, run in enumerate(entry.runs):
        yield from (problem(file, ("runs", at, *path), *told) for path, *told in _run_faults(run))
    if entry.changed:
        yield from (problem(file, ("changed", *path), *told) for path, *told in _late_faults(entry.changed))


def _late_faults(late: Late) -> Iterator[tuple[Any, ...]]:
    if late.lowered is None and late.dial_after is not None:
        why = "something was changed, and nobody can tell on which blade"
        yield ("lowered",), "run-blade", "", why, "A or B"
    if late.dial_after is None and (late.lowered or late.total is None):
        why = "neither a change nor a total can be told without it"
        yield (
            ("dial_after",),
            "entry-missing",
            "",
            why,
            "the dial once locked; or a total alone, without a blade",
        )


def _run_faults(run: RunLine) -> Iterator[tuple[Any, ...]]:
    yield from _split_faults("split", run.split, "high_blade", run.high_blade)
    if run.last_split is not None:
        yield from _split_faults("last_split", run.last_split, "last_high", run.last_high)
    if run.high_blade not in ("A", "B") and run.dial_after and read_number(run.dial_after):
        why = "something was changed, and nobody can tell on which blade"
        yield ("high_blade",), "run-blade", run.high_blade or "", why, "A or B"
    if run.dial_unit is None and {run.dial_before, run.dial_after, run.total} != {None}:
        why = "the same number in another unit is another amount, 25 times as much or as little"
        yield ("dial_unit",), "run-unit", "", why, "thou or mm, as the dial shows, or flats of the nut"


def _split_faults(key: str, typed: str, letter: str, high: High | None) -> Iterator[tuple[Any, ...]]:
    split = read_number(typed)
    if split is not None and split < 0:
        why = "a split is a height and never negative; which blade was high is said by its letter"
        yield (key,), "run-split", typed, why, "the height, and the letter of the high blade"
    if split and high is None:
        why = "without the blade that was high, a split says nothing about which blade to move"
        yield (letter,), "run-blade", "", why, "A or B, or level where they could not be told apart"
    if split and high == "level":
        yield (letter,), "run-blade", high, LEVEL, "A or B; or a split of 0"
