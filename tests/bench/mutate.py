"""Change one sign, comparison, rounding side or constant at a time, and see whether a test notices.

    python -m tests.bench.mutate
    python -m tests.bench.mutate --sample 40 --only cardgen/figures --jobs 1
    python -m tests.bench.mutate --at cardgen/proof/ink.py:24 cardgen/proof/read_back.py

A card's numbers are only as good as the tests that would notice a wrong one. The changes are drawn
from the sums and judgements of the program (`SCOPE`) by their text, so that a seed draws nearly the
same ones after the code has moved. Each is written into a copy of the tree, never into the tree, and
the tests that guard the module (`guards.toml`) are run there until one fails. What no test notices is
listed with why it can do no harm (`harmless.toml`), or as not explained, and then the exit code is 1.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import sys
import tempfile
import time
import tomllib
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from queue import SimpleQueue

from tests.bench.measure import TREE
from tests.bench.mutations import Mutation, mutations_of
from tests.bench.tree_copy import Answer, TreeCopy

SCOPE = (
    "cardgen/figures",
    "cardgen/proof",
    "cardgen/register",
    "cardgen/spec/rules",
    "cardgen/spec/bound.py",
    "cardgen/spec/physics.py",
    "cardgen/spec/rate.py",
    "cardgen/spec/windows.py",
    "cardgen/logbook",
)
SAMPLE, SEED = 200, 1
#: A changed module may make its tests slower; beyond so many times the usual time it hangs. The least is
#: for what a run needs before its first test.
_PATIENCE, _LEAST_SECONDS = 4.0, 40.0


@dataclass(frozen=True)
class Drawn:
    """One change that was tried: what its tests said, how long they took, and why it is harmless if it is."""

    mutation: Mutation
    answer: Answer
    seconds: float
    harmless: str | None

    @property
    def is_found(self) -> bool:
        """Whether a test failed, or went on for ever."""
        return self.answer is not Answer.PASSED


@dataclass(frozen=True)
class Guards:
    """Which tests are run for a module: its own first, then its folder's, by pattern in the tree.

    A module's own tests are those in the place that mirrors it, and those listed under its path.
    ``left_out`` names single tests that would take longer than all others together.
    """

    tests: Mapping[str, Sequence[str]]
    left_out: Sequence[str] = ()

    def of(self, module: str, tree: Path) -> tuple[str, ...]:
        """List the test files of a module that are in a tree, each once, its own first."""
        path = Path(module)
        mirrored = Path("tests", *path.parts[1:-1], f"test_{path.name}").as_posix()
        folders = [folder.as_posix() for folder in path.parents]
        patterns = [mirrored, *(each for key in (module, *folders) for each in self.tests.get(key, ()))]
        found = (file for pattern in patterns for file in sorted(tree.glob(pattern)))
        return tuple(dict.fromkeys(file.relative_to(tree).as_posix() for file in found))


@dataclass(frozen=True)
class Task:
    """A tree, the parts of it that are changed, what guards them, and which changes are harmless."""

    tree: Path
    scope: Sequence[str]
    guards: Guards
    harmless: Mapping[tuple[str, str, str], str]

    def mutations(self) -> list[Mutation]:
        """List every change that may be drawn."""
        places = [self.tree / part for part in self.scope]
        files = [
            file for place in places for file in (sorted(place.rglob("*.py")) if place.is_dir() else [place])
        ]
        return [
            mutation
            for file in files
            for mutation in mutations_of(file.relative_to(self.tree).as_posix(), file.read_text("utf-8"))
        ]

    def why_harmless(self, mutation: Mutation) -> str | None:
        """Say why a change can do no harm, where that is known."""
        return self.harmless.get((mutation.module, mutation.code, mutation.name))


def draw(mutations: Iterable[Mutation], count: int, seed: int) -> list[Mutation]:
    """Draw changes by a hash of their own text: a change elsewhere in the code leaves them drawn."""

    def lot(mutation: Mutation) -> bytes:
        text = f"{seed}|{mutation.module}|{mutation.code}|{mutation.name}"
        return hashlib.sha256(text.encode()).digest()

    return sorted(sorted(mutations, key=lot)[:count], key=lambda each: (each.module, each.line, each.start))


def run(
    task: Task, drawn: Sequence[Mutation], jobs: int, tell: Callable[[Drawn], None] = lambda _: None
) -> list[Drawn]:
    """Try changes in copies of the tree, so many at once.

    Raises `RuntimeError` where a module has no tests, or where its tests fail without a change.
    """
    guards = {each.module: task.guards.of(each.module, task.tree) for each in drawn}
    if bare := [module for module, tests in guards.items() if not tests]:
        raise RuntimeError(f"no tests guard {', '.join(bare)}")
    with ExitStack() as opened, ThreadPoolExecutor(jobs) as pool:
        folder = opened.enter_context(tempfile.TemporaryDirectory(prefix="mutate-"))
        free: SimpleQueue[TreeCopy] = SimpleQueue()
        for number in range(jobs):
            copy = TreeCopy(task.tree, Path(folder, str(number)), task.guards.left_out)
            free.put(opened.enter_context(closing(copy)))

        def timed(tests: Sequence[str]) -> dict[str, float]:
            with _taken(free) as copy:
                return copy.usual_seconds(tests)

        def tried(mutation: Mutation) -> Drawn:
            tests = guards[mutation.module]
            limit = sum(seconds[test] for test in tests) * _PATIENCE + _LEAST_SECONDS
            with _taken(free) as copy:
                begun = time.monotonic()
                answer = copy.answer_to(mutation, tests, limit)
                result = Drawn(mutation, answer, time.monotonic() - begun, task.why_harmless(mutation))
            tell(result)
            return result

        files = sorted({file for tests in guards.values() for file in tests})
        shares = [files[number::jobs] for number in range(jobs) if files[number::jobs]]
        try:
            seconds = {file: took for share in pool.map(timed, shares) for file, took in share.items()}
            return list(pool.map(tried, drawn))
        except BaseException:
            # Whoever stops the harness does not wait for what was not begun.
            pool.shutdown(wait=False, cancel_futures=True)
            raise


@contextmanager
def _taken(free: SimpleQueue[TreeCopy]) -> Iterator[TreeCopy]:
    """Take a free copy for a while."""
    copy = free.get()
    try:
        yield copy
    finally:
        free.put(copy)


def report(results: Sequence[Drawn], scope: Sequence[str]) -> str:
    """Write a table by part of the program, then what no test noticed, with why."""
    parts: dict[str, list[Drawn]] = defaultdict(list)
    for result in results:
        parts[max((part for part in scope if result.mutation.module.startswith(part)), key=len)].append(result)
    rows = [*((part, parts[part]) for part in scope if parts[part]), ("all", list(results))]
    lines = [f"{'part':28} {'drawn':>6} {'found':>6} {'share':>7}"]
    for part, each in rows:
        found = sum(one.is_found for one in each)
        lines.append(f"{part:28} {len(each):6} {found:6} {found / len(each):7.1%}")
    for one in results:
        if not one.is_found:
            lines += ["", survivor(one)]
    return "\n".join(lines)


def survivor(one: Drawn) -> str:
    """Say where a change stood that no test noticed, and why that can do no harm."""
    at = one.mutation
    return f"{at.module}:{at.line}: {at.name}\n  {at.code}\n  {one.harmless or 'NOT EXPLAINED'}"


def task_here() -> Task:
    """Give the task for this tree, from the tables beside this module."""
    beside = Path(__file__).parent
    guards = tomllib.loads((beside / "guards.toml").read_text("utf-8"))
    left_out = guards.pop("left out")
    harmless = tomllib.loads((beside / "harmless.toml").read_text("utf-8"))
    known = {(each["module"], each["code"], each["change"]): each["why"] for each in harmless["harmless"]}
    return Task(TREE, SCOPE, Guards(guards, left_out), known)


def _progress(one: Drawn) -> None:
    at = one.mutation
    print(
        f"{one.answer.value:8} {one.seconds:5.1f} s  {at.module}:{at.line}: {at.name}",
        file=sys.stderr,
        flush=True,
    )


def main() -> int:
    """Draw, try and report; 1 where something unexplained was not noticed."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--sample", type=int, default=SAMPLE, metavar="N", help="how many changes to draw")
    parser.add_argument("--seed", type=int, default=SEED, metavar="N", help="which ones to draw")
    parser.add_argument(
        "--only", default="", metavar="MODULE", help="a module or folder, such as cardgen/figures"
    )
    parser.add_argument(
        "--at",
        nargs="+",
        default=[],
        metavar="MODULE[:LINE]",
        help="of those drawn only the changes here, such as what was not noticed before",
    )
    parser.add_argument("--jobs", type=int, default=os.cpu_count() or 1, metavar="N", help="how many at once")
    asked = parser.parse_args()
    task = task_here()
    only = asked.only.removesuffix("/")
    mutations = [each for each in task.mutations() if each.module.startswith(only)]
    if not mutations:
        parser.error(f"nothing to change in {only}")
    drawn = draw(mutations, asked.sample, asked.seed)
    if asked.at:
        drawn = [each for each in drawn if {each.module, f"{each.module}:{each.line}"} & set(asked.at)]
        if not drawn:
            parser.error(f"nothing was drawn at {', '.join(asked.at)}")
    begun = time.monotonic()
    results = run(task, drawn, asked.jobs, _progress)
    print(report(results, task.scope))
    print(f"\n{len(results)} of {len(mutations)} in {time.monotonic() - begun:.0f} s, seed {asked.seed}")
    return int(any(not one.is_found and one.harmless is None for one in results))


if __name__ == "__main__":
    raise SystemExit(main())
