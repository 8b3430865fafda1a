"""Running the command the way a keeper does: in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

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


def cardgen(
    *arguments: str | Path, cwd: Path = TREE, environment: Mapping[str, str] | None = None, stdin: str = ""
) -> Ran:
    """Run ``python -m cardgen`` with neither input nor output at a terminal."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-m", "cardgen", *map(str, arguments)],
        cwd=cwd,
        env={**os.environ, "PYTHONPATH": str(TREE), **(environment or {})},
        input=stdin,
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
