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


@dataclass(frozen=True)
class Parsed:
    """A file's table, if it has one, what is wrong with its text, and the bytes that were parsed."""

    table: Mapping[str, Any] | None
    faults: tuple[FileFault, ...]
    text: bytes


def parse(data: bytes) -> Parsed:
    """Parse a file's bytes. A byte-order mark is a fault, but the rest is read all the same."""
    marks = (_byte_order_mark(),) if data.startswith(_BOM) else ()
    data = data.removeprefix(_BOM)
    table = _table(data)
    if isinstance(table, FileFault):
        return Parsed(None, (*marks, table), data)
    return Parsed(table, marks, data)


def _table(data: bytes) -> Mapping[str, Any] | FileFault:
    if fault := _of_another_kind(data):
        return fault
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        return _not_utf8(data, error)
    if fault := _line_ends(text) or _long_line(text):
        return fault
    try:
        return tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        return slip(text, str(error))
    except (ValueError, ArithmeticError):
        why = "a number in this file is too long to be read"
        return FileFault(0, 0, "toml-number", "", why, "the number as documented")
    except RecursionError:
        why = "brackets in this file are nested too deeply to be read"
        return FileFault(0, 0, "toml-depth", "", why, "the groups of this file's shape")


#: How files begin that are no text, by what they are (as the systems' own lists of magic numbers have it).
_KINDS = (
    (b"%PDF-", "a PDF"),
    (b"\xff\xd8\xff", "a picture"),
    (b"\x89PNG", "a picture"),
    (b"GIF8", "a picture"),
    (b"PK\x03\x04", "a packed file or an office document"),
    (b"\x7fELF", "a program"),
    (b"MZ", "a program"),
)


def _of_another_kind(data: bytes) -> FileFault | None:
    """Name a file that is empty, is saved as UTF-16, or is no text at all."""
    write = "the specification of a rotor, which is text; cardgen init writes one to fill in"
    if not data.strip():
        return FileFault(1, 1, "file-kind", "nothing", "this file is empty", write)
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        why = "this file is saved as UTF-16, and TOML is read as UTF-8"
        return FileFault(1, 1, "file-kind", "UTF-16", why, "the same file saved as UTF-8")
    kind = next((kind for begins, kind in _KINDS if data.startswith(begins) and not _is_table(data)), "")
    if not kind and b"\0" in data and not _is_utf8(data):
        kind = "no text"
    if kind:
        return FileFault(1, 1, "file-kind", kind, f"this is {kind} and no specification", write)
    return None


def _is_utf8(data: bytes) -> bool:
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        # That is the answer.
        return False
    return True


def _is_table(data: bytes) -> bool:
    """Whether a file reads as TOML all the same: a key may begin like a program."""
    try:
        tomllib.loads(data.decode("utf-8"))
    except (ValueError, RecursionError):
        # Whatever it is, it is told by its kind.
        return False
    return True


def _byte_order_mark() -> FileFault:
    why = "the file starts with a byte-order mark, which TOML does not know"
    write = "the file without its first three bytes, EF BB BF: save it as UTF-8 without byte-order mark"
    return FileFault(1, 1, "file-byte-order-mark", "the bytes EF BB BF", why, write)


def _not_utf8(data: bytes, error: UnicodeDecodeError) -> FileFault:
    line_start = data.rfind(b"\n", 0, error.start) + 1
    line = data.count(b"\n", 0, error.start) + 1
    column = len(data[line_start : error.start].decode()) + 1
    why = "this byte is not UTF-8, so a letter or a sign here cannot be known"
    write = "the file saved as UTF-8, the text encoding of TOML"
    return FileFault(line, column, "file-not-utf8", f"the byte {data[error.start]:02X}", why, write)


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
