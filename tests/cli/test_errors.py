"""Whatever happens, a keeper sees a few words and a script sees a code; never a traceback."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import click
import pytest

from cardgen.cli import errors
from cardgen.cli.exits import Exit
from tests.cli.running import INCH, METRIC, TODAY, TREE, cardgen_apart


@pytest.mark.parametrize(
    ("error", "code"),
    [
        (errors.Refused("no"), Exit.REFUSED),
        (errors.Trouble("no"), Exit.TROUBLE),
        (click.UsageError("no"), Exit.USAGE),
        (click.BadParameter("no"), Exit.USAGE),
        (click.Abort(), Exit.INTERRUPTED),
        (KeyboardInterrupt(), Exit.INTERRUPTED),
        (click.exceptions.Exit(0), Exit.DONE),
        (click.exceptions.Exit(1), Exit.REFUSED),
        (MemoryError(), Exit.TROUBLE),
        (ZeroDivisionError("division by zero"), Exit.TROUBLE),
        (RecursionError(), Exit.TROUBLE),
    ],
)
def test_each_exception_has_its_code(error: BaseException, code: Exit) -> None:
    assert errors.translate(error) is code


def test_a_fault_of_our_own_is_one_report_without_a_path_of_the_machine(
    capsys: pytest.CaptureFixture[str],
) -> None:
    try:
        errors.reason(None)  # type: ignore[arg-type]
    except AttributeError as error:
        assert errors.translate(error) is Exit.TROUBLE
    said = capsys.readouterr().err
    assert "AttributeError at cardgen/cli/errors.py:" in said
    assert str(TREE) not in said
    assert "Traceback" not in said
    assert "Please send" in said


def test_the_system_s_own_reason_is_told() -> None:
    assert (
        errors.reason(OSError(errno.EACCES, os.strerror(errno.EACCES), "/secret/place")) == "permission denied"
    )


def test_a_full_disk_behind_standard_output_is_trouble() -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "cardgen", "table", str(METRIC), *TODAY],
            cwd=TREE,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            timeout=60,
            check=False,
        )
    assert done.returncode == Exit.TROUBLE
    assert done.stderr == "The system refused: no space left on device.\n"


def test_a_reader_that_goes_away_is_met_with_silence() -> None:
    ours, theirs = os.pipe()
    os.close(ours)
    done = subprocess.run(
        [sys.executable, "-m", "cardgen", "explain", str(INCH), *TODAY],
        cwd=TREE,
        stdout=theirs,
        stderr=subprocess.PIPE,
        text=True,
        timeout=60,
        check=False,
    )
    os.close(theirs)
    assert (done.returncode, done.stderr) == (Exit.TROUBLE, "")


def fill(pipe: int) -> None:
    """Fill a pipe to the last byte, so that whoever writes into it next waits for a reader."""
    os.set_blocking(pipe, False)
    for size in (1 << 16, 1):
        with suppress(BlockingIOError):
            while True:
                os.write(pipe, b"x" * size)
    os.set_blocking(pipe, True)


def wait_until_asleep(process: int) -> None:
    """Wait until a process has been asleep for a second, as one that waits to write (Linux, proc(5))."""
    until, slept = time.monotonic() + 60, 0
    while slept < 10:
        state = Path(f"/proc/{process}/stat").read_text("ascii").rpartition(")")[2].split()[0]
        slept = slept + 1 if state == "S" else 0
        assert time.monotonic() < until, "it does not wait"
        time.sleep(0.1)


@pytest.mark.parametrize("ending", [signal.SIGINT, signal.SIGTERM])
def test_control_c_and_being_asked_to_end_give_130_and_one_line(ending: signal.Signals) -> None:
    # A full pipe that nobody reads keeps the command waiting, as a pager does that stands still.
    reading, writing = os.pipe()
    fill(writing)
    running = subprocess.Popen(
        [sys.executable, "-m", "cardgen", "check", "--rules"],
        cwd=TREE,
        stdout=writing,
        stderr=subprocess.PIPE,
        text=True,
        # Whoever runs the tests may have told this process to heed no Ctrl-C.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )
    os.close(writing)
    wait_until_asleep(running.pid)
    running.send_signal(ending)
    with os.fdopen(reading, "rb") as pipe:
        time.sleep(0.5)
        pipe.read()
    _, err = running.communicate(timeout=30)
    assert running.returncode == 130
    assert err.strip() == "Interrupted. No file was left half-written."


def test_a_terminal_that_knows_no_utf8_still_gets_an_answer() -> None:
    ran = cardgen_apart(
        "explain", METRIC, "fasteners[1].torque_max", *TODAY, environment={"PYTHONIOENCODING": "ascii"}
    )
    assert ran.code == 0
    assert "26 N" in ran.out


def test_a_closed_standard_output_is_no_fault() -> None:
    script = f"exec {sys.executable} -m cardgen check {INCH} {' '.join(TODAY)} >&-"
    done = subprocess.run(
        ["bash", "-c", script], cwd=TREE, capture_output=True, text=True, timeout=60, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
