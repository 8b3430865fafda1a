"""A copy of the tree to break things in: one module is changed at a time, and its tests are run there."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Sequence
from contextlib import suppress
from enum import Enum
from pathlib import Path
from threading import Event, Timer
from xml.etree import ElementTree

from tests.bench import warm
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
#: The tests take warnings for errors, and pytest warns of what was read in before it.
_OPTIONS = (
    *("-x", "-q", "--tb=no", "--no-header", "-p", "no:cacheprovider", "-p", "no:xdist"),
    *("-W", "ignore::pytest.PytestAssertRewriteWarning"),
)


class Answer(Enum):
    """What the tests of a changed module said."""

    PASSED = "not seen"
    FAILED = "found"
    HUNG = "hung"


class TreeCopy:
    """A folder with a copy of the tree, and a process that runs its tests, for one worker."""

    def __init__(self, tree: Path, folder: Path, left_out: Sequence[str] = ()) -> None:
        self.folder = folder
        self._options = (*_OPTIONS, *(f"--deselect={test}" for test in left_out))
        folder.mkdir(parents=True)
        for name in _COPIED:
            there = tree / name
            if there.is_dir():
                shutil.copytree(
                    there, folder / name, ignore=shutil.ignore_patterns("__pycache__", ".hypothesis")
                )
            elif there.exists():
                shutil.copy2(there, folder / name)
        self._process = subprocess.Popen(
            [sys.executable, "-P", warm.__file__],
            cwd=folder,
            env={**os.environ, "PYTHONPATH": str(folder)},
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def close(self) -> None:
        """End the process."""
        self._process.kill()
        self._process.communicate()

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
        if self._process.stdin is None:
            raise RuntimeError("the process that runs the tests cannot be asked")
        self._process.stdin.write(json.dumps([*self._options, *tests]) + "\n")
        self._process.stdin.flush()
        running, hung = self._told(), Event()

        def stop() -> None:
            hung.set()
            with suppress(ProcessLookupError):
                os.killpg(running, signal.SIGKILL)

        timer = Timer(limit, stop) if limit is not None else None
        if timer is not None:
            timer.start()
        code = self._told()
        if timer is not None:
            timer.cancel()
        if hung.is_set():
            return Answer.HUNG
        # 0 all passed, 4 and 5 nothing was run; else a test failed, or a file could not be read in, or it died.
        if code in (4, 5):
            raise RuntimeError(f"pytest ended with {code} for {' '.join(tests)}")
        return Answer.PASSED if code == 0 else Answer.FAILED

    def _told(self) -> int:
        line = self._process.stdout.readline() if self._process.stdout else ""
        if not line:
            raise RuntimeError("the process that runs the tests has ended")
        return int(line)
