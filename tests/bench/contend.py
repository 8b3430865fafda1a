"""Lets many programs issue at the same time: all decks of one rotor, then each its own rotor.

    python -m tests.bench.contend --programs 10

Every issue must end with a deck, revisions must run from 1 without holes, and nobody may be told
that the register is busy.
"""

from __future__ import annotations

import argparse
import multiprocessing
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from cardgen.issuing.issue_request import Built, Turn
from cardgen.register.audit import check
from tests.issuing.decks import Maker, issued, opened


@dataclass
class Slow:
    """A build that takes as long as a real one."""

    maker: Maker
    seconds: float

    def __call__(self, turn: Turn) -> Built:
        time.sleep(self.seconds)
        return self.maker(turn)


@dataclass(frozen=True)
class Result:
    """What came of one round: the revisions by rotor, how often a deck was built, what is wrong."""

    revisions: dict[str, list[int]]
    builds: int
    seconds: float
    faults: tuple[str, ...]


def issue_some(path: Path, out: Path, set_id: str, count: int, seconds: float) -> list[tuple[str, int, int]]:
    """Issue so many decks of a rotor in one program."""
    done = []
    with opened(path) as register:
        for number in range(count):
            maker = Maker(set_id, torque=str(100 + number))
            made = issued(register, out, Slow(maker, seconds), set_id=set_id)
            assert made.folder is not None, made.trouble
            done.append((set_id, made.deck.revision, len(maker.turns)))
    return done


def run(rotors: list[str], count: int, seconds: float) -> Result:
    """Start one program for each rotor named, all at once; a name may stand there many times."""
    with tempfile.TemporaryDirectory() as folder:
        path, out = Path(folder) / "register.sqlite", Path(folder) / "out"
        with multiprocessing.get_context("spawn").Pool(len(rotors)) as pool:
            begun = time.perf_counter()
            tasks = [(path, out, rotor, count, seconds) for rotor in rotors]
            rows = [row for done in pool.starmap(issue_some, tasks, chunksize=1) for row in done]
            taken = time.perf_counter() - begun
        with opened(path) as register:
            faults = tuple(each.what for each in check(register).found if each.level == "fault")
    revisions = {rotor: sorted(number for name, number, _ in rows if name == rotor) for rotor in set(rotors)}
    return Result(revisions, sum(turns for _, _, turns in rows), taken, faults)


def faults_of(result: Result, rotors: list[str], count: int) -> list[str]:
    """Say what went wrong in a round."""
    faults = list(result.faults)
    for rotor, numbers in result.revisions.items():
        if numbers != list(range(1, rotors.count(rotor) * count + 1)):
            faults.append(f"{rotor}: revisions {numbers}")
    return faults


def main() -> int:
    """Run both rounds and print what came of them."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--programs", type=int, default=10)
    parser.add_argument("--count", type=int, default=1)
    parser.add_argument("--build", type=float, default=0.3, help="seconds that a build takes")
    asked = parser.parse_args()
    wrong = False
    one, many = ["RB-1"] * asked.programs, [f"RB-{number}" for number in range(asked.programs)]
    for name, rotors in (("one rotor", one), ("a rotor each", many)):
        result = run(rotors, asked.count, asked.build)
        faults = faults_of(result, rotors, asked.count)
        wrong |= bool(faults)
        print(f"{name}: {asked.programs * asked.count} decks, {result.builds} builds, {result.seconds:.1f} s")
        for fault in faults:
            print(fault)
    return int(wrong)


if __name__ == "__main__":
    sys.exit(main())
