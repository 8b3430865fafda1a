"""One specification for each rule, in which that rule and no other objects: the base with an edit or two.

The base is a whole invented rotor. A case keeps only the groups it needs; `cases.toml` says what is edited.
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.editing import edited, without_group, without_table

HERE = Path(__file__).parent
BASE = (HERE / "base.toml").read_text("utf-8")

#: Groups that a case may hold only where it says so.
_MORE = (
    *(
        "hub",
        "aircraft",
        "wrenches",
        "straps",
        "string",
        "pitch",
        "balance",
        "tip",
        "teeter",
        "head",
        "install",
        "reflectors",
    ),
    *("run", "shake", "care", "print", "overrides"),
)
_WORDS = {"with", "lacks", "out", "add", "at", "warned", "warns"}


@dataclass(frozen=True)
class Case:
    """One mistake: the rule that finds it, the edits that make it, and the warnings that come with it."""

    rule: str
    text: str
    warned: bool
    warns: frozenset[str]
    at: tuple[str, ...]


def cases() -> dict[str, Case]:
    """Make every case, by its rule."""
    tables = tomllib.loads((HERE / "cases.toml").read_text("utf-8"))
    return {rule: _case(rule, table) for rule, table in tables.items()}


def _case(rule: str, table: dict[str, Any]) -> Case:
    edits: dict[str, str | None] = {key: value for key, value in table.items() if key not in _WORDS}
    edits |= dict.fromkeys(table.get("out", ()))
    text = BASE
    for group in {*_MORE, table.get("lacks", "hub")} - set(table.get("with", ())):
        text = without_group(text, group)
    for key, value in edits.items():
        text = (
            without_table(text, key) if value is None and f"\n[{key}]\n" in text else edited(text, key, value)
        )
    at = table.get("at") or [*edits, *([table["lacks"]] if "lacks" in table else [])]
    return Case(
        rule,
        text.rstrip("\n") + "\n" + table.get("add", ""),
        table.get("warned", False),
        frozenset(table.get("warns", ())),
        tuple(at),
    )
