"""What a keeper probably slipped on where a file is not TOML: at its line, with its key, and what to write.

The reader of TOML says what it expected; a keeper needs to hear what was typed. The syntax tree of
a broken file cannot be relied on, but heads and keys stand at the beginning of a line, and that much
is still to be seen. A line that is offered has been read first, by TOML and by its key.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from cardgen.spec.dates import PaperDate, day_meant
from cardgen.spec.fields import KeyMeaning, expected
from cardgen.spec.lookalikes import LOOKALIKES, first_lookalike, named, plain_one, straightened
from cardgen.spec.nearest import nearest
from cardgen.spec.problem import FileFault, Path, key_of
from cardgen.spec.safe_text import plain, shortened
from cardgen.spec.schema_errors import form

_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")
_NAME = r"[A-Za-z0-9_-]+(?:[ \t]*\.[ \t]*[A-Za-z0-9_-]+)*"
_HEAD = re.compile(rf"[ \t]*(\[\[?)[ \t]*({_NAME})[ \t]*\]\]?[ \t]*(?:#.*)?\Z")
_KEY = re.compile(rf"[ \t]*({_NAME})(?:[ \t]*=|[ \t]*:|(?=[ \t]+\S))[ \t]*(.*)", re.DOTALL)

#: Longer values are no line that somebody typed.
_LONGEST = 200


@dataclass(frozen=True)
class _Slip:
    """One objection to a line: the rule it breaks, why that matters, what to write."""

    rule: str
    why: str
    write: str


@dataclass(frozen=True)
class _Entry:
    """One head or key: its line from 1, its path, what stands behind its equals sign, its brackets."""

    line: int
    path: Path
    value: str = ""
    brackets: str = ""


_KEY_AND_VALUE = 'key = "text", key = 4, or a group such as [rotor], each on a line of its own'
_ONE_VALUE = 'number and unit together between quotes, such as "190 in·lbf"; one key on a line'
_VALUES = 'a quantity or words between quotes, such as "190 in·lbf"; a number; a date; true or false; a list'
_TWICE_KEY = "this key stands in its group already; which of the two values holds cannot be known"
_TWICE_GROUP = "this group stands in the file already; which of the two holds cannot be known"
_GROUP_ONCE = "the group once; a list of groups, such as fasteners, has double brackets: [[fasteners]]"
_CLOSE = 'a closing quote: key = "text"'
_BACKSLASH = "a backslash has a meaning of its own between quotes"
_CONTROL = "an invisible control character stands here"
_AFTER = "something stands behind a complete value: a unit outside its quotes, or a second value"
_LINE = "a line must be a key with a value, a group in brackets, or a comment"
_BRACKETS = "a bracket that was opened before is not closed, or not by the right one"

#: How the reader of TOML begins, and what that means to a keeper: rule, reason, what to write.
_SAID = (
    ("Cannot declare", "toml-twice", _TWICE_GROUP, _GROUP_ONCE),
    ("Cannot |Duplicate ", "toml-twice", _TWICE_KEY, "the key once, with the value from its document"),
    ("Invalid value", "toml-value", "what stands after the equals sign is no value of TOML", _VALUES),
    ("Unterminated", "toml-string", "a text begins here or above and its closing quote is missing", _CLOSE),
    (r".* character '\\n'", "toml-string", "a text must end on the line it began on", _CLOSE),
    ("Illegal|Found invalid", "toml-character", _CONTROL, "the line typed again without it"),
    ("Unescaped|Escaped|Invalid hex", "toml-string", _BACKSLASH, "text without a backslash"),
    ("Invalid statement|Invalid initial", "toml-statement", _LINE, _KEY_AND_VALUE),
    ("Expected newline", "toml-statement", _AFTER, _ONE_VALUE),
    ("Expected '='", "toml-statement", "a key is followed by an equals sign and its value", 'key = "text"'),
    ("Expected ']|Unclosed", "toml-brackets", _BRACKETS, "[group], [[group]] in a list, or key = [1, 2]"),
    ("Invalid date", "toml-date", "there is no such day", "a date such as 2027-11-30"),
)


def slip(text: str, message: str) -> FileFault:
    """Turn what the reader of TOML said about a text into a fault that its keeper can mend."""
    lines = text.replace("\r\n", "\n").split("\n")
    said, line, column = _placed(lines, message)
    entries = _outline([*lines[: line - 1], straightened(lines[line - 1]), *lines[line:]])
    told = _told(said)
    if told.rule == "toml-twice":
        line, told = _twice(entries, line, told)
        column = len(lines[line - 1]) - len(lines[line - 1].lstrip()) + 1
    else:
        told = _mended(entries.get(line), lines[line - 1], column, told)
    key = key_of(entries[line].path) if line in entries else ""
    return FileFault(
        line, column, told.rule, shortened(plain(lines[line - 1].strip())), told.why, told.write, key
    )


def _placed(lines: Sequence[str], message: str) -> tuple[str, int, int]:
    place = _PLACE.search(message)
    said = message[: place.start()] if place else message
    if place and place[1]:
        return said, int(place[1]), int(place[2])
    # The end of the document: the last line that says something.
    line = max((number for number, words in enumerate(lines, start=1) if words.strip()), default=1)
    return said, line, len(lines[line - 1].rstrip()) + 1


def _told(said: str) -> _Slip:
    for opening, rule, why, write in _SAID:
        if re.match(opening, said):
            return _Slip(rule, why, write)
    return _Slip("toml-syntax", f"this is not TOML: {said[:1].lower()}{said[1:]}", _KEY_AND_VALUE)


def _outline(lines: Sequence[str]) -> Mapping[int, _Entry]:
    """Find the heads and keys of a file, by line."""
    entries: dict[int, _Entry] = {}
    counts: dict[Path, int] = {}
    group: Path = ()
    # Inside a text of several lines anything may stand; nothing is said about such a file.
    several = any(quotes in line for line in lines for quotes in ('"""', "'''"))
    for number, line in enumerate(() if several else lines, start=1):
        if found := _HEAD.match(line):
            group = _group(_parts(found[2]), found[1] == "[[", counts)
            entries[number] = _Entry(number, group, brackets=found[1])
        elif found := _KEY.match(line):
            entries[number] = _Entry(number, (*group, *_parts(found[1])), found[2])
    return entries


