"""Edges of rules: the base rotor with a value on a limit, where a rule says nothing, and just beyond it.

The rotor is that of `base.toml`: diameter 24 ft (288 in, 7.3152 m), chord 7+1/2 in, 350 rpm, blades of 26 lb.
Where a limit is not simply stated, the sum that gives its value on this rotor stands beside it.
"""

from __future__ import annotations

import tomllib
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from cardgen.spec.load import load_bytes
from cardgen.spec.problem import Problem
from tests.bench.mutants import write
from tests.bench.safety import at

TODAY = date(2026, 6, 1)

Changes = dict[str, Any]
#: A rule, what is changed so that it just says nothing, and what so that it just speaks.
Edge = tuple[str, Changes, Changes]


@cache
def _base() -> bytes:
    return Path(__file__).with_name("base.toml").read_bytes()


def judged(changes: Changes) -> dict[str, Problem]:
    """Give what is found in the base with some values changed, by rule; a change to None takes a key out."""
    table: dict[str, Any] = tomllib.loads(_base().decode(), parse_float=Decimal)
    for key, value in changes.items():
        *place, last = (int(part) if part.isdigit() else part for part in key.split("."))
        group = at(table, tuple(place))
        if value is None:
            del group[last]
        else:
            group[last] = value
    loaded = load_bytes(write(table), "base.toml", TODAY)
    return {found.rule: found for found in (*loaded.warnings, *loaded.problems)}


def one(key: str, rule: str, quiet: str, loud: str, unit: str) -> Edge:
    """One key, at the last value that is allowed and at the next one that is not."""
    return rule, {key: f"{quiet} {unit}"}, {key: f"{loud} {unit}"}


def speaks_just_beyond(edge: Edge) -> None:
    """Check that a rule says nothing on its limit and speaks beyond it."""
    rule, quiet, loud = edge
    assert rule not in judged(quiet)
    assert rule in judged(loud)
