"""Small edits to the text of a specification, for tests that need one thing changed."""

from __future__ import annotations

import re

_STEP = re.compile(r"([\w.]+)(?:\[(\d+)\])?")


def replaced(text: str, old: str, new: str) -> str:
    """Replace a text that stands exactly once, so that an edit can never quietly do nothing."""
    assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
    return text.replace(old, new)


def edited(text: str, key: str, value: str | None) -> str:
    """Set a key such as ``rotor.diameter`` or ``fasteners[2].station`` (from 1) to TOML text.

    None takes the key out. The key stands on a line of its own below its group's header; one
    that is not there is added at the group's end. A top-level key has no header.
    """
    lines = text.split("\n")
    group, _, name = key.rpartition(".")
    start, end = _span(lines, group)
    at = next((row for row in range(start, end) if re.match(rf"{name}\s*=", lines[row])), None)
    assert at is not None or value is not None, f"{key} is not there to be taken out"
    new = [] if value is None else [f"{name} = {value}"]
    if at is None:
        at = end
        return "\n".join([*lines[:at], *new, *lines[at:]])
    return "\n".join([*lines[:at], *new, *lines[at + 1 :]])


def without_group(text: str, group: str) -> str:
    """Take out a whole group, its sub-tables included, or every table of a list."""
    kept: list[str] = []
    inside = False
    for line in text.split("\n"):
        if match := re.match(r"\[+([\w.]+)", line):
            inside = match[1].split(".")[0] == group
        if not inside:
            kept.append(line)
    assert len(kept) < text.count("\n") + 1, f"{group} is not there to be taken out"
    return "\n".join(kept)


def without_table(text: str, header: str) -> str:
    """Take out one table such as ``track.to_lower``, up to the next header."""
    lines = text.split("\n")
    start = lines.index(f"[{header}]")
    return "\n".join([*lines[:start], *lines[_end(lines, start + 1) :]])


def line_of(text: str, beginning: str, nth: int = 1) -> int:
    """Find the line, from 1, of the nth line that begins so."""
    rows = [row for row, line in enumerate(text.splitlines(), start=1) if line.startswith(beginning)]
    return rows[nth - 1]


def _span(lines: list[str], group: str) -> tuple[int, int]:
    if not group:
        return 0, _end(lines, 0)
    match = _STEP.fullmatch(group)
    if match and match[2]:
        headers = [row for row, line in enumerate(lines) if line == f"[[{match[1]}]]"]
        start = headers[int(match[2]) - 1] + 1
    else:
        start = lines.index(f"[{group}]") + 1
    return start, _end(lines, start)


def _end(lines: list[str], start: int) -> int:
    ends = (row for row in range(start, len(lines)) if lines[row].startswith("["))
    end = next(ends, len(lines))
    while end > start and not lines[end - 1].strip():
        end -= 1
    return end
