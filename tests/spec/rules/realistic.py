"""Rotors as makers state them, each a sample with some values changed, and what ought to become of it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from cardgen.spec.load import Loaded, load_bytes
from tests.bench.mutants import SAMPLES, write
from tests.bench.safety import Place, at

#: The day the tables were written for.
TODAY = date(2026, 6, 1)


@dataclass(frozen=True)
class Realistic:
    """What a maker states, the verdict it deserves and why, and the rules that say so."""

    states: str
    verdict: str
    because: str
    finds: frozenset[str]
    text: bytes

    def judged(self) -> Loaded:
        """Read it as a keeper's file would be."""
        return load_bytes(self.text, "rotor.toml", TODAY)


def rotors(table: Path) -> list[Realistic]:
    """Make every rotor of a table."""
    return [_rotor(row) for row in tomllib.loads(table.read_text("utf-8"), parse_float=Decimal)["rotor"]]


def _rotor(row: Mapping[str, Any]) -> Realistic:
    assert row.keys() <= {"states", "sample", "verdict", "finds", "because", "out", "set"}, row
    changed = tomllib.loads(_sample(row.get("sample", "nr-0306")), parse_float=Decimal)
    for key in row.get("out", ()):
        *place, last = _place(key)
        del at(changed, tuple(place))[last]
    for key, value in row.get("set", {}).items():
        *place, last = _place(key)
        group = at(changed, tuple(place))
        if isinstance(group, list) and last == len(group):
            group.append(value)
        else:
            group[last] = value
    found = frozenset(row.get("finds", ()))
    return Realistic(row["states"], row["verdict"], row["because"], found, write(changed))


@cache
def _sample(name: str) -> str:
    return (SAMPLES / f"{name}.toml").read_text("utf-8")


def _place(key: str) -> Place:
    """Take a key as problems name it, rows counted from 1."""
    return tuple(int(step) - 1 if step.isdigit() else step for step in re.findall(r"\w+", key))
