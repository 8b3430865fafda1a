"""Whether a card is current, asked with its code or with the printed file.

A file is known by the hash of its bytes and by nothing it says about itself. Only where the hash
is unknown are its pages searched for a code, to tell an altered file from a foreign one.
"""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from cardgen.register.canonical import sha256
from cardgen.register.code import Code, read_code
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble, trouble, trouble_of_system, troubles_as_values
from cardgen.register.rows import DeckRow
from cardgen.register.state import Standing, standing

LARGEST_FILE = 64 << 20
_APART_SECONDS = 10.0


@dataclass(frozen=True)
class UnknownCode:
    """A code that is well formed, but that no deck here has; or a file that names none."""

    asked: str


@dataclass(frozen=True)
class Altered:
    """A file that names a deck of this register without being one of its files, byte for byte."""

    file: str
    claims: Standing


@troubles_as_values
def verify_code(register: Register, code: Code, today: date) -> Standing | UnknownCode | RegisterTrouble:
    """Tell where the deck with this code stands."""
    with register.reading():
        deck = register.by_code(code)
        if deck is None:
            return UnknownCode(code)
        return _confirmed(register, deck, today)


def _confirmed(register: Register, deck: DeckRow, today: date) -> Standing:
    register.confirm(deck)
    found = standing(register, deck, today)
    if found.ahead:
        # Whoever is sent on to the newest deck relies on what is said of that one, too.
        register.confirm(found.newest)
    return found


@troubles_as_values
def verify_file(
    register: Register, path: Path, today: date
) -> Standing | Altered | UnknownCode | RegisterTrouble:
    """Tell where the deck of an issued file stands, or that the file is not one that was issued."""
    content = read_bounded(path)
    if isinstance(content, RegisterTrouble):
        return content
    with register.reading():
        deck = register.by_file(sha256(content))
        if deck is not None:
            return _confirmed(register, deck, today)
    for code in claimed_codes(content):
        claimed = verify_code(register, code, today)
        if isinstance(claimed, RegisterTrouble):
            return claimed
        if isinstance(claimed, Standing):
            return Altered(str(path), claimed)
    return UnknownCode(str(path))


def read_bounded(path: Path) -> bytes | RegisterTrouble:
    """Read a plain file of reasonable size; pipes, devices and folders are not waited for."""
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        with os.fdopen(handle, "rb") as file:
            about = os.fstat(file.fileno())
            if not stat.S_ISREG(about.st_mode):
                return trouble("missing", path, "this is not a file", "the path of a printed file, or a code")
            content = file.read(LARGEST_FILE + 1)
    except FileNotFoundError:
        return trouble("missing", path, "there is no such file", "the path of a printed file, or a code")
    except OSError as error:
        return trouble_of_system(error, path)
    if len(content) > LARGEST_FILE:
        why = "the file is larger than any deck this program makes"
        return trouble("input/output", path, why, "the printed file as it was issued, or the code from a card")
    return content


def claimed_codes(content: bytes) -> tuple[Code, ...]:
    """Search bytes that nobody vouches for, in a process of bounded time and memory."""
    said = _in_child("find_codes.py", content)
    read = (read_code(line) for line in said.decode("ascii", "replace").split())
    return tuple(code for code in read if isinstance(code, Code))


def attached_specification(content: bytes) -> bytes:
    """Take the specification out of a printed file, in a process of bounded time and memory.

    Empty where there is none. It says what the file says of itself, and nothing vouches for it.
    """
    return _in_child("extract_spec.py", content)


def _in_child(program: str, content: bytes) -> bytes:
    try:
        done = subprocess.run(
            [sys.executable, "-I", str(Path(__file__).with_name(program))],
            input=content,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            timeout=_APART_SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired as late:
        return late.stdout or b""
    except OSError:
        return b""
    return done.stdout
