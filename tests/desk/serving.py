"""A real desk in a process of its own, as a keeper starts it."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.cli.running import TODAY, TREE


@contextmanager
def served(folder: Path) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """Start a desk; give its process and the address that it prints."""
    command = [sys.executable, "-W", "error", "-m", "cardgen", "desk", folder, "--no-browser", *TODAY]
    process = subprocess.Popen(
        [*map(str, command), "--register", str(folder.parent / "register.sqlite")],
        env={**os.environ, "PYTHONPATH": str(TREE)},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        assert process.stdout is not None
        yield process, process.stdout.readline().strip()
    finally:
        process.kill()
        process.communicate()
