"""From the bytes of a file to a TOML table, or to what keeps it from being TOML.

Numbers with a point become `decimal.Decimal`, never a float.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from cardgen.spec.shown import plain, shortened

# Nested brackets and dotted keys without end take a reader of TOML down; no honest line is this long.
_LONGEST_LINE = 2000

_BOM = b"\xef\xbb\xbf"
_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")


@dataclass(frozen=True)
class Fault:
    """Something wrong with the file as text, at a line and column counted from 1."""

    line: int
    column: int
    rule: str
    read: str
    why: str
    write: str


@dataclass(frozen=True)
class Parsed:
    """A file's table, if it has one, what is wrong with its text, and the bytes that were parsed."""

    table: Mapping[str, Any] | None
    faults: tuple[Fault, ...]
    text: bytes


def parse(data: bytes) -> Parsed:
    """Parse a file's bytes. A byte-order mark is a fault, but the rest is read all the same."""
    marks: tuple[Fault, ...] = ()
    if data.startswith(_BOM):
        marks = (_byte_order_mark(),)
        data = data.removeprefix(_BOM)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        return Parsed(None, (*marks, _not_utf8(data, error)), data)
    if fault := _long_line(text):
        return Parsed(None, (*marks, fault), data)
    try:
        return Parsed(tomllib.loads(text, parse_float=Decimal), marks, data)
    except tomllib.TOMLDecodeError as error:
        return Parsed(None, (*marks, _syntax(text, str(error))), data)
    except (ValueError, ArithmeticError):
        why = "a number in this file is too long to be read"
        return Parsed(None, (*marks, Fault(0, 0, "toml-number", "", why, "the number as documented")), data)
    except RecursionError:
        why = "brackets in this file are nested too deeply to be read"
        return Parsed(
            None, (*marks, Fault(0, 0, "toml-depth", "", why, "the groups of this file's shape")), data
        )


def _byte_order_mark() -> Fault:
    why = "the file starts with a byte-order mark, which TOML does not know"
    write = "the file without its first three bytes, EF BB BF: save it as UTF-8 without byte-order mark"
    return Fault(1, 1, "file-byte-order-mark", "the bytes EF BB BF", why, write)


def _not_utf8(data: bytes, error: UnicodeDecodeError) -> Fault:
    line_start = data.rfind(b"\n", 0, error.start) + 1
    line = data.count(b"\n", 0, error.start) + 1
    column = len(data[line_start : error.start].decode()) + 1
    why = "this byte is not UTF-8, so a letter or a sign here cannot be known"
    write = "the file saved as UTF-8, the text encoding of TOML"
    return Fault(line, column, "file-not-utf8", f"the byte {data[error.start]:02X}", why, write)


def _long_line(text: str) -> Fault | None:
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > _LONGEST_LINE:
            why = f"this line has {len(line)} characters; at most {_LONGEST_LINE} are read"
            write = "shorter lines; a list may run over several"
            return Fault(number, 1, "file-line-length", shortened(plain(line)), why, write)
    return None


def _syntax(text: str, message: str) -> Fault:
    lines = text.replace("\r\n", "\n").split("\n")
    place = _PLACE.search(message)
    said = message[: place.start()] if place else message
    if place and place[1]:
        line, column = int(place[1]), int(place[2])
    else:
        # The end of the document: the last line that says something.
        line = max((number for number, words in enumerate(lines, start=1) if words.strip()), default=1)
        column = len(lines[line - 1].rstrip()) + 1
    rule, why, write = _advice(said)
    if rule == "toml-twice":
        column = len(lines[line - 1]) - len(lines[line - 1].lstrip()) + 1
    return Fault(line, column, rule, shortened(plain(lines[line - 1].strip())), why, write)


def _advice(said: str) -> tuple[str, str, str]:
    """Put the TOML reader's own words into a keeper's: rule, reason, what to write."""
    for opening, advice in _SYNTAX.items():
        if said.startswith(opening):
            return advice
    return "toml-syntax", f"this is not TOML: {said[:1].lower()}{said[1:]}", _KEY_AND_VALUE


_KEY_AND_VALUE = 'key = "text", key = 4, or a group such as [rotor], each on a line of its own'
_TWICE_GROUP = (
    "toml-twice",
    "this group stands in the file already; which of the two holds cannot be known",
    "the group once; a list of groups, such as fasteners, has double brackets: [[fasteners]]",
)
_TWICE_KEY = (
    "toml-twice",
    "this key stands in its group already; which of the two values holds cannot be known",
    "the key once, with the value from its document",
)
_CONTROL = (
    "toml-character",
    "an invisible control character stands here",
    "the line typed again without it",
)
_ESCAPE = (
    "toml-string",
    "a backslash has a meaning of its own between quotes",
    "text without a backslash",
)
_SYNTAX = {
    "Cannot declare": _TWICE_GROUP,
    "Cannot overwrite a value": _TWICE_KEY,
    "Duplicate inline table key": _TWICE_KEY,
    "Cannot mutate": _TWICE_KEY,
    "Cannot redefine": _TWICE_KEY,
    "Invalid value": (
        "toml-value",
        "what stands after the equals sign is no value of TOML",
        'a quantity or words between quotes, such as "190 in·lbf"; a number; a date; true or false; a list',
    ),
    "Unterminated string": (
        "toml-string",
        "a text begins here or above and its closing quote is missing",
        'a closing quote: key = "text"',
    ),
    "Illegal character '\\n'": (
        "toml-string",
        "a text must end on the line it began on",
        'a closing quote: key = "text"',
    ),
    "Found invalid character": _CONTROL,
    "Illegal character": _CONTROL,
    "Unescaped '\\'": _ESCAPE,
    "Invalid statement": (
        "toml-statement",
        "a line must be a key with a value, a group in brackets, or a comment",
        _KEY_AND_VALUE,
    ),
    "Expected newline or end of document": (
        "toml-statement",
        "something stands behind a complete value: a unit outside its quotes, or a second value",
        'number and unit together between quotes, such as "190 in·lbf"; one key on a line',
    ),
    "Expected '=' after a key": (
        "toml-statement",
        "a key is followed by an equals sign and its value",
        'key = "text"',
    ),
    "Invalid initial character for a key part": (
        "toml-statement",
        "a key is letters, digits, hyphens and underscores",
        _KEY_AND_VALUE,
    ),
    "Expected ']": ("toml-brackets", "a group's name stands in brackets", "[group], or [[group]] in a list"),
    "Escaped character is not": _ESCAPE,
    "Invalid hex value": _ESCAPE,
    "Unclosed array": ("toml-brackets", "a list has no closing bracket", "key = [1, 2]"),
    "Unclosed inline table": ("toml-brackets", "a table has no closing brace", "{ key = 1, other = 2 }"),
    "Invalid date or datetime": ("toml-date", "there is no such day", "a date such as 2027-11-30"),
}
