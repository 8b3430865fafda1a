"""Make one specification for each rule, in which that rule and no other objects.

The base is a whole invented rotor. A case keeps only the groups it needs, changes what is wrong,
and marks the changed lines, so that the file shows its own mistake:

    python -m tests.spec.rules.variants     writes sample_inputs/refused and sample_inputs/warned
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
SAMPLES = HERE.parents[2] / "sample_inputs"
MARK = "  # <- here"

#: Groups that a case holds unless it says otherwise.
_KEPT = ("rotor", "blades", "authority", "documents", "fasteners", "tightening", "track", "log")


@dataclass(frozen=True)
class Case:
    """One mistake: the rule that finds it, what is wrong in words, and how the base is changed."""

    rule: str
    wrong: str
    holds: tuple[str, ...] = ()
    lacks: tuple[str, ...] = ()
    set: dict[str, str] = field(default_factory=dict)
    also: dict[str, str] = field(default_factory=dict)
    drop: tuple[str, ...] = ()
    tail: str = ""
    warned: bool = False
    warns: tuple[str, ...] = ()

    @property
    def file(self) -> Path:
        """Where the case is kept."""
        return SAMPLES / ("warned" if self.warned else "refused") / f"{self.rule}.toml"

    @property
    def text(self) -> str:
        """The whole specification, with its mistake marked."""
        lines = _edited(_groups(self), self)
        verb = "Printed with a warning" if self.warned else "Refused"
        head = [f"# {verb} by the rule {self.rule}.", f"# {self.wrong}", "# The rotor is invented.", ""]
        return "\n".join([*head, *lines]).rstrip() + "\n" + self.tail


def cases() -> tuple[Case, ...]:
    """Read every case."""
    return tuple(
        _case(rule, table)
        for name in ("cases_reading.toml", "cases_rules.toml")
        for rule, table in tomllib.loads((HERE / name).read_text("utf-8")).items()
    )


def _case(rule: str, table: dict[str, Any]) -> Case:
    lists = {key: tuple(value) for key, value in table.items() if isinstance(value, list)}
    others: dict[str, Any] = {key: value for key, value in table.items() if key not in lists}
    return Case(rule, **{**others, **lists})


def _groups(case: Case) -> list[list[str]]:
    """Give the sections of the base that a case keeps, each a list of lines with its head."""
    kept = {"", *_KEPT, *case.holds} - set(case.lacks)
    text = (HERE / "base.toml").read_text("utf-8")
    sections = re.split(r"(?m)^(?=\[)", text)
    return [section.splitlines() for section in sections if _top(section) in kept]


def _top(section: str) -> str:
    return re.split(r"[\].]", section.lstrip("["), maxsplit=1)[0] if section.startswith("[") else ""


def _edited(sections: list[list[str]], case: Case) -> list[str]:
    changes = [(path, value, MARK) for path, value in case.set.items()]
    for path, value, mark in [*changes, *((path, value, "") for path, value in case.also.items())]:
        lines, key = _find(sections, path)
        row = f"{key} = {value}{mark}"
        places = [n for n, line in enumerate(lines) if line.startswith(f"{key} =")]
        if places:
            lines[places[0]] = row
        else:
            lines.insert(_end(lines), row)
    for path in case.drop:
        lines, key = _find(sections, path)
        place = next(n for n, line in enumerate(lines) if line.startswith(f"{key} ="))
        del lines[place]
        lines[0] += f"{MARK}, without {key}"
    return [line for section in sections for line in section]


def _end(lines: list[str]) -> int:
    return max(n for n, line in enumerate(lines) if line) + 1


def _find(sections: list[list[str]], path: str) -> tuple[list[str], str]:
    """Find a section such as ``fasteners[2]``, counted from 1, and the key in it."""
    name, _, key = path.rpartition(".")
    name, _, number = name.rstrip("]").partition("[")
    heads = [section for section in sections if name in {"", _name(section)}]
    return heads[int(number or 1) - 1], key


def _name(section: list[str]) -> str:
    return section[0].split("#")[0].strip().strip("[]")


def main() -> None:
    """Write every file anew."""
    for case in cases():
        case.file.parent.mkdir(exist_ok=True)
        case.file.write_text(case.text, "utf-8", newline="\n")


if __name__ == "__main__":
    main()
