"""Turns single bits of the register and of kept files, and cuts files off, at random places.

    python -m tests.bench.rot --flips 1000 --cuts 200

Every change must be found and named. In a database file some bits carry nothing: free space,
counters that SQLite rewrites. There a change counts as harmless only if the register still says
exactly what it said, row for row, and its check still walks the whole chain.
"""

from __future__ import annotations

import argparse
import json
import random
import shutil
import sys
import tempfile
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from cardgen.register.audit import check
from cardgen.register.currency import verify_file
from cardgen.register.errors import RegisterTrouble
from cardgen.register.export import export_file
from cardgen.register.open_register import open_register
from cardgen.register.state import Standing
from tests.issuing.decks import TODAY, Maker, issued, opened


@dataclass
class Result:
    """How many changes were found, were harmless, or were missed."""

    counts: Counter[str] = field(default_factory=Counter)
    missed: list[str] = field(default_factory=list)


def sample(folder: Path, decks: int) -> Path:
    """Make a register with some decks, kept files and a withdrawal."""
    path = folder / "register.sqlite"
    with opened(path) as register:
        for number in range(decks):
            set_id = f"RB-{number % 5}"
            made = issued(register, folder / "out", Maker(set_id, torque=str(100 + number)), set_id=set_id)
            if number % 7 == 6:
                register.add_withdrawal(made.deck, TODAY, "blade damaged")
    return path


def flipped(content: bytes, chance: random.Random) -> tuple[bytes, str]:
    """Turn one bit."""
    place, bit = chance.randrange(len(content)), chance.randrange(8)
    changed = bytearray(content)
    changed[place] ^= 1 << bit
    return bytes(changed), f"bit {bit} of byte {place}"


def cut(content: bytes, chance: random.Random) -> tuple[bytes, str]:
    """Cut the end off."""
    length = chance.randrange(len(content))
    return content[:length], f"cut to {length} bytes"


def says(path: Path) -> Any:
    """Everything a register says, as plain data."""
    return export_file(path)


def finds(path: Path) -> bool:
    """Whether opening or checking a register finds a fault."""
    register = open_register(path, "read")
    if isinstance(register, RegisterTrouble):
        return True
    with register:
        return not check(register, read_files=False).is_sound


def rot_register(path: Path, flips: int, cuts: int, chance: random.Random, result: Result) -> None:
    """Damage the database file, one change at a time."""
    good, said = path.read_bytes(), json.dumps(says(path), default=str)
    for change in [flipped] * flips + [cut] * cuts:
        bad, what = change(good, chance)
        path.write_bytes(bad)
        if finds(path):
            result.counts["register: found"] += 1
        elif json.dumps(says(path), default=str) == said:
            result.counts["register: harmless"] += 1
        else:
            result.missed.append(f"register: {what}")
    path.write_bytes(good)


def rot_files(path: Path, flips: int, cuts: int, chance: random.Random, result: Result) -> None:
    """Damage printed files, and ask about each; damage kept files, and check the store."""
    with opened(path) as register:
        folder = next((path.parent / "out").iterdir())
        printed = folder / "pouch.pdf"
        kept = register.store.place(next(iter(register.store.names())))
        kept.chmod(0o644)
        for change in [flipped] * flips + [cut] * cuts:
            bad, what = change(printed.read_bytes(), chance)
            copy = path.parent / "copy.pdf"
            copy.write_bytes(bad)
            asked = verify_file(register, copy, TODAY)
            result.counts["printed file: found"] += not isinstance(asked, Standing)
            if isinstance(asked, Standing):
                result.missed.append(f"printed file: {what}")
            bad, what = change(good := kept.read_bytes(), chance)
            kept.write_bytes(bad)
            answer = register.store.read(kept.parent.name + kept.name)
            result.counts["kept file: found"] += isinstance(answer, RegisterTrouble)
            if not isinstance(answer, RegisterTrouble):
                result.missed.append(f"kept file: {what}")
            kept.write_bytes(good)


def run(flips: int, cuts: int, seed: int = 1, decks: int = 30, files: int | None = None) -> Result:
    """Damage a register and its files so many times; ``files`` limits the slower part."""
    chance, result = random.Random(seed), Result()
    folder = Path(tempfile.mkdtemp())
    try:
        path = sample(folder, decks)
        rot_register(path, flips, cuts, chance, result)
        rot_files(path, flips if files is None else files, cuts if files is None else files, chance, result)
    finally:
        shutil.rmtree(folder)
    return result


def main() -> int:
    """Run the harness and print what it found."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--flips", type=int, default=1000)
    parser.add_argument("--cuts", type=int, default=200)
    parser.add_argument("--files", type=int, default=None, help="as many printed and kept files instead")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    result = run(asked.flips, asked.cuts, asked.seed, files=asked.files)
    for name, count in sorted(result.counts.items()):
        print(f"{name} {count}")
    for missed in result.missed[:20]:
        print(f"MISSED {missed}")
    return 1 if result.missed else 0


if __name__ == "__main__":
    sys.exit(main())
