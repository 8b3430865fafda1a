"""Worker processes: a task goes in, its result comes out, and nothing else is shared.

Each worker has a pipe of its own. It ends when that pipe closes, so none is left behind when this
program is killed; what it was making by then is made or not made, never half. A worker that dies
takes only its own task with it.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
import traceback
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from pathlib import Path
from typing import Any, Protocol, TypeVar

#: Set to anything, it keeps the current folder off the list of places that modules are imported from.
_SAFE_PATH = "PYTHONSAFEPATH"

R_co = TypeVar("R_co", covariant=True)


class Task(Protocol[R_co]):
    """Something to do in a worker: it and its result can be pickled."""

    def __call__(self) -> R_co:
        """Do it."""


@dataclass(frozen=True)
class Failed:
    """A task that ended in a fault of the program or with its worker: what, and where."""

    what: str


R = TypeVar("R")


def processors() -> int:
    """Count the processors this program may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


@dataclass(frozen=True)
class _Worker:
    process: Any
    pipe: Connection

    def interrupt(self) -> None:
        with suppress(ProcessLookupError, ValueError):  # it has ended by itself
            os.kill(self.process.pid, signal.SIGINT)

    def end(self) -> None:
        self.pipe.close()
        self.process.join()
        self.process.close()


class Pool:
    """At most ``jobs`` workers, started when there is something to do. Use it as a context."""

    def __init__(self, jobs: int) -> None:
        self.stopping = False
        self._interrupted = False
        self._jobs = jobs
        self._idle: list[_Worker] = []
        self._busy: dict[Connection, tuple[_Worker, Any]] = {}

    def __enter__(self) -> Pool:
        return self

    def __exit__(self, *_: object) -> None:
        # Closing a pipe lets its worker end once it has finished what it is doing.
        for worker, _task in self._busy.values():
            self._idle.append(worker)
        while self._idle:
            self._idle.pop().end()

    def stop(self) -> None:
        """Hand out nothing more; what is being done is finished."""
        self.stopping = True

    def interrupt(self) -> None:
        """Hand out nothing more, and let what is being done end as Ctrl-C would end it."""
        self.stopping = self._interrupted = True
        for worker, _task in list(self._busy.values()):
            worker.interrupt()

    def results(self, tasks: Iterable[Task[R]]) -> Iterator[tuple[Any, R | Failed]]:
        """Do every task, and give each with its result as soon as it is done, in no order."""
        waiting = iter(tasks)
        more = True
        while True:
            while more and not self.stopping and len(self._busy) < self._jobs:
                task = next(waiting, None)
                more = task is not None
                if task is not None:
                    self._hand_out(task)
            if not self._busy:
                return
            for ready in wait(list(self._busy)):
                assert isinstance(ready, Connection)
                yield self._collect(ready)

    def _hand_out(self, task: Task[Any]) -> None:
        worker = self._idle.pop() if self._idle else _started()
        self._busy[worker.pipe] = (worker, task)
        if self._interrupted:  # while the worker was being started
            worker.interrupt()
        with suppress(OSError):  # a dead worker is noticed where its result is awaited
            worker.pipe.send(task)

    def _collect(self, pipe: Connection) -> tuple[Any, Any]:
        worker, task = self._busy.pop(pipe)
        try:
            result = pipe.recv()
        except (EOFError, OSError):
            worker.process.join()
            code = worker.process.exitcode
            worker.end()
            return task, Failed(f"its worker process ended by itself (exit code {code})")
        self._idle.append(worker)
        return task, result


def _started() -> _Worker:
    context = multiprocessing.get_context("spawn")
    ours, theirs = context.Pipe()
    process = context.Process(target=_work, args=(theirs,), daemon=False)
    with _interrupts_ignored(), _own_modules_only():
        process.start()
    theirs.close()
    return _Worker(process, ours)


@contextmanager
def _interrupts_ignored() -> Iterator[None]:
    # A process begins with what its parent ignores: Ctrl-C is then for this program alone.
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


@contextmanager
def _own_modules_only() -> Iterator[None]:
    # A process that begins in a folder would otherwise import a file that lies there as a library's module
    # (Python documentation, "PYTHONSAFEPATH").
    before = os.environ.get(_SAFE_PATH)
    os.environ[_SAFE_PATH] = "1"
    try:
        yield
    finally:
        if before is None:
            del os.environ[_SAFE_PATH]
        else:
            os.environ[_SAFE_PATH] = before


def _work(pipe: Connection) -> None:
    """Do tasks until the pipe closes."""
    # A pipe that closes is the end of the work, or of the program that asked for it.
    with suppress(EOFError, OSError):
        while True:
            pipe.send(_done(pipe.recv()))


def _done(task: Task[Any]) -> Any:
    try:
        return task()
    except Exception as error:
        return Failed(f"a fault of cardgen itself ({type(error).__name__} at {own_line(error)})")


def own_line(error: BaseException) -> str:
    """Name the last line of this program that an error went through."""
    root = Path(__file__).resolve().parents[2]
    own = [
        f"cardgen/{Path(frame.filename).relative_to(root).as_posix()}:{frame.lineno}"
        for frame in traceback.extract_tb(error.__traceback__)
        if Path(frame.filename).is_relative_to(root)
    ]
    return own[-1] if own else "its start"
