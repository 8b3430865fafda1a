"""What stands against a text that is being filled in, by the key that it stands under."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from cardgen.desk.desk_words import at_desk
from cardgen.desk.fill.form import group_names
from cardgen.spec.load import load_bytes
from cardgen.spec.problem import Problem


@dataclass(frozen=True)
class Judged:
    """A text's table, if it has one, with everything that is told of it; warnings are told like problems."""

    table: Mapping[str, Any] | None
    problems: tuple[Problem, ...]
    warnings: tuple[Problem, ...]

    def under(self, group: str) -> list[dict[str, str]]:
        """Say what stands under the keys of one group; what is only a doubt says so."""
        refused = [_told(each, "") for each in self.problems if _group(each.key) == group]
        return refused + [_told(each, "Look again: ") for each in self.warnings if _group(each.key) == group]

    def counts(self) -> dict[str, int]:
        """Count the problems of each group."""
        return {name: sum(_group(each.key) == name for each in self.problems) for name in group_names()}


def judged(text: bytes, file: str, today: date) -> Judged:
    """Judge a text as the command that checks a file does."""
    loaded = load_bytes(text, file, today)
    if loaded.table is not None:
        return Judged(loaded.table, loaded.problems, loaded.warnings)
    try:
        table = tomllib.loads(text.decode(), parse_float=Decimal)
    except (ValueError, ArithmeticError, RecursionError):
        return Judged(None, loaded.problems, loaded.warnings)
    return Judged(table, loaded.problems, loaded.warnings)


def _told(problem: Problem, first: str) -> dict[str, str]:
    said = at_desk(problem)
    return {"key": problem.key, "why": f"{first}{said.why}", "write": said.write}


def _group(key: str) -> str:
    return key.partition(".")[0].partition("[")[0]
