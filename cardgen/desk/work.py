"""Long work outside the request: each job in a process of its own, asked after by polling, able to be stopped.

A process, not a thread: what prints and reads back pages belongs to one thread of a process, and only a
process can be interrupted as Ctrl-C interrupts a command, with nothing left half-written.
"""

from __future__ import annotations

import secrets
import signal
import threading
import time
from dataclasses import dataclass, field
from typing import Any, Literal, TypeAlias

from cardgen.issuing.fleet.pool import Failed, Pool, Task, processors

WorkState: TypeAlias = Literal["waiting", "working", "stopping", "done", "stopped", "failed"]

#: Ended jobs that are remembered; a page asks after its own within seconds.
_REMEMBERED = 100


@dataclass
class Job:
    """One piece of work for one rotor.

    ``then`` is the address of the page that shows ``result``; ``why`` says what failed where it has.
    ``asked`` is what was typed to begin it.
    """

    id: str
    rotor_id: str
    title: str
    then: str
    state: WorkState = "waiting"
    result: Any = None
    why: str = ""
    asked: dict[str, str] = field(default_factory=dict)
    began: float = field(default_factory=time.monotonic)
    ended: float | None = None
    pool: Pool = field(default_factory=lambda: Pool(1))

    @property
    def is_over(self) -> bool:
        """Whether nothing more will happen."""
        return self.ended is not None

    @property
    def seconds(self) -> int:
        """How long it has taken so far, or took."""
        return int((self.ended or time.monotonic()) - self.began)


class Jobs:
    """Every job of a desk: one at a time for a rotor, and no more at work than there are processors."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._jobs: dict[str, Job] = {}
        self._threads: dict[str, threading.Thread] = {}
        self._free = threading.Semaphore(processors())

    def start(self, rotor_id: str, title: str, task: Task[Any], then: str) -> Job | None:
        """Begin a task; it and its result can be pickled. Nothing where this rotor has a job under way."""
        with self._lock:
            if any(each.rotor_id == rotor_id and not each.is_over for each in self._jobs.values()):
                return None
            for old in [each.id for each in self._jobs.values() if each.is_over][:-_REMEMBERED]:
                del self._jobs[old], self._threads[old]
            job = Job(secrets.token_urlsafe(9), rotor_id, title, then)
            thread = threading.Thread(target=self._do, args=(job, task), daemon=True)
            self._jobs[job.id], self._threads[job.id] = job, thread
        thread.start()
        return job

    def job(self, job_id: str) -> Job | None:
        """Find a job by its id."""
        return self._jobs.get(job_id)

    def of_rotor(self, rotor_id: str) -> Job | None:
        """Find the job that is under way for a rotor."""
        with self._lock:
            under_way = (each for each in self._jobs.values() if not each.is_over)
            return next((each for each in under_way if each.rotor_id == rotor_id), None)

    def stop(self, job: Job) -> None:
        """Ask a job to end, as Ctrl-C asks a command; what can no longer be stopped is finished."""
        with self._lock:
            if job.is_over or job.state == "stopping":
                return
            job.state = "stopping"
        job.pool.interrupt()

    def stop_all(self) -> None:
        """Stop every job and wait until all have ended."""
        for job in list(self._jobs.values()):
            self.stop(job)
        for thread in list(self._threads.values()):
            thread.join()

    def _do(self, job: Job, task: Task[Any]) -> None:
        found: Any = Stopped()
        # A process begins with what its parent's thread holds back: none is interrupted before its task.
        _hold_interrupts(True)
        with self._free, job.pool:
            with self._lock:
                if job.state == "waiting":
                    job.state = "working"
            for _, result in job.pool.results([_Stoppable(task)]):
                found = result
        with self._lock:
            self._end(job, found)

    def _end(self, job: Job, found: Any) -> None:
        job.ended = time.monotonic()
        if isinstance(found, Stopped) or (isinstance(found, Failed) and job.state == "stopping"):
            job.state = "stopped"
        elif isinstance(found, Failed):
            job.state, job.why = "failed", found.what
        else:
            job.state, job.result = "done", found


@dataclass(frozen=True)
class Stopped:
    """What comes of a task that was interrupted."""


@dataclass(frozen=True)
class _Stoppable:
    """A task that Ctrl-C ends, whatever was held back or ignored where its process began."""

    task: Task[Any]

    def __call__(self) -> Any:
        if threading.current_thread() is not threading.main_thread():
            return self.task()
        signal.signal(signal.SIGINT, signal.default_int_handler)
        try:
            _hold_interrupts(False)
            return self.task()
        except KeyboardInterrupt:
            return Stopped()
        finally:
            _hold_interrupts(True)


def _hold_interrupts(held: bool) -> None:
    """Hold Ctrl-C back from this thread, or let it through; a system without that interrupts at once."""
    if hasattr(signal, "pthread_sigmask"):
        signal.pthread_sigmask(signal.SIG_BLOCK if held else signal.SIG_UNBLOCK, {signal.SIGINT})
