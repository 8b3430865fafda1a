"""What a keeper probably slipped on where a file is not TOML: at its line, with its key, and what to write.

The reader of TOML says what it expected; a keeper needs to hear what was typed. What is offered
to be written is tried first, by the reader of TOML and by that of the key.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from dataclasses import replace

from cardgen.spec.fields import expected
from cardgen.spec.lookalikes import LOOKALIKES, first_lookalike, named, plain_one, straightened
from cardgen.spec.nearest import nearest
from cardgen.spec.outline import Outline, Outlined
from cardgen.spec.problem import FileFault, Path, key_of
from cardgen.spec.schema_errors import form
from cardgen.spec.shown import plain, shortened
from cardgen.spec.syntax_words import TWICE, TWICE_GROUP, TomlFault, advice
from cardgen.spec.unquoted import value_slip

_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")


def slip(text: str, message: str) -> FileFault:
    """Turn what the reader of TOML said about a text into a fault that its keeper can mend."""
    lines = text.replace("\r\n", "\n").split("\n")
    said, line, column = _placed(lines, message)
    outline = Outline(lines)
    entry = outline.at(line)
    told = advice(said)
    if told.rule == TWICE:
        return _twice(lines, line, entry, outline, told)
    told = _lookalike(lines, line, column, told) or value_slip(entry, told) or told
    return _fault(lines, line, column, entry, told)


def _placed(lines: Sequence[str], message: str) -> tuple[str, int, int]:
    place = _PLACE.search(message)
    said = message[: place.start()] if place else message
    if place and place[1]:
        return said, int(place[1]), int(place[2])
    # The end of the document: the last line that says something.
    line = max((number for number, words in enumerate(lines, start=1) if words.strip()), default=1)
    return said, line, len(lines[line - 1].rstrip()) + 1


def _fault(lines: Sequence[str], line: int, column: int, entry: Outlined | None, told: TomlFault) -> FileFault:
    read = shortened(plain(lines[line - 1].strip()))
    return FileFault(line, column, told.rule, read, told.why, told.write, key_of(entry.path) if entry else "")


def _twice(
    lines: Sequence[str], line: int, entry: Outlined | None, outline: Outline, told: TomlFault
) -> FileFault:
    start = _start(lines, line)
    if entry is None:
        return _fault(lines, line, start, entry, told)
    if entry.brackets and (single := _single_bracket(entry, outline)):
        name = ".".join(entry.name)
        why = f"{name} is a list, and every block of a list has its name in double brackets"
        return _fault(
            lines,
            single.line,
            _start(lines, single.line),
            single,
            TomlFault("toml-brackets", why, f"[[{name}]]"),
        )
    told = TWICE_GROUP if entry.brackets else told
    if first := outline.first_of(entry):
        told = replace(told, why=told.why.replace("already", f"already, in line {first}"))
    return _fault(lines, line, start, entry, told)


def _single_bracket(entry: Outlined, outline: Outline) -> Outlined | None:
    """Find the block of a list that does not have double brackets, if that is what is wrong."""
    heads = outline.heads(entry.name)
    place = expected(entry.name)
    item = expected((*entry.name, 0)) if place and place.many else None
    doubled = any(head.brackets == "[[" for head in heads)
    if not doubled and not (item and item.group):
        return None
    return next((head for head in heads if head.brackets == "["), None)


def _start(lines: Sequence[str], line: int) -> int:
    return len(lines[line - 1]) - len(lines[line - 1].lstrip()) + 1


def _lookalike(lines: Sequence[str], line: int, column: int, told: TomlFault) -> TomlFault | None:
    """Name a character that only looks like the one that belongs at the place of the fault."""
    typed = lines[line - 1]
    here = typed[column - 1 : column]
    character: str | None = here if here in LOOKALIKES and here != "\t" else None
    if told.rule == "toml-string":
        # The text has no end, because the quote that should end it is none; it stands anywhere before.
        quotes = "".join(found for found in typed if LOOKALIKES.get(found, ("", ""))[1] in {'"', "'"})
        character = first_lookalike(quotes)
    if not character:
        return None
    why = f"{named(character)} stands here, which is another character than {plain_one(character)}"
    straight = straightened(typed).strip()
    entry = Outline([*lines[: line - 1], straight]).at(line)
    return TomlFault(told.rule, why, _line_meant(straight, entry, told) or plain_one(character))


def _line_meant(line: str, entry: Outlined | None, told: TomlFault) -> str | None:
    """Write a line that has lost its look-alikes, if it would be read now, or what more must be changed."""
    if entry is None or entry.brackets:
        return line if entry else told.write
    group = expected(entry.path[:-1])
    key = str(entry.path[-1])
    if group and key not in group.keys:
        meant = nearest(key, group.keys)
        return _line_meant(line.replace(key, meant, 1), _renamed(entry, meant), told) if meant else None
    if _is_read(line, entry):
        return line
    if further := value_slip(entry, told):
        return further.write
    place = expected(entry.path)
    return f"{key} = {form(place)}" if place else None


def _renamed(entry: Outlined, key: str) -> Outlined:
    return replace(entry, path=(*entry.path[:-1], key))


def _is_read(line: str, entry: Outlined) -> bool:
    """Whether a line would be read, by TOML and by its key."""
    try:
        table = tomllib.loads(line)
    except (tomllib.TOMLDecodeError, RecursionError, ValueError):
        # The line is not offered as an answer then; the slip itself is told.
        return False
    return len(table) == 1 and _taken(entry.path, *table.values())


def _taken(path: Path, value: object) -> bool:
    place = expected(path)
    if place is None:
        return True
    if place.many:
        return isinstance(value, list) and all(_taken((*path, 0), item) for item in value)
    return value in place.words if place.words else place.read is not None and place.takes(value)
