"""Changing one value of a specification's text: every other byte, its comments and its order stay.

What a line of the starting file keeps ready behind a # is used where it stands. What comes out is parsed
again, and says exactly what it said before but for that value.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from copy import deepcopy
from decimal import Decimal
from typing import Any

import tomlkit

from cardgen.spec.positions import Positions
from cardgen.spec.problem import Path, key_of

_HEADER = re.compile(r"\s*\[")
_KEPT_HEADER = re.compile(r"# ?\[")
#: What stands ready in a group that begins: where its values come from.
_WITH_IT = ("source", "not_given")


class NotWrittenError(ValueError):
    """A change that this text has no place for; the text stays as it is."""


def with_value(text: bytes, path: Path, value: Any) -> bytes:
    """Write a value at a path; with None, take it out. Raises `NotWrittenError`."""
    before = _table(text)
    if value is None and value_at(before, path) is None:
        return text
    for way in (_in_place, _at_the_end):
        made = way(text, before, path, value)
        if made is not None and _differs_only(before, made, path, value):
            return made
    raise NotWrittenError(f"there is no place in this file for {key_of(path)}")


def with_row(text: bytes, path: Path, row: Mapping[str, Any]) -> bytes:
    """Add one to a list of groups, behind the last. Raises `NotWrittenError`."""
    before = _table(text)
    rows = value_at(before, path) or []
    name = ".".join(str(part) for part in path)
    if not rows and len(path) == 1:
        begun = _uncommented(text, name)
        text = begun or _ended(text) + f"\n[[{name}]]\n".encode()
        for key, value in row.items():
            text = with_value(text, (*path, 0, key), value)
        return text
    if not rows:
        return with_value(text, path, [dict(row)])
    if _is_inline(text, last := (*path, len(rows) - 1)):
        start, end = Positions(text).value_of(last)
        line = text.rfind(b"\n", 0, start) + 1
        apart = b" " if text[line:start].strip() else b"\n" + text[line:start]
        made = text[:end] + b"," + apart + value_text(row).encode() + text[end:]
        return _checked(made, before, path, [*rows, dict(row)])
    lines = text.decode().split("\n")
    block = ["", f"[[{name}]]", *(f"{key} = {value_text(value)}" for key, value in row.items())]
    end = _last_row(text, (*path, len(rows) - 1)) + 1
    lines[end:end] = block
    return _checked("\n".join(lines).encode(), before, path, [*rows, dict(row)])


def without_row(text: bytes, path: Path) -> bytes:
    """Take one out of a list of groups. Raises `NotWrittenError`."""
    before = _table(text)
    *above, place = path
    rows = value_at(before, tuple(above)) or []
    if not isinstance(place, int) or not 0 <= place < len(rows):
        raise NotWrittenError("there is no such line")
    left = rows[:place] + rows[place + 1 :]
    if _is_inline(text, path):
        if not left:
            return with_value(text, tuple(above), None)
        positions = Positions(text)
        start, end = positions.value_of(path)
        if place:
            start = positions.value_of((*above, place - 1))[1]
        else:
            end = positions.value_of((*above, 1))[0]
        return _checked(text[:start] + text[end:], before, tuple(above), left)
    lines = text.decode().split("\n")
    start = Positions(text).of(path)[0] - 1
    del lines[start : _last_row(text, path) + 1]
    return _checked("\n".join(lines).encode(), before, tuple(above), left or None)


def without_group(text: bytes, path: Path) -> bytes:
    """Take a group out: its lines stay, each behind a #. Raises `NotWrittenError`."""
    before = _table(text)
    if value_at(before, path) is None:
        return text
    if _is_inline(text, path):
        return with_value(text, path, None)
    lines = text.decode().split("\n")
    try:
        start = Positions(text).of(path)[0] - 1
    except LookupError as error:
        raise NotWrittenError(f"{key_of(path)} has no place of its own in this file") from error
    for at in range(start, _last_row(text, path) + 1):
        if lines[at].strip() and not lines[at].lstrip().startswith("#"):
            lines[at] = f"# {lines[at]}"
    return _checked("\n".join(lines).encode(), before, path, None)


def value_text(value: Any) -> str:
    """Write a value as TOML, tables and lists in one line."""
    if isinstance(value, Mapping):
        inside = ", ".join(f"{key} = {value_text(each)}" for key, each in value.items())
        return f"{{ {inside} }}"
    if isinstance(value, list):
        return f"[{', '.join(map(value_text, value))}]"
    if isinstance(value, Decimal):
        return str(value)
    return str(tomlkit.item(value).as_string())


def value_at(table: Any, path: Path) -> Any:
    """Walk to a value of a parsed file; nothing where there is none."""
    for part in path:
        try:
            table = table[part]
        except (LookupError, TypeError):
            # What is not there is told as nothing.
            return None
    return table


def _table(text: bytes) -> dict[str, Any]:
    return tomllib.loads(text.decode(), parse_float=Decimal)


def _in_place(text: bytes, before: Mapping[str, Any], path: Path, value: Any) -> bytes | None:
    above, key = path[:-1], path[-1]
    if value_at(before, path) is not None:
        return _replaced(text, before, path, value)
    if above and (parent := value_at(before, above)) is not None:
        if _is_inline(text, above):
            return _replaced(text, before, above, {**parent, str(key): value})
        return _inserted(text, above, str(key), value)
    if above and isinstance(above[-1], int) and above[-1] == len(value_at(before, above[:-1]) or []):
        return _in_place(text, before, above[:-1], [*(value_at(before, above[:-1]) or []), {str(key): value}])
    begun = _uncommented(text, ".".join(map(str, above)))
    if begun is not None:
        return _in_place(begun, _table(begun), path, value)
    if len(above) > 1:
        return _in_place(text, before, above, {str(key): value})
    return None


