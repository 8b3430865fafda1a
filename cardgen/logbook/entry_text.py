r"""An entry as lines of text, as the form shows it to be copied or photographed: back to plain JSON values.

    record.work: Track runs.\nLock nuts checked.
    runs.0.split: 1+1/4

Each line says where a value stands and the value; within it a new line is ``\n`` and a backslash ``\\``.
What is a number or yes or no in an entry is known by its name, and all else is text.
"""

from __future__ import annotations

import re
from typing import Any

#: How the text of an entry begins, however a messenger has spaced it.
FIRST_LINE = "kind: cardgen log entry"
_WHOLE = frozenset({"schema", "revision", "run", "corrects"})
_YES_NO = {"true": True, "false": False}
_ESCAPED = re.compile(r"\\(.)")
_LINE = re.compile(r"([\w.-]{1,200}):(?: (.*))?")


def is_text(content: str) -> bool:
    """Whether a file is an entry as lines of text."""
    return content.lstrip().startswith(FIRST_LINE)


def read_lines(content: str) -> dict[str, object] | tuple[int, str]:
    """Read the lines as nested values, or give the number and text of the first that cannot be read."""
    found: dict[str, Any] = {}
    for number, line in enumerate(content.splitlines(), 1):
        if not line.strip():
            continue
        read = _LINE.fullmatch(line.strip())
        if read is None or not _put(found, read[1].split("."), read[2] or ""):
            return number, line
    return {key: _listed(value) for key, value in found.items()}


def _put(found: dict[str, Any], path: list[str], typed: str) -> bool:
    """Put a value in its place; not where something stands already."""
    *groups, last = path
    group: Any = found
    for step in groups:
        group = group.setdefault(step, {})
        if not isinstance(group, dict):
            return False
    if last in group:
        return False
    group[last] = _value(last, typed)
    return True


def _value(name: str, typed: str) -> object:
    if name in _WHOLE and re.fullmatch(r"\d{1,9}", typed, re.ASCII):
        return int(typed)
    if name in {"agrees", "outside", "as_read"} and typed in _YES_NO:
        return _YES_NO[typed]
    return _ESCAPED.sub(lambda found: "\n" if found[1] == "n" else found[1], typed)


def _listed(value: Any) -> object:
    """Turn what is counted from 0 into a list."""
    if not isinstance(value, dict):
        return value
    inner = {key: _listed(each) for key, each in value.items()}
    return list(inner.values()) if list(inner) == [str(at) for at in range(len(inner))] else inner
