"""What makes a test quick that asks about issuing, and not about every card or every process."""

from __future__ import annotations

import multiprocessing
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from threading import Lock, Thread
from typing import Any
from unittest import mock

from cardgen.deck import build
from cardgen.issuing import pipeline
from cardgen.issuing.fleet import pool

#: The cards that hold the numbers most worked by.
FEW = ("torque", "track")


@contextmanager
def few_cards() -> Iterator[None]:
    """Build decks of two cards: whatever is done with them, there are fewer pages to print and to prove."""
    built = partial(build.build_deck, only=FEW)
    with mock.patch.object(build, "build_deck", built), mock.patch.object(pipeline, "build_deck", built):
        yield


@contextmanager
def workers_in_threads() -> Iterator[None]:
    """Give a fleet threads for workers; a process takes a second before it does anything.

    They work one at a time: the library that reads pages back must not be called by two threads at once.
    """
    alone, done = Lock(), pool._done

    def done_alone(task: pool.Task[Any]) -> Any:
        with alone:
            return done(task)

    with mock.patch.object(pool, "_started", _started), mock.patch.object(pool, "_done", done_alone):
        yield


class _ThreadWorker(Thread):
    """What the pool asks of a worker's process. Tasks and results travel through a pipe all the same."""

    exitcode = 0

    def close(self) -> None:
        """Have nothing to give back."""


def _started() -> pool._Worker:
    ours, theirs = multiprocessing.Pipe()
    worker = _ThreadWorker(target=pool._work, args=(theirs,))
    worker.start()
    return pool._Worker(worker, ours)
