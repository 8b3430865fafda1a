"""Jobs at once: some in a process of their own, a copy of this one, their results brought back.

Threads would not help: Python runs one of them at a time. The copy has the deck in its memory, so
that only finished files travel. Whoever is done with a job takes the next that nobody has begun.
"""

from __future__ import annotations

import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from typing import Generic, NoReturn, TypeVar

Result = TypeVar("Result")

_PR_SET_PDEATHSIG = 1


def free_cores() -> int:
    """Count the cores that a command may use by copying itself.

    More than one only on Linux, and only while this process has a single thread: a copy of a process
    whose other threads hold locks could wait for them for ever. Python counts the threads it knows of, and
    no library that a command loads by then begins one of its own.
    """
    if sys.platform != "linux" or threading.active_count() > 1:
        return 1
    return len(os.sched_getaffinity(0))


def side_by_side(jobs: Sequence[Callable[[], Result]], cores: int) -> list[Result]:
    """Do at most 256 jobs and give their results in the jobs' order; the first ones go to the other cores."""
    apart: list[_Apart[Result]] = []
    count = max(1, min(cores, len(jobs)))
    waiting, more = os.pipe()
    try:
        # One byte a job: no two processes ever read the same one.
        os.write(more, bytes(range(count, len(jobs))))
        os.close(more)
        for first in range(count - 1):
            apart.append(_Apart(jobs, first, waiting, [each.answer for each in apart]))
        done = dict(_done(jobs, count - 1, waiting))
        for each in apart:
            done.update(each.results())
        # Where another process came to nothing, its jobs are done here.
        return [done[at] if at in done else job() for at, job in enumerate(jobs)]
    finally:
        os.close(waiting)
        # Whatever ends this early, such as Ctrl-C, ends the others too.
        for each in apart:
            each.end()


def _done(jobs: Sequence[Callable[[], Result]], first: int, waiting: int) -> Iterator[tuple[int, Result]]:
    """Do one job, and then each that nobody has begun."""
    at = first
    yield at, jobs[at]()
    while told := os.read(waiting, 1):
        at = told[0]
        yield at, jobs[at]()


class _Apart(Generic[Result]):
    """Jobs under way in a process of its own, the ``first`` of them and then some of those ``waiting``."""

    def __init__(
        self, jobs: Sequence[Callable[[], Result]], first: int, waiting: int, others: Sequence[int]
    ) -> None:
        self.answer, answer = os.pipe()
        parent = os.getpid()
        self._process: int | None = os.fork()
        if self._process == 0:
            # A pipe with a reader left, were it only in a copy, takes an answer that nobody will read.
            for each in (*others, self.answer):
                os.close(each)
            _tell(lambda: dict(_done(jobs, first, waiting)), answer, parent)
        os.close(answer)

    def results(self) -> Mapping[int, Result]:
        """Wait for the results by the jobs' places; there are none where the process came to nothing."""
        assert self._process is not None
        with os.fdopen(self.answer, "rb") as answer:
            told = answer.read()
        _, status = os.waitpid(self._process, 0)
        self._process = None
        results: Mapping[int, Result] = {} if status or not told else pickle.loads(told)
        return results

    def end(self) -> None:
        """End the process, if it has not answered."""
        if self._process is None:
            return
        with suppress(OSError):
            # Closed already where its answer was being read.
            os.close(self.answer)
        os.kill(self._process, signal.SIGKILL)
        os.waitpid(self._process, 0)
        self._process = None


def _end_with(parent: int) -> None:
    """Let the system end this process as soon as the one it was copied from is gone (Linux, prctl(2))."""
    if sys.platform == "linux":
        import ctypes

        ctypes.CDLL(None).prctl(_PR_SET_PDEATHSIG, int(signal.SIGKILL))
    if os.getppid() != parent:
        os._exit(1)


def _tell(work: Callable[[], object], answer: int, parent: int) -> NoReturn:
    """Do the work in the copy, and end there: what else this process had begun is not the copy's to finish."""
    try:
        _end_with(parent)
        with os.fdopen(answer, "wb") as told:
            pickle.dump(work(), told)
    except BaseException:
        # Whatever it was happens again where somebody can be told.
        os._exit(1)
    os._exit(0)
