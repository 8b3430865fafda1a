"""Whether a register is the one that a sheet or a deck was told from, with the same course of entries.

A copy that went its own way, an old copy and a chain that was written anew are sound in themselves; only
what was told before, on paper or in a folder, shows them.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

from cardgen.register.audit import Found
from cardgen.register.code import Code, read_code
from cardgen.register.currency import read_bounded
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, troubles_as_values
from cardgen.register.foreign_file import claimed_codes, claimed_heads
from cardgen.register.head import Head
from cardgen.register.rows import DESCRIPTION
from cardgen.register.trust import is_on


@troubles_as_values
def against(register: Register, path: Path) -> tuple[Found, ...] | RegisterTrouble:
    """Compare a register with a sheet, a deck's folder or one of its files; a fault where they do not agree."""
    content = read_bounded(path / DESCRIPTION if path.is_dir() else path)
    if isinstance(content, RegisterTrouble):
        return content
    heads, codes = claimed_heads(content), _codes(content)
    with register.reading():
        found = (*_heads(register, heads.heads), *_codes_unknown(register, codes))
    if found or heads.heads or codes:
        return found
    why = f": {heads.cut_short}" if heads.cut_short else ""
    return (Found("fault", f"{path} names no register and no code, and cannot be compared{why}"),)


def _codes(content: bytes) -> tuple[Code, ...]:
    """Take the deck's own code from its description, or every code that another file names."""
    if content.startswith(b"{"):
        # What is no description is searched like any other file.
        with suppress(ValueError, KeyError, TypeError, RecursionError):
            read = read_code(str(json.loads(content)["code"]))
            return (read,) if isinstance(read, Code) else ()
    return claimed_codes(content).codes


def _heads(register: Register, heads: tuple[Head, ...]) -> Iterator[Found]:
    here = register.head()
    for head in heads:
        if head.identity != here.identity:
            why = f"it was told from another register: {head.identity}"
            yield Found("fault", why)
        elif head.links > here.links:
            why = f"it was told from entry {head.links}, and this register ends at {here.links}: an older copy"
            yield Found("fault", why)
        elif not is_on(register, head):
            why = f"entry {head.links} is not the one it was told from: a fork, or a chain written anew"
            yield Found("fault", why)


def _codes_unknown(register: Register, codes: tuple[Code, ...]) -> Iterator[Found]:
    for code in codes:
        if register.by_code(code) is None:
            yield Found("fault", f"it names code {code}, and this register has no such deck")
