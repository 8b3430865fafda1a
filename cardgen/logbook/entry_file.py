"""A file from the form to plain JSON values: bounded, strict, and never trusted.

Anybody can send such a file. It is read whole or refused whole; nothing in it is ever run, opened
or looked up by name.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Iterator
from dataclasses import replace
from typing import NoReturn

from cardgen.logbook.entry_text import FIRST_LINE, is_text, read_lines
from cardgen.spec.problem import Path, Problem, key_of
from cardgen.spec.safe_text import plain, shortened

#: The largest file that is read; an entry is a few kilobytes.
LARGEST = 1024 * 1024
#: The one control character that a text of several lines needs.
_LINE_END = "\n"
_UNFIT = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_DEEPEST = 20
_LONGEST = 600


class _RefusedError(Exception):
    """JSON allows it, an entry does not."""

    def __init__(self, rule: str, read: str, why: str, write: str) -> None:
        super().__init__(rule)
        self.told = (rule, read, why, write)


def problem(file: str, path: Path, rule: str, read: str, why: str, write: str) -> Problem:
    """Make a problem of an entry; an entry has keys, and lines only where it is no JSON."""
    words = shortened(plain(why), _LONGEST), shortened(plain(write), _LONGEST)
    return Problem(plain(file), 0, 0, shortened(plain(key_of(path))), rule, shortened(plain(read)), *words)


def read_json(content: bytes, file: str) -> dict[str, object] | Problem:
    """Read the bytes of a file, JSON or lines of text, as plain values, or say what is wrong with it."""
    if len(content) > LARGEST:
        why = "this file is larger than 1 MiB; an entry is a few kilobytes"
        return problem(file, (), "entry-size", "more than 1 MiB", why, _SAVED)
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        return problem(file, (), "entry-text", "", "this is not text in UTF-8", _SAVED)
    if is_text(text):
        lines = read_lines(text)
        if isinstance(lines, tuple):
            found = problem(
                file, (), "entry-line", lines[1].strip(), "this line cannot be read, or stands twice", _SHOWN
            )
            return replace(found, line=lines[0], column=1)
        return next(_unfit(lines, (), file), lines)
    try:
        value = json.loads(text, object_pairs_hook=_once, parse_constant=_not_finite)
    except _RefusedError as refused:
        return problem(file, (), *refused.told)
    except json.JSONDecodeError as error:
        rows = text.split("\n")
        read = rows[error.lineno - 1].strip() if error.lineno <= len(rows) else ""
        is_json = text.lstrip().startswith(("{", "["))
        why = "this is not JSON that can be read" if is_json else f'the form\'s lines begin with "{FIRST_LINE}"'
        write = _SAVED if is_json else f"{_SAVED}; or every line that it showed, the first too"
        found = problem(file, (), "entry-json", read, why, write)
        return replace(found, line=error.lineno, column=error.colno)
    except (ValueError, RecursionError):
        return problem(file, (), "entry-json", "", "this is not JSON that can be read", _SAVED)
    if not isinstance(value, dict):
        return problem(file, (), "entry-json", "", "an entry is a JSON object", _SAVED)
    return next(_unfit(value, (), file), value)


_SHOWN = "each line as the form showed it"
_SAVED = "the file that the log-entry form saved, unchanged"


def _once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found: dict[str, object] = {}
    for key, value in pairs:
        if key in found:
            why = "the same key stands twice, and nobody can tell which one was meant"
            raise _RefusedError("entry-twice", key, why, "each key once")
        found[key] = value
    return found


def _not_finite(name: str) -> NoReturn:
    raise _RefusedError("entry-not-finite", name, "this is not a number that can be measured", "a plain number")


def _unfit(value: object, path: Path, file: str) -> Iterator[Problem]:
    """Find keys and texts with characters that cannot be seen, and nests that no form makes."""
    if len(path) > _DEEPEST:
        yield problem(file, path[:3], "entry-json", "", "lists within lists beyond all need", _SAVED)
    elif isinstance(value, str):
        if character := _unseen(value):
            why = "it holds a character that cannot be seen or that turns the direction of writing"
            yield problem(file, path, "entry-control", f"U+{ord(character):04X}", why, "text without it")
    elif isinstance(value, dict):
        for key, member in value.items():
            if character := _unseen(key, several=False):
                why = "a key holds a character that cannot be seen"
                yield problem(file, path, "entry-control", f"U+{ord(character):04X}", why, _SAVED)
            yield from _unfit(member, (*path, key), file)
    elif isinstance(value, list):
        for at, member in enumerate(value):
            yield from _unfit(member, (*path, at), file)


def _unseen(text: str, several: bool = True) -> str:
    allowed = _LINE_END if several else ""
    return next((one for one in text if unicodedata.category(one) in _UNFIT and one not in allowed), "")
