"""From the bytes of a file to a TOML table, or to what keeps it from being TOML.

Numbers with a point become `decimal.Decimal`, never a float.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from cardgen.spec.problem import FileFault
from cardgen.spec.safe_text import plain, shortened
from cardgen.spec.toml_slips import slip

# Nested brackets and dotted keys without end take a reader of TOML down; no honest line is this long.
_LONGEST_LINE = 2000

_BOM = b"\xef\xbb\xbf"
_MARKS_16 = (b"\xff\xfe", b"\xfe\xff")
_SAMPLE = 400
_AS_UTF8 = "the file saved as UTF-8, the text encoding of TOML"


@dataclass(frozen=True)
class Parsed:
    """A file's table, if it has one, what is wrong with its text, and the bytes that were parsed."""

    table: Mapping[str, Any] | None
    faults: tuple[FileFault, ...]
    text: bytes


def parse(data: bytes) -> Parsed:
    """Parse a file's bytes. A byte-order mark is a fault, but the rest is read all the same."""
    marks: tuple[FileFault, ...] = ()
    if data.startswith(_BOM):
        marks = (_byte_order_mark(),)
        data = data.removeprefix(_BOM)
    if fault := _sixteen_bits(data):
        return Parsed(None, (*marks, fault), data)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        return Parsed(None, (*marks, _not_utf8(data, error)), data)
    if fault := _line_ends(text) or _long_line(text):
        return Parsed(None, (*marks, fault), data)
    try:
        return Parsed(tomllib.loads(text, parse_float=Decimal), marks, data)
    except tomllib.TOMLDecodeError as error:
        return Parsed(None, (*marks, slip(text, str(error))), data)
    except (ValueError, ArithmeticError):
        why = "a number in this file is too long to be read"
        return Parsed(None, (*marks, FileFault(0, 0, "toml-number", "", why, "the number as documented")), data)
    except RecursionError:
        why = "brackets in this file are nested too deeply to be read"
        return Parsed(
            None, (*marks, FileFault(0, 0, "toml-depth", "", why, "the groups of this file's shape")), data
        )


def _byte_order_mark() -> FileFault:
    why = "the file starts with a byte-order mark, which TOML does not know"
    write = "the file without its first three bytes, EF BB BF: save it as UTF-8 without byte-order mark"
    return FileFault(1, 1, "file-byte-order-mark", "the bytes EF BB BF", why, write)


def _not_utf8(data: bytes, error: UnicodeDecodeError) -> FileFault:
    line_start = data.rfind(b"\n", 0, error.start) + 1
    line = data.count(b"\n", 0, error.start) + 1
    column = len(data[line_start : error.start].decode()) + 1
    why = "this byte is not UTF-8, so a letter or a sign here cannot be known"
    return FileFault(line, column, "file-not-utf8", f"the byte {data[error.start]:02X}", why, _AS_UTF8)


def _sixteen_bits(data: bytes) -> FileFault | None:
    """Name a file of UTF-16, which begins with a mark of its own or has a zero in every letter."""
    start = data[:_SAMPLE]
    if start[:2] in _MARKS_16:
        read = f"the bytes {start[0]:02X} {start[1]:02X}"
    elif 4 * start.count(0) > len(start):
        read = "a byte of zero beside nearly every letter"
    else:
        return None
    why = "this file is in UTF-16, another encoding than the UTF-8 of TOML"
    return FileFault(1, 1, "file-not-utf8", read, why, _AS_UTF8)


def _line_ends(text: str) -> FileFault | None:
    """Name a file whose lines end as on very old machines, so that all of it is one line to TOML."""
    alone = text.count("\r") - text.count("\r\n")
    if alone <= text.count("\n"):
        return None
    why = "the lines of this file end with a carriage return alone, which TOML does not take for an end"
    write = "the file saved with line ends of the kind LF or CRLF, as Unix and Windows have them"
    return FileFault(
        1, text.index("\r") + 1, "file-line-ends", "the character U+000D without U+000A", why, write
    )


def _long_line(text: str) -> FileFault | None:
    for number, line in enumerate(text.split("\n"), start=1):
        if len(line) > _LONGEST_LINE:
            why = f"this line has {len(line)} characters; at most {_LONGEST_LINE} are read"
            write = "shorter lines; a list may run over several"
            return FileFault(number, 1, "file-line-length", shortened(plain(line)), why, write)
    return None
