"""Searching files that nobody vouches for, each in a process of its own with bounded time and memory.

What is found is what a file says of itself. A search that did not reach its end says why: nothing
found must never read as nothing there.
"""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from cardgen.register.child import ENDED, GIVEN_UP, NO_READER
from cardgen.register.code import Code, read_code
from cardgen.register.head import Head, heads_in

_SECONDS = 10.0
_LONGEST_REASON = 200
#: How a reason ends that the library gives: with its own name, and with a full stop.
_LIBRARY = re.compile(r"[ .]*(\(PDFium:[^)]*\))?[ .]*$")

#: An isolated process takes nothing from the environment; it gets the folders of this one's libraries,
#: wherever they were installed, and no others.
_START = "import runpy, sys; sys.path[:] = sys.argv[2:]; runpy.run_module(sys.argv[1], run_name='__main__')"


@dataclass(frozen=True)
class Searched:
    """What was found in a file, and in words why its search stopped early; empty where it did not."""

    found: bytes
    cut_short: str = ""


@dataclass(frozen=True)
class Claims:
    """The codes that a file names, and why it was not searched to its end; empty where it was."""

    codes: tuple[Code, ...]
    cut_short: str = ""


def claimed_codes(content: bytes) -> Claims:
    """Search bytes for codes, in their text and on their first pages."""
    searched = _searched("find_codes", content)
    read = (read_code(line) for line in searched.found.decode("ascii", "replace").split())
    return Claims(tuple(code for code in read if isinstance(code, Code)), searched.cut_short)


def claimed_cards(content: bytes) -> tuple[str, ...]:
    """Search a file's outline for the titles of its cards."""
    return tuple(_searched("find_cards", content).found.decode("utf-8", "replace").splitlines())


@dataclass(frozen=True)
class ClaimedHeads:
    """The ends of a register's chain that a file names, and why it was not searched to its end."""

    heads: tuple[Head, ...]
    cut_short: str = ""


def claimed_heads(content: bytes) -> ClaimedHeads:
    """Search bytes for ends of a chain, in their text and on their first pages."""
    searched = _searched("find_heads", content)
    return ClaimedHeads(heads_in(searched.found.decode("ascii", "replace")), searched.cut_short)


def attached_specification(content: bytes) -> Searched:
    """Take the specification out of a printed file; nothing is found where it carries none."""
    return _searched("extract_spec", content)


def _searched(
    program: Literal["find_codes", "find_cards", "find_heads", "extract_spec"], content: bytes
) -> Searched:
    libraries = [str(Path(folder).resolve()) for folder in sys.path if folder]
    try:
        done = subprocess.run(
            [sys.executable, "-I", "-B", "-c", _START, f"cardgen.register.{program}", *libraries],
            input=content,
            capture_output=True,
            timeout=_SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired as late:
        return Searched(late.stdout or b"", f"it took longer than {_SECONDS:.0f} seconds to read")
    except OSError as error:
        return Searched(b"", f"the program that reads it cannot be started: {error.strerror}")
    return Searched(done.stdout, _why(done.returncode, done.stderr))


def _why(code: int, said: bytes) -> str:
    last = said.decode("utf-8", "replace").strip().rpartition("\n")[2][:_LONGEST_REASON]
    if code == ENDED:
        return ""
    if code == GIVEN_UP:
        return f"it cannot be read as a PDF: {_LIBRARY.sub('', last)}"
    if code == NO_READER:
        return f"what reads it is not installed: {last}"
    if code < 0:
        return "it took more time or memory to read than a printed file needs"
    return f"the program that reads it failed: {last}"
