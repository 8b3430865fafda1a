"""Measures a command in a process of its own: wall time, processor time, peak memory.

A process begins with its parent's memory on its account, so this module imports nothing large.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median

TREE = Path(__file__).resolve().parents[2]
RUNS = 5


@dataclass(frozen=True)
class Cost:
    """Medians over several cold runs: seconds of wall and processor time, and peak memory in MiB."""

    wall: float
    processor: float
    memory: float


def cost(arguments: Sequence[str], runs: int = RUNS) -> Cost:
    """Run a program once to warm the disk, then several times. Raises `RuntimeError` where it fails."""
    _once(arguments)
    costs = [_once(arguments) for _ in range(runs)]
    return Cost(
        median(each.wall for each in costs),
        median(each.processor for each in costs),
        median(each.memory for each in costs),
    )


def _once(arguments: Sequence[str]) -> Cost:
    started = time.perf_counter()
    running = subprocess.Popen(
        [sys.executable, *arguments], cwd=TREE, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    # wait4 gives this one child's own use of the machine, which the module `resource` would sum up.
    _, status, used = os.wait4(running.pid, 0)
    wall = time.perf_counter() - started
    running.returncode = os.waitstatus_to_exitcode(status)
    if running.returncode:
        raise RuntimeError(f"{' '.join(arguments)} ended with exit code {running.returncode}")
    return Cost(wall, used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)


def told_by(arguments: Sequence[str]) -> str:
    """Run a program and give what it prints."""
    command = [sys.executable, *arguments]
    return subprocess.run(command, cwd=TREE, stdout=subprocess.PIPE, text=True, check=True).stdout


def import_times(arguments: Sequence[str], most: int = 8) -> list[tuple[str, float]]:
    """Tell which packages a command's imports spend their time in, in milliseconds, dearest first."""
    told = subprocess.run(
        [sys.executable, "-X", "importtime", *arguments],
        cwd=TREE,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        check=True,
    ).stderr
    spent: dict[str, float] = {}
    for line in told.splitlines():
        own, _, name = line.removeprefix("import time:").partition("|")
        if line.startswith("import time:") and own.strip().isdecimal():
            package = name.rpartition("|")[2].strip().partition(".")[0]
            spent[package] = spent.get(package, 0.0) + int(own) / 1000
    return sorted(spent.items(), key=lambda item: -item[1])[:most]
