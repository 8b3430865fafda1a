"""Ends the command that issues, and it alone, while it prints: by SIGKILL, SIGINT and SIGTERM.

What it had started must be gone soon after, and the register must be in order: the deck is issued, and
then its code was told, or it is not.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from cardgen.register.audit import check
from cardgen.register.database import Register
from cardgen.register.open_register import open_register
from tests.bench.measure import TREE
from tests.issuing.decks import read_answer

SIGNALS = (signal.SIGKILL, signal.SIGINT, signal.SIGTERM)
SAMPLE = TREE / "sample_inputs" / "ft-7400.toml"
DAY = date(2026, 9, 2)
#: How long what was started may take to be gone.
_SECONDS = 5.0


@dataclass
class Result:
    """What was left of commands that were ended."""

    ended: int = 0
    told: int = 0
    copies: int = 0
    faults: list[str] = field(default_factory=list)


def issuing(folder: Path, number: int) -> subprocess.Popen[str]:
    """Start a command that issues a deck, with all the cores there are."""
    answers = ("--approved-by", "keeper", "--reason", f"try {number}", *read_answer(SAMPLE))
    where = ("--out", str(folder / "out"), "--register", str(folder / "club.sqlite"), "--today", str(DAY))
    return subprocess.Popen(
        [sys.executable, "-m", "cardgen", "issue", str(SAMPLE), *answers, *where],
        cwd=TREE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )


def started_by(process: int) -> list[int]:
    """Name the processes that a process has started and not yet seen end (Linux, proc(5))."""
    try:
        told = Path(f"/proc/{process}/task/{process}/children").read_text("ascii")
    except OSError:
        # It has ended.
        return []
    return [int(each) for each in told.split()]


def lives(process: int) -> bool:
    """Whether a process is there, and not only remembered."""
    try:
        state = Path(f"/proc/{process}/stat").read_text("ascii").rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state != "Z"


def end_one(folder: Path, number: int, ending: signal.Signals, seconds: float, result: Result) -> None:
    """End a command after a while, once it has started a copy of itself, and look at what is left."""
    running = issuing(folder, number)
    copies: list[int] = []
    until = time.monotonic() + 60
    while not copies and running.poll() is None and time.monotonic() < until:
        copies = started_by(running.pid)
        time.sleep(0.005)
    time.sleep(seconds)
    copies = sorted({*copies, *started_by(running.pid)})
    running.send_signal(ending)
    out, _ = running.communicate(timeout=60)
    until = time.monotonic() + _SECONDS
    while any(map(lives, copies)) and time.monotonic() < until:
        time.sleep(0.02)
    result.ended += 1
    result.copies += len(copies)
    for left in filter(lives, copies):
        result.faults.append(f"try {number}, {ending.name}: process {left} is still there")
        os.kill(left, signal.SIGKILL)
    _look(folder, number, ending, out, result)


def _look(folder: Path, number: int, ending: signal.Signals, out: str, result: Result) -> None:
    path = folder / "club.sqlite"
    if not path.exists():
        return
    register = open_register(path, "read")
    if not isinstance(register, Register):
        result.faults.append(f"try {number}, {ending.name}: {register.why}")
        return
    with register:
        result.faults += [each.what for each in check(register).found if each.level == "fault"]
        made = [deck for deck in register.decks() if deck.reason == f"try {number}"]
    result.told += len(made)
    # Nothing is told by whoever is killed outright between the commit and the next line.
    if made and ending is not signal.SIGKILL and made[0].code not in out:
        result.faults.append(f"try {number}, {ending.name}: {made[0].code} is issued and was not told")


def run(folder: Path, times: int, seed: int, longest: float = 6.0) -> Result:
    """End so many commands by each signal, at moments spread over the printing."""
    moments, result = random.Random(seed), Result()
    for number in range(times * len(SIGNALS)):
        ending = SIGNALS[number % len(SIGNALS)]
        end_one(folder, number, ending, moments.uniform(0, longest), result)
    return result
