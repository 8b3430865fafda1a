"""Whatever happens, a keeper sees a few words and a script sees a code; never a traceback."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
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


@contextmanager
def writing(pipe: Path) -> Iterator[None]:
    """Hold the other end of a named pipe, which is there as soon as somebody reads."""
    until = time.monotonic() + 30
    while True:
        try:
            end = os.open(pipe, os.O_WRONLY | os.O_NONBLOCK)
            break
        except OSError:
            assert time.monotonic() < until, "nobody reads"
            time.sleep(0.02)
    yield
    os.close(end)


def until_it_waits(running: subprocess.Popen[str]) -> None:
    """Wait until the command stands still in its reading; a signal just before that falls between two steps."""
    until, still = time.monotonic() + 30, 0
    while still < 10:
        assert time.monotonic() < until, "it never waits"
        # The state stands behind the name in brackets, which may hold anything (proc(5)).
        state = Path(f"/proc/{running.pid}/stat").read_text("utf-8").rpartition(")")[2].split()[0]
        still = still + 1 if state == "S" else 0
        time.sleep(0.02)


@pytest.mark.parametrize("ending", [signal.SIGINT, signal.SIGTERM])
def test_control_c_and_being_asked_to_end_give_130_and_one_line(tmp_path: Path, ending: signal.Signals) -> None:
    # A named pipe that nobody writes to keeps the command waiting, as a slow disk would.
    os.mkfifo(tmp_path / "rotor.toml")
    running = subprocess.Popen(
        [sys.executable, "-m", "cardgen", "check", str(tmp_path / "rotor.toml")],
        cwd=TREE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        # Whoever runs the tests may have told this process to heed no Ctrl-C.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )
    with writing(tmp_path / "rotor.toml"):
        until_it_waits(running)
        running.send_signal(ending)
        out, err = running.communicate(timeout=30)
    assert (running.returncode, out) == (130, "")
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
