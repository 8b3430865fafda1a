"""Opening a specification for a command: a clean one, or every reason against it and an end."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.cli.errors import Trouble
from cardgen.cli.exits import Exit

if TYPE_CHECKING:
    from cardgen.figures import Figures
    from cardgen.spec.load import Loaded
    from cardgen.spec.model import RotorSpec
    from cardgen.spec.problem import Problem


@dataclass(frozen=True)
class Opened:
    """A clean specification, and the warnings that its cards carry."""

    spec: RotorSpec
    warnings: tuple[Problem, ...]


def opened(path: Path, today: date) -> Opened:
    """Read a specification; print what stands against it and end the command where anything does."""
    from cardgen.cli.report import show_problems

    loaded = readable(path, today)
    if loaded.spec is None:
        show_problems(loaded.problems)
        raise click.exceptions.Exit(Exit.REFUSED)
    return Opened(loaded.spec, loaded.warnings)


def readable(path: Path, today: date) -> Loaded:
    """Read a specification whatever stands against it; end the command where the file cannot be read."""
    from cardgen.cli.report import printable
    from cardgen.spec.load import FileTrouble, load

    loaded = load(path, today)
    if isinstance(loaded, FileTrouble):
        raise Trouble(f"{printable(loaded.file)}: {loaded.why}. Give {loaded.write}.")
    return loaded


def named(path: Path, today: date) -> str:
    """Tell which rotor a specification is of, whatever stands against the rest of it.

    A rotor has its log before its specification is in order. One that names no rotor is opened, so that
    everything that stands against it is said.
    """
    import tomllib

    from cardgen.plain_file import read_plain
    from cardgen.spec.load import LARGEST

    try:
        name = tomllib.loads(read_plain(path, LARGEST).decode())["rotor"]["set_id"]
    except (OSError, ValueError, LookupError, TypeError):
        return opened(path, today).spec.rotor.set_id
    return str(name)


def computed(spec: RotorSpec) -> Figures:
    """Compute every figure of a specification."""
    from cardgen.figures import compute

    return compute(spec)


@contextmanager
def layouts_blamed() -> Iterator[None]:
    """End the command where a layout is at fault, and say that the specification is not."""
    from cardgen.deck.fault import BuildFault
    from cardgen.press.edition import EditionError

    try:
        yield
    except (BuildFault, EditionError) as fault:
        raise Trouble(f"The layouts are at fault, not the specification: {fault}. No card was made.") from fault
