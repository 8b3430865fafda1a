"""Issues a fleet while it is killed again and again and its disk fills up once, then looks at what is left.

    python -m tests.bench.soak --rotors 2000 --every 30

One specification in twenty is spoilt. At the end the register must be sound, every good rotor must
have exactly one deck, current and with its folder whole, and every spoilt one a problem and none.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import resource
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from cardgen.register.audit import check
from cardgen.register.database import Register
from cardgen.register.state import standing
from tests.bench.fleet import DAY, issue
from tests.bench.generate import Made, generate
from tests.bench.kill import faults_of, whole
from tests.bench.measure import TREE
from tests.issuing.decks import opened

_MOST_RUNS = 1000


@dataclass
class Result:
    """What the soak did and what it found."""

    rotors: int = 0
    bad: int = 0
    kills: int = 0
    full: int = 0
    runs: int = 0
    seconds: float = 0.0
    decks: int = 0
    left_over: int = 0
    faults: list[str] = field(default_factory=list)


def run(
    rotors: int, every: float, seed: int = 1, jobs: int | None = None, most_kills: int = _MOST_RUNS
) -> Result:
    """Soak a fleet of so many rotors, killing it every so many seconds until nothing is left to kill.

    After ``most_kills`` it is left alone.
    """
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as folder:
        specs, out = Path(folder) / "specs", Path(folder) / "out"
        made = generate(specs, rotors, seed, bad=max(1, rotors // 20), pouch_only=True)
        result = Result(rotors, sum(each.bad for each in made))
        begun = time.monotonic()
        command = issue(specs, out, jobs)
        _run_on_a_full_disk(command, out, result)
        while _killed(command, _moment(chance, every, result.kills < most_kills), result, chance):
            with opened(out / "register.sqlite") as register:
                result.faults += faults_of(check(register, read_files=False))
        result.seconds = time.monotonic() - begun
        _look(command, made, out, result)
    return result


def _moment(chance: random.Random, every: float, kill: bool) -> float | None:
    return chance.uniform(0.5, 1.5) * every if kill else None


def _killed(command: Sequence[str], seconds: float | None, result: Result, chance: random.Random) -> bool:
    """Start the fleet and kill it after a while: the program alone, or with all its workers."""
    result.runs += 1
    running = _start(command)
    try:
        code = running.wait(seconds)
    except subprocess.TimeoutExpired:
        result.kills += 1
        if chance.random() < 0.5:
            os.killpg(running.pid, signal.SIGKILL)
        else:
            running.kill()
        running.wait()
        return True
    if code != 1:
        result.faults.append(f"a run that nobody killed ended with exit code {code}")
    return False


def _start(command: Sequence[str], before: Callable[[], None] | None = None) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "cardgen", *command],
        cwd=TREE,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
        preexec_fn=before,
    )


def _run_on_a_full_disk(command: Sequence[str], out: Path, result: Result) -> None:
    """Let the fleet meet a full disk: a small one of its own where that may be mounted, else files cut short.

    It holds a deck or two. The program must say so with the exit code of the system's troubles, and
    leave a sound register.
    """
    out.mkdir(parents=True)
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", f"size={min(6, result.rotors - 1)}m", "tmpfs", str(out)],
        capture_output=True,
        check=False,
    )
    small = mounted.returncode == 0
    try:
        code = _start(command, None if small else _short_files).wait()
        result.full += 1
        if code != 3:
            result.faults.append(f"on a full disk the run ended with exit code {code}")
        if (out / "register.sqlite").exists():
            # To read only: nothing can be written here, not even the journal of a change undone.
            with opened(out / "register.sqlite", "read") as register:
                result.faults += faults_of(check(register))
    finally:
        if small:
            subprocess.run(["umount", str(out)], check=True)


def _short_files() -> None:
    # A write beyond the limit then fails with "file too large" instead of ending the program.
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000))


def _look(command: Sequence[str], made: Sequence[Made], out: Path, result: Result) -> None:
    """Run once more, which must find nothing left to do, and compare what is there with what must be."""
    told = subprocess.run(
        [sys.executable, "-m", "cardgen", *command, "--json"], cwd=TREE, capture_output=True, check=False
    )
    rotors = {Path(each["file"]): each for each in json.loads(told.stdout)["rotors"]}
    with opened(out / "register.sqlite") as register:
        result.faults += faults_of(check(register))
        result.decks = sum(1 for _ in register.decks())
        for each in made:
            result.faults += _faults_of_rotor(each, rotors[each.path], register, out)
    kept = {"index.pdf", "index.txt", "fleet.jsonl", "register.sqlite", "register.sqlite.store"}
    # What a killed program left under a temporary name is swept an hour later.
    result.left_over = sum(path.name.endswith(".part") for path in out.iterdir())
    strays = [path.name for path in out.iterdir() if path.name not in kept and "-r" not in path.name]
    result.faults += [f"{name} should not be there" for name in strays if not name.endswith(".part")]


def _faults_of_rotor(made: Made, told: dict[str, Any], register: Register, out: Path) -> list[str]:
    deck = register.newest(made.set_id)
    if made.bad:
        wrong = [] if told["state"] == "refused" and told["problems"] else [f"{made.path}: {told['state']}"]
        return wrong + ([f"{made.set_id} is spoilt and has a deck"] if deck else [])
    if deck is None:
        return [f"{made.set_id} has no deck"]
    faults = whole(register, out, deck.code)
    if deck.revision != 1 or standing(register, deck, date.fromisoformat(DAY)).state != "current":
        faults.append(f"{made.set_id}: revision {deck.revision}, and one current deck was to be made")
    if told["state"] != "unchanged":
        faults.append(f"{made.set_id} was {told['state']} in a run that had nothing to do")
    return faults


def main() -> int:
    """Soak and print."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--rotors", type=int, default=200)
    parser.add_argument("--every", type=float, default=30.0, help="seconds between kills, about")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--jobs", type=int, default=None)
    asked = parser.parse_args()
    result = run(asked.rotors, asked.every, asked.seed, asked.jobs)
    print(
        f"{result.rotors} rotors, {result.bad} of them spoilt; {result.runs} runs, {result.kills} kills, "
        f"{result.full} full disks; {result.decks} decks in {result.seconds:.0f} s; "
        f"{result.left_over} unfinished folders to be swept; {len(result.faults)} faults"
    )
    for fault in result.faults[:20]:
        print(fault)
    return int(bool(result.faults))


if __name__ == "__main__":
    sys.exit(main())
