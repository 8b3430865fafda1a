"""A process that has read in what most tests need, and runs tests in copies of itself.

Started with a tree as its working folder and its path. Each line of input is a list of arguments for
pytest; answered are a line with the copy's number, so that it can be stopped, and one with its exit code.
Reading in takes far longer than the tests of one module; the tree's own modules are not read in before.
"""

from __future__ import annotations

import importlib
import json
import os
import resource
import sys
from contextlib import suppress
from typing import NoReturn

_LIBRARIES = (
    "pytest",
    "hypothesis.strategies",
    "jinja2",
    "numpy",
    "pint",
    "pydantic",
    "pypdf",
    "pypdfium2",
    "qrcode",
    "reportlab.pdfgen.canvas",
    "scipy.integrate",
    "scipy.optimize",
    "scipy.stats",
    "tree_sitter",
    "tree_sitter_toml",
)
#: A changed loop may gather without end; so many bytes are several times what a test needs.
_MEMORY = 6 << 30


def main() -> None:
    """Answer until nothing more is asked."""
    for library in _LIBRARIES:
        with suppress(ImportError):
            importlib.import_module(library)
    for line in sys.stdin:
        copy = os.fork()
        if copy == 0:
            _run(json.loads(line))
        _say(copy)
        _, status = os.waitpid(copy, 0)
        _say(os.waitstatus_to_exitcode(status))


def _say(number: int) -> None:
    sys.stdout.write(f"{number}\n")
    sys.stdout.flush()


def _run(arguments: list[str]) -> NoReturn:
    code = 3
    try:
        os.setsid()
        resource.setrlimit(resource.RLIMIT_AS, (_MEMORY, _MEMORY))
        nothing = os.open(os.devnull, os.O_RDWR)
        for number in range(3):
            os.dup2(nothing, number)
        code = int(importlib.import_module("pytest").main(arguments))
    finally:
        # What the process above had begun is not the copy's to finish.
        os._exit(code)


if __name__ == "__main__":
    main()
