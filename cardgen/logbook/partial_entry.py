"""What can still be judged of an entry that is refused, so that one try shows everything that is wrong."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from pydantic import ValidationError

from cardgen.logbook.entry import FormEntry, ReadEntry, read_entry
from cardgen.logbook.entry_file import read_json
from cardgen.spec.problem import Problem


@dataclass(frozen=True)
class Partly:
    """An entry that cannot be kept, without the parts that are refused, and the problems of those."""

    entry: FormEntry
    problems: tuple[Problem, ...]

    def further(self, problems: Iterable[Problem]) -> tuple[Problem, ...]:
        """Add what else was found; a part that was taken out must not be said to be missing."""
        known = {each.key for each in self.problems}
        return (*self.problems, *(each for each in problems if each.key not in known))


def read_partly(content: bytes, file: str, today: date) -> ReadEntry | Partly | tuple[Problem, ...]:
    """Read an entry; where parts of it are refused, give what is left, or only the problems."""
    read = read_entry(content, file, today)
    if isinstance(read, ReadEntry):
        return read
    raw = read_json(content, file)
    if isinstance(raw, Problem):
        return read
    try:
        return Partly(FormEntry.model_validate(_rest(raw, [each.key for each in read], today)), read)
    except ValidationError:
        return read


def _rest(raw: dict[str, object], refused: Iterable[str], today: date) -> dict[str, object]:
    """Take refused parts out: a line of the record, a whole card, all runs, because these hang together."""
    rest = dict(raw)
    for key in refused:
        group, *more = re.split(r"[.\[]", key)
        inner = rest.get(group)
        if group not in {"record", "values"} or not more or not isinstance(inner, dict):
            rest.pop(group, None)
            continue
        rest[group] = {name: value for name, value in inner.items() if name != more[0]}
    record = rest.get("record")
    if isinstance(record, dict) and "date" not in record:
        # Any day that has come does: the entry is not kept, and the other lines do not ask for it.
        rest["record"] = {**record, "date": today.isoformat()}
    return rest
