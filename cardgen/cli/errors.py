"""The one place where whatever happened becomes an exit code and, at most, a few lines of words.

A traceback that reaches a keeper is a defect: it names folders of the machine and helps nobody at
a bench. Below this module errors are values or exceptions; here they end.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from pathlib import Path
from types import TracebackType

import click

from cardgen.cli.exits import Exit


class Refused(click.ClickException):
    """No card was made, for a reason that the keeper can mend."""

    exit_code = Exit.REFUSED


class Trouble(click.ClickException):
    """A file or the system failed; the specification is not to blame."""

    exit_code = Exit.TROUBLE


def run(arguments: Sequence[str]) -> Exit:
    """Run one command line and give its exit code; never raises."""
    try:
        from cardgen.cli.app import app

        code = app.main(args=list(arguments), prog_name="cardgen", standalone_mode=False)
        if sys.stdout is not None:  # a shell can close it
            sys.stdout.flush()
    except BaseException as error:
        return translate(error)
    return Exit(code) if isinstance(code, int) else Exit.DONE


def translate(error: BaseException) -> Exit:
    """Say what has to be said about an exception on standard error, and give the exit code for it."""
    match error:
        case click.exceptions.Exit():
            return Exit(error.exit_code)
        case click.UsageError():
            error.show()
            return Exit.USAGE
        case Refused() | Trouble():
            _say(error.message)
            return Exit(error.exit_code)
        case click.Abort() | KeyboardInterrupt():
            _say("Interrupted. No file was left half-written.")
            return Exit.INTERRUPTED
        case SystemExit():
            return _left(error)
        case BrokenPipeError():
            _abandon_output()
            return Exit.TROUBLE
        case click.ClickException():
            _say(error.format_message())
            return Exit.TROUBLE
        case OSError():
            _abandon_output()
            _say(f"The system refused: {reason(error)}.")
            return Exit.TROUBLE
        case MemoryError():
            _say("There is not enough memory for this. No card was made.")
            return Exit.TROUBLE
        case _:
            _say(_unexpected(error))
            return Exit.TROUBLE


def reason(error: OSError) -> str:
    """Give the system's own words for an error, without the path inside the machine."""
    words = error.strerror or type(error).__name__
    return words[:1].lower() + words[1:]


def _say(message: str) -> None:
    click.echo(message, err=True)


def _left(error: SystemExit) -> Exit:
    # The command library leaves this way after printing completions, and where a reader went away.
    return Exit.TROUBLE if error.code else Exit.DONE


def _abandon_output() -> None:
    # What is still buffered cannot be written; the interpreter must not try again while it closes.
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (OSError, ValueError):
        # There is no output any more that could be written to.
        return


def _unexpected(error: BaseException) -> str:
    place = _own_line(error.__traceback__)
    return (
        f"This is a fault of cardgen itself ({type(error).__name__} at {place}). No card was made.\n"
        "Please send this line, the command and the specification to whoever looks after cardgen for you."
    )


def _own_line(trace: TracebackType | None) -> str:
    place = "its start"
    root = Path(__file__).resolve().parents[1]
    while trace is not None:
        file = Path(trace.tb_frame.f_code.co_filename)
        if file.is_relative_to(root):
            place = f"cardgen/{file.relative_to(root).as_posix()}:{trace.tb_lineno}"
        trace = trace.tb_next
    return place