def _at_the_end(text: bytes, _: Mapping[str, Any], path: Path, value: Any) -> bytes | None:
    if len(path) != 2 or value is None:
        return None
    return _ended(text) + f"\n[{path[0]}]\n{path[1]} = {value_text(value)}\n".encode()


def _ended(text: bytes) -> bytes:
    return text if text.endswith(b"\n") or not text else text + b"\n"


def _replaced(text: bytes, before: Mapping[str, Any], path: Path, value: Any) -> bytes | None:
    above = path[:-1]
    if value is None and above and _is_inline(text, above):
        parent = value_at(before, above)
        kept = {key: each for key, each in parent.items() if key != path[-1]}
        return _replaced(text, before, above, kept)
    positions = Positions(text)
    try:
        start, end = positions.value_of(path)
    except LookupError:
        # Another way may have a place for it; if none has, that is told.
        return None
    if value is not None:
        return text[:start] + value_text(value).encode() + text[end:]
    # Taken out, it stays ready behind a #, as the starting file has what may be left away.
    line = text.rfind(b"\n", 0, start) + 1
    return text[:line] + b"# " + text[line:start] + b'""' + text[end:]


def _inserted(text: bytes, above: Path, key: str, value: Any) -> bytes:
    lines = text.decode().split("\n")
    head = Positions(text).of(above)[0] - 1
    ready = re.compile(rf'# ?(?P<name>{re.escape(key)}\s*= ?)(?:""|\[[^#]*\]|)(?P<rest>\s*(?:#.*)?)')
    for place in range(head + 1, len(lines)):
        if _HEADER.match(lines[place]) or _KEPT_HEADER.match(lines[place]):
            break
        if found := ready.fullmatch(lines[place].rstrip("\r")):
            lines[place] = f"{found['name']}{value_text(value)}{found['rest']}"
            return "\n".join(lines).encode()
    lines.insert(_last_row(text, above, own=True) + 1, f"{key} = {value_text(value)}")
    return "\n".join(lines).encode()


def _last_row(text: bytes, above: Path, own: bool = False) -> int:
    """Find the last line, from 0, of a group's own values, or also of the groups within it."""
    positions = Positions(text)
    last = positions.of(above)[0] - 1

    def walk(value: Any, path: Path) -> None:
        nonlocal last
        items = value.items() if isinstance(value, Mapping) else enumerate(value)
        for key, inside in items:
            place = (*path, key)
            try:
                _, end = positions.value_of(place)
            except LookupError:
                # What has no place of its own stands inside one that has.
                continue
            if not _is_group(text, positions, place):
                last = max(last, text.count(b"\n", 0, end))
            elif not own:
                walk(inside, place)

    walk(value_at(_table(text), above), above)
    return last


def _is_group(text: bytes, positions: Positions, path: Path) -> bool:
    """Whether a path stands under a header of its own."""
    start, _ = positions.value_of(path)
    line = text.rfind(b"\n", 0, start) + 1
    return text[start : start + 1] == b"[" and not text[line:start].strip() and _heads(text[start:], path)


def _heads(text: bytes, path: Path) -> bool:
    name = ".".join(part for part in path if isinstance(part, str))
    return re.match(rf"\[{{1,2}}\s*{re.escape(name)}[\].]".encode(), text) is not None


def _is_inline(text: bytes, path: Path) -> bool:
    try:
        start, _ = Positions(text).value_of(path)
    except LookupError:
        # What is not there stands in no line.
        return False
    return text[start : start + 1] == b"{"


def _uncommented(text: bytes, name: str) -> bytes | None:
    """Begin a group that stands ready behind #, with the lines for its source."""
    lines = text.decode().split("\n")
    header = re.compile(rf"# ?(?P<head>\[{{1,2}}{re.escape(name)}\]{{1,2}}.*)")
    for place, line in enumerate(lines):
        if found := header.match(line):
            lines[place] = found["head"]
            for below in range(place + 1, len(lines)):
                kept = lines[below]
                if not kept.startswith("#") or _KEPT_HEADER.match(kept):
                    break
                if re.match(rf'# ?({"|".join(_WITH_IT)})\s*=\s*(""|\[\])\s*(#.*)?$', kept):
                    lines[below] = kept[1:].lstrip()
            return "\n".join(lines).encode()
    return None


def _checked(text: bytes, before: Mapping[str, Any], path: Path, value: Any) -> bytes:
    if not _differs_only(before, text, path, value):
        raise NotWrittenError(f"there is no place in this file for {key_of(path)}")
    return text


def _differs_only(before: Mapping[str, Any], text: bytes, path: Path, value: Any) -> bool:
    """Whether a text says what it said before but for one value, and the source of a group that begins."""
    try:
        after = _table(text)
    except ValueError:
        # What cannot be parsed is not kept, and that is told.
        return False
    if value_at(after, path) != value:
        return False
    wanted, got = deepcopy(dict(before)), deepcopy(after)
    for depth in range(1, len(path)):
        # A group that begins has nothing else yet but what may come with it.
        if value_at(before, path[:depth]) is None:
            new = value_at(got, path[:depth])
            others = set(new) - {*_WITH_IT, path[depth]} if isinstance(new, Mapping) else set()
            if others:
                return False
            _drop(got, path[:depth])
            return bool(wanted == got)
    _drop(wanted, path)
    _drop(got, path)
    return bool(wanted == got)


def _drop(table: Any, path: Path) -> None:
    held = value_at(table, path[:-1])
    if isinstance(held, dict):
        held.pop(path[-1], None)
    elif isinstance(held, list) and isinstance(path[-1], int) and path[-1] < len(held):
        held[path[-1]] = None
