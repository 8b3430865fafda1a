"""Jobs side by side on several cores: the same results, whatever becomes of the other processes."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest

from cardgen.press.edition import editions_of
from cardgen.proof.fork import free_cores, side_by_side
from cardgen.proof.prove import print_proved
from tests.cli.running import METRIC, TODAY, TREE
from tests.proof.test_prove import deck_of

# The test runner has threads of its own, which wait for nothing that a copy needs.
pytestmark = pytest.mark.filterwarnings("ignore:This process:DeprecationWarning")


def _where(name: str) -> tuple[str, bool]:
    return name, os.getpid() == _HERE


_HERE = os.getpid()


@pytest.mark.parametrize("cores", [1, 2, 3, 4])
def test_results_come_in_the_order_of_the_jobs_and_all_but_one_core_work_apart(cores: int) -> None:
    done = side_by_side([partial(_where, name) for name in "abcd"], cores)
    assert [name for name, _ in done] == list("abcd")
    assert [here for _, here in done[:cores]] == [at == cores - 1 for at in range(cores)]


def _told(path: Path) -> tuple[str, int]:
    path.touch()
    return "told", os.getpid()


def _once_told(path: Path) -> tuple[str, int]:
    while not path.exists():
        time.sleep(0.01)
    return "done", os.getpid()


@pytest.mark.parametrize("busy", [0, 1])
def test_who_is_done_with_a_job_takes_the_next(tmp_path: Path, busy: int) -> None:
    """The job under way ends only once the next is done, by the other process."""
    path = tmp_path / "told"
    jobs = [partial(_where_alone, "quick"), partial(_told, path)]
    jobs.insert(busy, partial(_once_told, path))
    done = side_by_side(jobs, 2)
    assert [what for what, _ in done] == (["done", "quick", "told"] if busy == 0 else ["quick", "done", "told"])
    assert done[2][1] == done[1 - busy][1] != done[busy][1]


def _where_alone(name: str) -> tuple[str, int]:
    return name, os.getpid()


def _raise() -> str:
    raise ValueError("the layout is at fault")


def test_an_error_apart_is_raised_here() -> None:
    with pytest.raises(ValueError, match="the layout is at fault"):
        side_by_side([_raise, lambda: "well"], 2)


def _told_and_waiting(path: Path) -> str:
    path.write_text(str(os.getpid()), "utf-8")
    time.sleep(60)
    return "nobody asks any more"


def _raise_once_told(path: Path) -> str:
    while not path.is_file() or not path.read_text("utf-8"):
        time.sleep(0.01)
    return _raise()


def test_an_error_here_leaves_no_other_process_behind(tmp_path: Path) -> None:
    """A copy that waits for a reader which has ended would keep the terminal that both write to."""
    path = tmp_path / "process"
    with pytest.raises(ValueError, match="the layout is at fault"):
        side_by_side([partial(_told_and_waiting, path), partial(_raise_once_told, path)], 2)
    with pytest.raises(ProcessLookupError):
        os.kill(int(path.read_text("utf-8")), 0)


def _unless_here(end: Callable[[], object]) -> str:
    if os.getpid() != _HERE:
        end()
    return "done here"


@pytest.mark.parametrize(
    "end",
    [
        partial(os._exit, 0),
        partial(os._exit, 3),
        partial(sys.exit, 0),
        lambda: os.kill(os.getpid(), signal.SIGKILL),
    ],
)
def test_a_process_that_comes_to_nothing_loses_nothing(end: Callable[[], object]) -> None:
    jobs: list[Callable[[], str]] = [partial(_unless_here, end), lambda: "well"]
    assert side_by_side(jobs, 2) == ["done here", "well"]


def test_what_cannot_travel_is_made_here() -> None:
    (made, _) = side_by_side([lambda: lambda: "called", lambda: None], 2)
    assert made is not None
    assert made() == "called"


def test_a_long_answer_arrives_whole() -> None:
    long = bytes(range(256)) * 40_000
    assert side_by_side([lambda: long, lambda: b""], 2)[0] == long


@pytest.mark.parametrize("ending", [signal.SIGKILL, signal.SIGINT, signal.SIGTERM])
@pytest.mark.parametrize("job", ["time.sleep(60)", "bytes(1 << 22)"])
def test_no_copy_outlives_the_process_it_was_copied_from(ending: signal.Signals, job: str) -> None:
    """Neither one that works on, nor one whose answer nobody will read: it fills the pipe and would wait."""
    script = (
        "import os, signal, time\n"
        "from cardgen.proof.fork import side_by_side\n"
        "def apart():\n"
        "    os.write(1, b'%d\\n' % os.getpid())\n"
        f"    return {job}\n"
        "side_by_side([apart, apart, lambda: time.sleep(60)], 3)\n"
    )
    with subprocess.Popen([sys.executable, "-c", script], cwd=TREE, stdout=subprocess.PIPE) as running:
        assert running.stdout is not None
        copies = [int(running.stdout.readline()) for _ in range(2)]
        running.send_signal(ending)
        running.wait(timeout=20)
    until = time.monotonic() + 10
    while any(_lives(copy) for copy in copies):
        assert time.monotonic() < until, "a copy is still there"
        time.sleep(0.02)


def _lives(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    return True


def test_an_error_here_ends_what_works_apart() -> None:
    begun = time.monotonic()
    with pytest.raises(ValueError, match="the layout is at fault"):
        side_by_side([lambda: time.sleep(60), _fail], 2)
    assert time.monotonic() - begun < 30


def _fail() -> None:
    raise ValueError("the layout is at fault")


def test_a_process_with_other_threads_is_never_copied() -> None:
    done = threading.Event()
    other = threading.Thread(target=done.wait)
    other.start()
    try:
        assert free_cores() == 1
    finally:
        done.set()
        other.join()


def test_a_draft_asks_the_system_for_nothing_below_proc(tmp_path: Path) -> None:
    # Where a keeper's machine hides that folder, as some containers do, it is as if it were not there.
    script = (
        "import os, sys\n"
        "def hidden(event, about):\n"
        "    if event in {'open', 'os.listdir', 'os.scandir'} and str(about[0]).startswith('/proc'):\n"
        "        raise FileNotFoundError(2, os.strerror(2), about[0])\n"
        "sys.addaudithook(hidden)\n"
        "from cardgen.cli.errors import run\n"
        "sys.exit(run(sys.argv[1:]))"
    )
    some = ["--edition", "pouch", "--card", "track", "--out", str(tmp_path / "out"), *TODAY]
    command = [sys.executable, "-c", script, "draft", str(METRIC), *some]
    done = subprocess.run(command, cwd=TREE, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "out" / "pouch.pdf").is_file()


def test_the_files_are_the_same_on_any_number_of_cores() -> None:
    whole = deck_of("inch")
    few = ("torque", "track")
    held = tuple(card for card in whole.cards if card.id in few)
    deck = replace(whole, cards=held, names=whole.order, only=few)
    editions = editions_of(deck.spec)
    alone, together = (print_proved(deck, editions, cores) for cores in (1, 3))
    assert isinstance(alone, dict)
    assert alone == together
    assert list(alone) == list(together)
