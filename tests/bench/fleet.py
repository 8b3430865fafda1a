"""Print what a fleet costs for each rotor: ``python -m tests.bench.fleet``.

    python -m tests.bench.fleet --sizes 1 20 200 2000

Every run is a process of its own over made-up rotors. Memory is the peak of the program that hands
out the work, and the largest of its workers. Nothing passes or fails; compare runs on one machine.
"""

from __future__ import annotations

import argparse
import os
import platform
import resource
import subprocess
import sys
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from tests.bench.generate import generate
from tests.bench.measure import TREE

DAY = "2026-11-25"
_WATCHED = (
    "import resource, sys; sys.modules['numpy'] = None\n"
    "from cardgen.cli.errors import run\n"
    "code = run(sys.argv[1:])\n"
    "own, others = (resource.getrusage(each) for each in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))\n"
    "print(own.ru_maxrss, others.ru_maxrss, file=sys.stderr)\n"
    "sys.exit(code)\n"
)


@dataclass(frozen=True)
class Run:
    """Seconds of wall and processor time of one run, and peak memory in MiB: its own, and of one worker."""

    wall: float
    processor: float
    own: float
    worker: float


def timed(arguments: list[str], codes: tuple[int, ...] = (0,)) -> Run:
    """Run one command of this program. Raises `RuntimeError` where it ends with another exit code."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    begun = time.perf_counter()
    command = [sys.executable, "-c", _WATCHED, *arguments]
    done = subprocess.run(command, cwd=TREE, capture_output=True, text=True, check=False)
    wall = time.perf_counter() - begun
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode not in codes:
        raise RuntimeError(
            f"{' '.join(arguments)} ended with exit code {done.returncode}: {done.stderr[-500:]}"
        )
    own, worker = map(int, done.stderr.splitlines()[-1].split())
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Run(wall, used, own / 1024, worker / 1024)


def issue(folder: Path, out: Path, jobs: int | None = None) -> list[str]:
    """Write the command that issues a fleet."""
    words = ["fleet", "issue", str(folder), "--out", str(out), "--register", str(out / "register.sqlite")]
    words += ["--approved-by", "keeper", "--reason", "first issue", "--today", DAY]
    return words + (["--jobs", str(jobs)] if jobs else [])


def one_by_one(folder: Path, out: Path) -> Run:
    """Issue every rotor of a folder with a command of its own, as without a fleet."""
    whole = Run(0.0, 0.0, 0.0, 0.0)
    for path in sorted(folder.rglob("*.toml")):
        each = timed(["issue", str(path), *issue(folder, out)[3:]])
        own = max(whole.own, each.own)
        whole = Run(whole.wall + each.wall, whole.processor + each.processor, own, 0.0)
    return whole


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--sizes", type=int, nargs="+", default=[1, 20, 200])
    parser.add_argument("--unchanged", type=int, default=1000)
    parser.add_argument("--pouch-only", action="store_true", help="decks of one edition, for a quicker run")
    asked = parser.parse_args()
    print(f"{platform.machine()}, {os.cpu_count()} processors, Python {platform.python_version()}")
    print(f"load before: {os.getloadavg()[0]:.1f}\n")
    print(f"{'run':<34}{'wall, s':>9}{'s a rotor':>11}{'cpu a rotor':>12}{'own, MiB':>10}{'worker, MiB':>12}")
    with tempfile.TemporaryDirectory() as folder:
        for size in asked.sizes:
            _size(Path(folder) / str(size), size, asked.pouch_only, size == min(asked.sizes[-1], 20))
        _check_unchanged(Path(folder) / "unchanged", asked.unchanged)


def _size(folder: Path, size: int, pouch_only: bool, compare: bool) -> None:
    generate(folder / "specs", size, pouch_only=pouch_only)
    _row(f"check, {size}", timed(["fleet", "check", str(folder / "specs"), "--today", DAY]), size)
    _row(f"issue, {size}, all processors", timed(issue(folder / "specs", folder / "out")), size)
    _row(f"issue, {size}, all unchanged", timed(issue(folder / "specs", folder / "out")), size)
    if compare:
        _row(f"issue, {size}, one worker", timed(issue(folder / "specs", folder / "out1", 1)), size)
        _row(f"issue, {size}, a process a rotor", one_by_one(folder / "specs", folder / "out2"), size)


def _check_unchanged(folder: Path, size: int) -> None:
    """Enter decks of small invented files for so many specifications, and run over the unchanged fleet."""
    from cardgen.layouts_root import made_with
    from cardgen.register.location import store_path
    from tests.bench.issued import issue_small

    made = generate(folder / "specs", size, pouch_only=True)
    out = folder / "out"
    issue_small(made, out, made_with())
    assert store_path(out / "register.sqlite").is_dir()
    _row(f"issue, {size} unchanged, first time", timed(issue(folder / "specs", out)), size)
    _row(f"issue, {size} unchanged, again", timed(issue(folder / "specs", out)), size)


def _row(name: str, run: Run, size: int) -> None:
    print(
        f"{name:<34}{run.wall:>9.2f}{run.wall / size:>11.3f}{run.processor / size:>12.3f}"
        f"{run.own:>10.0f}{run.worker:>12.0f}",
        flush=True,
    )


if __name__ == "__main__":
    main()