def _group(parts: Sequence[str], doubled: bool, counts: dict[Path, int]) -> Path:
    path: Path = ()
    for depth, part in enumerate(parts, start=1):
        path = (*path, part)
        if doubled and depth == len(parts):
            counts[path] = counts.get(path, -1) + 1
        # A single bracket that names a list means the list, not a block of it.
        if path in counts and (doubled or depth < len(parts)):
            path = (*path, counts[path])
    return path


def _parts(name: str) -> list[str]:
    return [part.strip() for part in name.split(".")]


def _twice(entries: Mapping[int, _Entry], line: int, told: _Slip) -> tuple[int, _Slip]:
    """Say where it stood first; a block of a list in single brackets is found where it stands."""
    entry = entries.get(line)
    if entry is None:
        return line, told
    if entry.brackets and (single := _single_bracket(entries, entry)):
        name = ".".join(_names(entry.path))
        why = f"{name} is a list, and every block of a list has its name in double brackets"
        return single, _Slip("toml-brackets", why, f"[[{name}]]")
    if entry.brackets:
        told = _Slip(told.rule, _TWICE_GROUP, _GROUP_ONCE)
    for first in entries.values():
        over = not first.brackets and first.path == entry.path[: len(first.path)]
        if (first.path == entry.path or over) and first.line < line:
            return line, replace(told, why=told.why.replace("already", f"already, in line {first.line}"))
    return line, told


def _single_bracket(entries: Mapping[int, _Entry], entry: _Entry) -> int | None:
    names = _names(entry.path)
    heads = [each for each in entries.values() if each.brackets and _names(each.path)[: len(names)] == names]
    place = expected((*names, 0))
    if not any(head.brackets == "[[" for head in heads) and not (place and place.group):
        return None
    return next((head.line for head in heads if head.brackets == "["), None)


