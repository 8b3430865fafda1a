"""Print what each command costs on this machine: ``python -m tests.bench``.

Nothing here passes or fails. Compare two runs on one machine, taken when nothing else runs on it.
"""

from __future__ import annotations

import os
import platform
import tempfile
from pathlib import Path

from tests.bench.measure import RUNS, Cost, cost, import_times, told_by

SPEC = "sample_inputs/nr-0306.toml"
TODAY = ("--today", "2026-11-25")
FLOOR = "tests/bench/floor.py"
# Pint loads numpy where it finds it. The tests bring it; a keeper's installation does not have it.
CARDGEN = ("-c", "import sys; sys.modules['numpy'] = None; from cardgen.cli import main; main()")


def commands(out: str) -> dict[str, list[str]]:
    """Name the measured commands and their arguments."""
    draft = [*CARDGEN, "draft", SPEC, *TODAY, "--out", out]
    return {
        "--version": [*CARDGEN, "--version"],
        "--help": [*CARDGEN, "--help"],
        "check": [*CARDGEN, "check", SPEC, *TODAY],
        "table": [*CARDGEN, "table", SPEC, *TODAY],
        "explain, all figures": [*CARDGEN, "explain", SPEC, *TODAY],
        "draft, all cards as text": [*CARDGEN, "draft", SPEC, *TODAY, "--text"],
        "draft, pouch, track card": [*draft, "--edition", "pouch", "--card", "track"],
        "draft, all editions": draft,
    }


def main() -> None:
    """Measure and print."""
    print(f"{platform.machine()}, {os.cpu_count()} processors, Python {platform.python_version()}")
    print(f"medians of {RUNS} cold runs after one to warm up, as installed without the tests' own packages\n")
    print(f"{'command':<28}{'wall, ms':>10}{'user+sys, ms':>14}{'peak, MiB':>11}")
    with tempfile.TemporaryDirectory() as folder:
        costs = {name: cost(arguments) for name, arguments in commands(folder).items()}
        for name, each in costs.items():
            _row(name, each)
        _against_the_floor(costs["draft, all editions"], Path(folder))
        print("\nwhere imports spend their time, ms")
        for name in ("--help", "check", "draft, all editions"):
            parts = ", ".join(
                f"{package} {spent:.0f}" for package, spent in import_times(commands(folder)[name])
            )
            print(f"  {name}: {parts}")


def _against_the_floor(whole: Cost, folder: Path) -> None:
    marks = folder / "marks"
    pages = told_by(["-m", "tests.bench.plain_marks", SPEC, TODAY[1], str(marks)]).strip()
    floor = cost([FLOOR, str(marks), str(folder / "floor.pdf")])
    _row(f"bare canvas, same {pages} pages", floor)
    wall, processor = whole.wall / floor.wall, whole.processor / floor.processor
    print(f"\ndraft of all editions against bare canvas: {wall:.1f} times wall, {processor:.1f} times user+sys")


def _row(name: str, each: Cost) -> None:
    print(f"{name:<28}{each.wall * 1000:>10.0f}{each.processor * 1000:>14.0f}{each.memory:>11.0f}")


if __name__ == "__main__":
    main()
