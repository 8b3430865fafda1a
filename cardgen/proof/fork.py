"""Two jobs at once: one in a process of its own, a copy of this one, its result brought back.

Threads would not help: Python runs one of them at a time. The copy has the deck in its memory, so
that only finished files travel.
"""

from __future__ import annotations

import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable, Sequence
from typing import Generic, NoReturn, TypeVar

Result = TypeVar("Result")


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
    """Do jobs and give their results in the jobs' order; the first ones go to the other cores."""
    apart = [_Apart(job) for job in jobs[: cores - 1]]
    try:
        here = [job() for job in jobs[len(apart) :]]
    except BaseException:
        for each in apart:
            each.give_up()
        raise
    return [each.result() for each in apart] + here


class _Apart(Generic[Result]):
    """A job under way in a process of its own."""

    def __init__(self, job: Callable[[], Result]) -> None:
        self._job = job
        self._answer, answer = os.pipe()
        self._process = os.fork()
        if self._process == 0:
            # Held open here, it would let the copy wait for ever for a reader that has ended.
            os.close(self._answer)
            _tell(job, answer)
        os.close(answer)

    def result(self) -> Result:
        """Wait for the result. Where the other process came to nothing, the job is done here."""
        with os.fdopen(self._answer, "rb") as answer:
            told = answer.read()
        _, status = os.waitpid(self._process, 0)
        return self._job() if status or not told else pickle.loads(told)

    def give_up(self) -> None:
        """End the other process; nobody will ask for its result."""
        os.close(self._answer)
        os.kill(self._process, signal.SIGKILL)
        os.waitpid(self._process, 0)


def _tell(job: Callable[[], object], answer: int) -> NoReturn:
    """Do a job in the copy, and end there: what else this process had begun is not the copy's to finish."""
    try:
        with os.fdopen(answer, "wb") as told:
            pickle.dump(job(), told)
    except BaseException:
        # Whatever it was happens again where somebody can be told.
        os._exit(1)
    os._exit(0)
