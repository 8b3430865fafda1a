"""Reads a specification: to a complete `RotorSpec`, or to every problem at once.

Each top-level group is read alone, and key by key where something in it cannot be read, so that a
problem hides no other; then the rules look at whatever was read.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import islice
from pathlib import Path as FilePath
from types import MappingProxyType
from typing import Any

from pydantic import ValidationError

from cardgen.plain_file import read_plain, why_unread
from cardgen.spec import schema_errors, toml
from cardgen.spec.fields import group_types
from cardgen.spec.first_shape import of_first_shape
from cardgen.spec.groups import missing_groups, stray_sources
from cardgen.spec.model import RotorSpec
from cardgen.spec.nearest import misspelt
from cardgen.spec.piecewise import read_pieces, read_whole
from cardgen.spec.problem import FileFault, Finding, Path, Problem, key_of
from cardgen.spec.rules import examine
from cardgen.spec.safe_text import plain, shortened
from cardgen.spec.unjudged import Unjudged

#: The largest file that is read; a specification is a few kilobytes.
LARGEST = 1024 * 1024

#: What to give in place of a file that cannot be read, where that is not simply another path.
_INSTEAD: Mapping[type[Exception], str] = MappingProxyType(
    {
        IsADirectoryError: "the path of one specification in it",
        PermissionError: "a file you have the right to read",
    }
)

# No honest file has so many problems; beyond it lies a file of something else.
_MOST = 1000

# Reasons quote what was typed; what was typed may be a megabyte.
_LONGEST_ADVICE = 600


@dataclass(frozen=True)
class Loaded:
    """A specification, or the problems that stand against it; warnings go with either.

    ``spec`` is there exactly when there are no problems. ``table`` is the parsed file as it stands, where it
    could be parsed and is of this shape, whatever stands against what it says.
    """

    spec: RotorSpec | None
    problems: tuple[Problem, ...]
    warnings: tuple[Problem, ...]
    table: Mapping[str, Any] | None = None


@dataclass(frozen=True)
class FileTrouble:
    """A file that could not be read at all; nothing is known about what it says."""

    file: str
    why: str
    write: str


def load(path: FilePath, today: date) -> Loaded | FileTrouble:
    """Read a specification from a file. ``today`` is the day its dates are judged on."""
    file = str(path)
    try:
        text = read_plain(path, LARGEST)
    except (OSError, ValueError) as error:
        return FileTrouble(file, why_unread(error), _INSTEAD.get(type(error), "the path of a specification"))
    if len(text) > LARGEST:
        why = "this file is larger than 1 MiB; a specification is a few kilobytes"
        return FileTrouble(file, why, "the path of a specification")
    return load_bytes(text, file, today)


def load_bytes(text: bytes, file: str, today: date) -> Loaded:
    """Read a specification from the bytes of a file; ``file`` is its name in messages."""
    parsed = toml.parse(text)
    faults = [_problem(file, fault.line, fault.column, fault.key, fault) for fault in parsed.faults]
    if parsed.table is None:
        return Loaded(None, _in_order(faults), ())
    if first := of_first_shape(parsed.table):
        return Loaded(None, _in_order([*faults, _placer(parsed.text, file)(first)]), ())
    draft, refused = _read_groups(parsed.table, today)
    findings = examine(draft)
    refused = [*refused, *islice(findings.refusals, _MOST)]
    place = _placer(parsed.text, file) if refused or findings.warnings else None
    problems = _in_order([*faults, *(map(place, refused) if place else ())])
    warnings = _in_order(map(place, findings.warnings) if place else ())
    spec = None if problems else RotorSpec.of(draft.groups, text, parsed.table)
    return Loaded(spec, problems, warnings, parsed.table)


def _read_groups(table: Mapping[str, Any], today: date) -> tuple[Unjudged, list[Finding]]:
    groups: dict[str, Any] = {}
    unread: set[Path] = {(name,) for name in misspelt(group_types(), table)}
    refused: list[Finding] = list(missing_groups(table))
    for name, raw in table.items():
        if len(refused) > _MOST:
            break
        value, holes, found = _read_group(name, raw)
        refused.extend(found)
        unread |= holes
        if value is not None:
            groups[name] = value
    if len(refused) > _MOST:
        refused.append(_too_many())
    return Unjudged(groups, frozenset(unread), table, today), refused


def _read_group(name: str, raw: object) -> tuple[Any, frozenset[Path], list[Finding]]:
    """Read what can be read of a group; give the places that cannot, and what stands against them."""
    if name not in group_types():
        return None, frozenset(), [schema_errors.unknown_key((name,), raw)]
    try:
        return read_whole(name, raw), frozenset(), stray_sources(name, raw)
    except ValidationError as error:
        found = list(islice(schema_errors.findings(name, raw, error), _MOST + 1))
    if len(found) > _MOST:
        return None, frozenset({(name,)}), found
    value, holes = read_pieces(name, raw, (finding.path for finding in found))
    return value, holes, [*found, *stray_sources(name, raw)]


def _too_many() -> Finding:
    why = "what follows was not looked at, because no specification has so many problems"
    return Finding((), "file-problems", f"more than {_MOST} problems", why, "the file of one rotor")


def _placer(text: bytes, file: str) -> Callable[[Finding], Problem]:
    # Loaded only when something must be placed: a good file never pays for the syntax tree.
    from cardgen.spec.positions import Positions

    positions = Positions(text)

    def place(found: Finding) -> Problem:
        line, column = positions.of(found.path)
        return _problem(file, line, column, key_of(found.path), found)

    return place


def _problem(file: str, line: int, column: int, key: str, found: Finding | FileFault) -> Problem:
    why, write, key = (shortened(plain(words), _LONGEST_ADVICE) for words in (found.why, found.write, key))
    return Problem(file, line, column, key, found.rule, shortened(plain(found.read)), why, write)


def _in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    once = {
        (found.line, found.column, found.key, found.rule): found for found in sorted(problems, reverse=True)
    }
    return tuple(sorted(once.values()))
