"""Running the command line: here, or in a process of its own as a keeper does.

A process costs a second before it reads its first line, so that only what a process alone can show is
asked of one: starting, pipes and terminals, signals, the system's settings.
"""

from __future__ import annotations

import contextlib
import io
import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from unittest import mock

from cardgen.cli import errors

TREE = Path(__file__).resolve().parents[2]
SAMPLES = TREE / "sample_inputs"
INCH = SAMPLES / "nr-0306.toml"
METRIC = SAMPLES / "ft-7400.toml"
TODAY = ("--today", "2026-11-25")


@dataclass(frozen=True)
class Ran:
    """How a command ended, and what it said where."""

    code: int
    out: str
    err: str


def cardgen(*arguments: str | Path, cwd: Path = TREE, environment: Mapping[str, str] | None = None) -> Ran:
    """Run a command line in this process, with neither output at a terminal."""
    out, err = (io.TextIOWrapper(io.BytesIO(), "utf-8", write_through=True) for _ in range(2))
    with (
        contextlib.chdir(cwd),
        mock.patch.dict(os.environ, {"COLUMNS": "80", **(environment or {})}),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        code = errors.run([str(each) for each in arguments])
    return Ran(code, *(each.buffer.getvalue().decode() for each in (out, err)))


def cardgen_apart(
    *arguments: str | Path, cwd: Path = TREE, environment: Mapping[str, str] | None = None
) -> Ran:
    """Run ``python -m cardgen`` with neither input nor output at a terminal."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-m", "cardgen", *map(str, arguments)],
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(TREE), **(environment or {})},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )
    return Ran(done.returncode, done.stdout, done.stderr)


def altered(folder: Path, *changes: tuple[str, str], source: Path = INCH) -> Path:
    """Copy a sample with some of its text replaced; each text must be there exactly once."""
    text = source.read_text("utf-8")
    for old, new in changes:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times in {source.name}"
        text = text.replace(old, new)
    path = folder / "rotor.toml"
    path.write_text(text, "utf-8")
    return path
