"""Kills programs in the middle of issuing, at random moments, and looks at what is left.

    python -m tests.bench.kill --kills 1000 --parents 50

After every kill the database must pass its own check, the chain must hold, every deck that was
reported as issued must be whole in the store and in its folder, and the next issue must work
without any repair.
"""

from __future__ import annotations

import argparse
import os
import random
import signal
import sys
import tempfile
import time
from dataclasses import dataclass, field
from pathlib import Path

from cardgen.issuing.reprint_deck import Reprinted, kept_files, reprint
from cardgen.register.audit import Checked, check
from cardgen.register.code import Code
from cardgen.register.database import Register
from cardgen.register.errors import RegisterTrouble
from tests.bench import kill_parent
from tests.issuing.decks import TODAY, Maker, issued, opened


@dataclass
class Result:
    """What the kills left."""

    kills: int = 0
    acknowledged: int = 0
    faults: list[str] = field(default_factory=list)
    unplaced: int = 0


def issue_for_ever(path: Path, out: Path, acknowledgements: int) -> None:
    """Issue decks one after another, and write each code once the deck is reported as issued."""
    number = 0
    while True:
        number += 1
        with opened(path) as register:
            made = issued(register, out, Maker(torque=str(number)))
        os.write(acknowledgements, f"{made.deck.code}\n".encode())


def kill_one(path: Path, out: Path, seconds: float, *, after_first: bool) -> tuple[str, ...]:
    """Start a program that issues, kill it after a while, and give the codes it had reported.

    The while counts from its start, or from its first report where ``after_first``.
    """
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        try:
            issue_for_ever(path, out, writing)
        finally:
            os._exit(1)
    os.close(writing)
    with os.fdopen(reading) as pipe:
        first = pipe.readline() if after_first else ""
        time.sleep(seconds)
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        lines = (first + pipe.read()).split("\n")
    if os.WIFEXITED(status):
        return (*lines[:-1], "the issuing program failed")
    return tuple(lines[:-1])


def look(path: Path, out: Path, codes: tuple[str, ...], result: Result) -> None:
    """Look at the register after a kill, and issue once more."""
    with opened(path) as register:
        result.faults += faults_of(check(register, read_files=False))
        for code in codes:
            result.faults += whole(register, out, code)
        result.acknowledged += len(codes)
        made = issued(register, out, Maker(torque="1"))
        result.faults += whole(register, out, made.deck.code)
        if made.deck.revision > 1:
            result.unplaced += placed_again(register, out, made.deck.set_id, made.deck.revision - 1, result)


def faults_of(checked: Checked) -> list[str]:
    """Take the faults of a check, without its notes."""
    return [each.what for each in checked.found if each.level == "fault"]


def whole(register: Register, out: Path, code: str) -> list[str]:
    """Find what is wrong with a deck that was reported as issued."""
    deck = register.by_code(Code(code))
    if deck is None:
        return [f"{code} was reported and is not in the register"]
    files = kept_files(register, deck)
    if isinstance(files, RegisterTrouble):
        return [f"{code}: {files.why}"]
    folder = out / deck.folder
    found = {file.name: file.read_bytes() for file in folder.iterdir()} if folder.is_dir() else {}
    return [] if found == files else [f"{code}: its folder is not whole"]


def placed_again(register: Register, out: Path, set_id: str, revision: int, result: Result) -> int:
    """Reprint the deck that was cut off between commit and folder, if the kill fell there."""
    deck = register.revision(set_id, revision)
    assert deck is not None
    if (out / deck.folder).exists():
        result.faults += whole(register, out, deck.code)
        return 0
    again = reprint(register, deck.code, out, TODAY, for_records=True)
    if not isinstance(again, Reprinted):
        result.faults.append(f"{deck.code}: cannot be placed again: {again}")
    return 1


def seconds_of_an_issue(folder: Path) -> float:
    """Measure one issue on this machine as it is now."""
    with opened(folder / "trial.sqlite") as register:
        issued(register, folder / "trial")
        begun = time.perf_counter()
        issued(register, folder / "trial", Maker(torque="2"))
        return time.perf_counter() - begun


def run(kills: int, seed: int) -> Result:
    """Kill so many programs at moments spread evenly over two issues, and look after each."""
    moments = random.Random(seed)
    result = Result()
    with tempfile.TemporaryDirectory() as folder:
        path, out = Path(folder) / "register.sqlite", Path(folder) / "out"
        longest = 2 * seconds_of_an_issue(Path(folder))
        for number in range(kills):
            codes = kill_one(path, out, moments.uniform(0, longest), after_first=number % 2 == 1)
            look(path, out, codes, result)
            result.kills += 1
        with opened(path) as register:
            result.faults += faults_of(check(register))
    return result


def main() -> int:
    """Run the harness and print what it found."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--kills", type=int, default=1000)
    parser.add_argument("--parents", type=int, default=0, help="end as many commands by each signal, alone")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    result = run(asked.kills, asked.seed)
    print(
        f"{result.kills} kills, {result.acknowledged} decks reported as issued, "
        f"{result.unplaced} cut off between commit and folder, {len(result.faults)} faults"
    )
    for fault in result.faults[:20]:
        print(fault)
    left = _parents(asked.parents, asked.seed)
    return 1 if result.faults or not result.acknowledged or left else 0


def _parents(times: int, seed: int) -> bool:
    """End commands alone, print what was left, and say whether anything was."""
    with tempfile.TemporaryDirectory() as folder:
        result = kill_parent.run(Path(folder), times, seed)
    print(
        f"{result.ended} commands ended alone, {result.copies} copies at work, {result.told} decks issued, "
        f"{len(result.faults)} faults"
    )
    for fault in result.faults[:20]:
        print(fault)
    return bool(result.faults)


if __name__ == "__main__":
    sys.exit(main())