def _names(path: Path) -> tuple[str, ...]:
    return tuple(part for part in path if isinstance(part, str))


def _mended(entry: _Entry | None, typed: str, column: int, told: _Slip) -> _Slip:
    """Name a character that only looks like the one needed, and write the line as its key would read it."""
    character = _lookalike(typed, column, told)
    if character:
        why = f"{named(character)} stands here, which is another character than {plain_one(character)}"
        told = replace(told, why=why, write=plain_one(character) if entry else told.write)
    place = expected(entry.path) if entry else None
    if entry is None or place is None or entry.brackets or told.rule == "toml-brackets":
        return told
    value = _without_comment(entry.value)
    if len(value) > _LONGEST or "=" in value:
        return told
    told = told if character else _value_slip(value, place, told)
    for written in _candidates(value, place):
        if _is_read(written, place, entry.path):
            return replace(told, write=f"{entry.path[-1]} = {written}")
    return told if value[:1] in {"[", "{"} else replace(told, write=f"{entry.path[-1]} = {form(place)}")


def _lookalike(typed: str, column: int, told: _Slip) -> str | None:
    here = typed[column - 1 : column]
    if here in LOOKALIKES and here != "\t":
        return here
    # A text has no end where the quote that should end it is none; it stands anywhere before.
    quotes = "".join(each for each in typed if LOOKALIKES.get(each) in {'"', "'"})
    return first_lookalike(quotes) if told.rule == "toml-string" else None


def _without_comment(value: str) -> str:
    if found := re.match(r"""(["']).*\1(?=\s*(?:#|$))""", value):
        return found[0]
    return value.partition("#")[0].strip()


def _value_slip(value: str, place: KeyMeaning, told: _Slip) -> _Slip:
    """Say what is wrong with a value, where the line alone shows it."""
    if told.rule not in {"toml-value", "toml-statement"} or told.why.startswith("a key"):
        return told
    if not value:
        return replace(told, why="no value stands behind the equals sign")
    if place.type in {date, PaperDate}:
        why = "a date is written year first, with hyphens and two digits for month and day"
        return replace(told, rule="toml-date", why=why)
    if value[0] in "\"'":
        return replace(told, rule="toml-string", why=f"the quote {value[0]} inside the text ends it there")
    if re.fullmatch(r"[\d.,]+ ?%?", value, re.ASCII):
        return replace(told, why="a number has a decimal point, no comma, and nothing behind it")
    return told if value[0] in "[{" else replace(told, why="words and measurements stand between quotes")


def _candidates(value: str, place: KeyMeaning) -> Iterator[str]:
    """Write a value in the ways that it may have been meant."""
    inside = re.sub(r"""^["']|["']$""", "", value)
    day = day_meant(inside)
    if place.kind is not None:
        yield f'"{place.spelled(inside)}"'
    yield from (value, value.lower(), f'"{inside}"', f"'{inside}'")
    yield place.instead_of(inside) or ""
    yield f'"{nearest(inside, place.words) or ""}"'
    yield day.isoformat() if day else ""
    if number := re.fullmatch(r"(\d{1,6})(?:[.,](\d{1,2}))? ?%?", inside, re.ASCII):
        yield f"{number[1]}.{number[2]}" if number[2] else number[1]


def _is_read(written: str, place: KeyMeaning, path: Path) -> bool:
    """Whether a value would be read, by TOML and by its key."""
    try:
        value = tomllib.loads(f"it = {written}", parse_float=Decimal)["it"]
    except (tomllib.TOMLDecodeError, RecursionError, ValueError, ArithmeticError):
        # The line is not offered as an answer then; the slip itself is told.
        return False
    return _takes(place, value, path)


def _takes(place: KeyMeaning, value: object, path: Path) -> bool:
    if place.many:
        item = expected((*path, 0))
        return isinstance(value, list) and item is not None and all(_takes(item, each, path) for each in value)
    if place.words:
        return value in place.words
    if place.read is None:
        return place.type in {date, bool} and type(value) is place.type
    return place.takes(value)
