"""A copy of the tree to break things in: one module is changed at a time, and its tests are run there."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from pathlib import Path
from xml.etree import ElementTree

from tests.bench.mutations import Mutation

#: What a test may need of the tree.
_COPIED = (
    "cardgen",
    "layouts",
    "tests",
    "sample_inputs",
    "pyproject.toml",
    "README.md",
    "DEVELOPERS.md",
    ".ci",
)
_PYTEST = ("-m", "pytest", "-x", "-q", "--tb=no", "--no-header", "-p", "no:cacheprovider", "-p", "no:xdist")
#: A changed loop may gather without end; so much memory, in KiB, is several times what a test needs.
_MEMORY = 6_000_000


class Answer(Enum):
    """What the tests of a changed module said."""

    PASSED = "not seen"
    FAILED = "found"
    HUNG = "hung"


@dataclass(frozen=True)
class TreeCopy:
    """A folder with a copy of the tree, for one worker."""

    folder: Path

    @staticmethod
    def make(tree: Path, folder: Path) -> TreeCopy:
        """Copy what is there of a tree into a new folder."""
        folder.mkdir(parents=True)
        for name in _COPIED:
            there = tree / name
            if there.is_dir():
                shutil.copytree(
                    there, folder / name, ignore=shutil.ignore_patterns("__pycache__", ".hypothesis")
                )
            elif there.exists():
                shutil.copy2(there, folder / name)
        return TreeCopy(folder)

    def usual_seconds(self, tests: Sequence[str]) -> dict[str, float]:
        """Run test files on the unchanged copy and time each. Raises `RuntimeError` where they do not pass."""
        times = self.folder / "times.xml"
        if self._run([*tests, f"--junitxml={times}"], None) is not Answer.PASSED:
            raise RuntimeError(f"of these some fail without a change: {' '.join(tests)}")
        seconds = dict.fromkeys(tests, 0.0)
        for case in ElementTree.parse(times).iter("testcase"):
            seconds[case.attrib["classname"].replace(".", "/") + ".py"] += float(case.attrib["time"])
        return seconds

    def answer_to(self, mutation: Mutation, tests: Sequence[str], limit: float) -> Answer:
        """Make a change, run tests for at most so many seconds, and put the module back."""
        module = self.folder / mutation.module
        source = module.read_text("utf-8")
        try:
            self._write(module, mutation.apply(source))
            return self._run(tests, limit)
        finally:
            self._write(module, source)

    def _write(self, module: Path, source: str) -> None:
        # Python tells a stale compiled module by the second and the size, which may both be the same.
        for compiled in (module.parent / "__pycache__").glob(f"{module.stem}.*"):
            compiled.unlink()
        module.write_text(source, "utf-8")

    def _run(self, tests: Sequence[str], limit: float | None) -> Answer:
        command = ["sh", "-c", f'ulimit -v {_MEMORY}; exec "$@"', "sh", sys.executable, *_PYTEST, *tests]
        environment = {**os.environ, "PYTHONPATH": str(self.folder)}
        process = subprocess.Popen(
            command,
            cwd=self.folder,
            env=environment,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            start_new_session=True,
        )
        try:
            said, _ = process.communicate(timeout=limit)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)
            process.communicate()
            return Answer.HUNG
        # 0 all passed, 1 a test failed, 2 a test file could not be read in, 3 pytest itself broke off.
        if process.returncode not in (0, 1, 2, 3):
            raise RuntimeError(
                f"pytest ended with {process.returncode}: {said.decode(errors='replace')[-2000:]}"
            )
        return Answer.PASSED if process.returncode == 0 else Answer.FAILED
