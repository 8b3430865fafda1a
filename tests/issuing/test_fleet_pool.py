"""Workers do their tasks apart from each other and from the program that hands them out."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from dataclasses import dataclass

import pytest

from cardgen.issuing.fleet.pool import Failed, Pool
from tests.bench.measure import TREE


@dataclass(frozen=True)
class Twice:
    number: int

    def __call__(self) -> int:
        if self.number == 3:
            raise ValueError("three")
        if self.number == 4:
            os.kill(os.getpid(), signal.SIGKILL)
        return 2 * self.number


@dataclass(frozen=True)
class Slow:
    seconds: float

    def __call__(self) -> int:
        time.sleep(self.seconds)
        return os.getpid()


def test_every_task_is_done_and_a_fault_or_a_dead_worker_costs_only_its_own() -> None:
    with Pool(2) as pool:
        done = {task.number: result for task, result in pool.results(map(Twice, range(8)))}
    assert {number: done[number] for number in (0, 1, 2, 5, 6, 7)} == {0: 0, 1: 2, 2: 4, 5: 10, 6: 12, 7: 14}
    assert isinstance(done[3], Failed)
    assert done[3].what.startswith("a fault of cardgen itself (ValueError at cardgen/")
    assert isinstance(done[4], Failed)
    assert "ended by itself" in done[4].what


def test_a_stopped_pool_finishes_what_is_being_done_and_hands_out_nothing_more() -> None:
    asked: list[int] = []

    def tasks() -> object:
        for number in range(100):
            asked.append(number)
            yield Twice(5)

    with Pool(2) as pool:
        done: list[object] = []
        for _, result in pool.results(tasks()):  # type: ignore[arg-type]
            done.append(result)
            pool.stop()
    assert set(done) == {10}
    assert len(done) == len(asked) <= 3


@pytest.mark.parametrize("ending", [signal.SIGKILL, signal.SIGTERM])
def test_no_worker_outlives_the_program_that_started_it(ending: signal.Signals) -> None:
    script = (
        "from cardgen.issuing.fleet.pool import Pool\n"
        "from tests.issuing.test_fleet_pool import Slow\n"
        "if __name__ == '__main__':\n"
        "    with Pool(1) as pool:\n"
        "        for _, pid in pool.results(map(Slow, [0.0, 0.3])):\n"
        "            print(pid, flush=True)\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", script], cwd=TREE, stdout=subprocess.PIPE, text=True
    ) as running:
        assert running.stdout is not None
        worker = int(running.stdout.readline())
        running.send_signal(ending)
        running.wait()
    until = time.monotonic() + 10
    while _lives(worker):
        assert time.monotonic() < until, "the worker is still there"
        time.sleep(0.02)


def _lives(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    return True
