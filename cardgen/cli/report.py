"""How problems are shown to a keeper: in file order, each with what was read, why not, what to write."""

from __future__ import annotations

import os
import re
import shutil
import sys
import textwrap
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from functools import cache
from typing import TextIO

import click

from cardgen.spec.counted import counted
from cardgen.spec.problem import Problem

_LABELS = ("read", "why", "write")
_INDENT = " " * 2
# No text that is shown holds one: `printable` writes it by its code.
_TIE = "\u00a0"
_HANG = len(_INDENT) + len("write: ")


def colour_wanted(stream: TextIO) -> bool:
    """Whether a stream is a terminal that may be coloured: not with NO_COLOR set, not a dumb one."""
    return stream.isatty() and not os.environ.get("NO_COLOR") and os.environ.get("TERM") != "dumb"


def printable(text: str) -> str:
    """Show characters that a terminal would act on, or that cannot be seen, by their code."""
    return "".join(
        character if character.isprintable() else character.encode("unicode_escape").decode("ascii")
        for character in text
    )


def width() -> int:
    """Columns to write in: the terminal's, and never so wide that lines are hard to follow."""
    return max(40, min(shutil.get_terminal_size().columns, 100))


def problem_text(problem: Problem, columns: int, colour: bool = False) -> str:
    """Write one problem: its place and key, then what was read, why it is refused, what to write."""
    place = printable(problem.file)
    if problem.line:
        place += f":{problem.line}:{problem.column}"
    key = f"  {printable(problem.key)}" if problem.key else ""
    head = f"{place}{key}  [{problem.rule}]"
    lines = [click.style(head, bold=True) if colour else head]
    for label in _LABELS:
        lines += _hanging(f"{label}:", printable(str(getattr(problem, label))), columns)
    return "\n".join(lines)


def _hanging(label: str, text: str, columns: int) -> list[str]:
    if not text:
        return []
    first = f"{_INDENT}{label}".ljust(_HANG)
    return _wrapped(text, columns, first, " " * _HANG)


def _wrapped(text: str, columns: int, first: str, others: str) -> list[str]:
    """Wrap a text, but keep a number with its unit and a short quotation in one piece."""
    lines = textwrap.wrap(
        _kept(text), columns, initial_indent=first, subsequent_indent=others, break_on_hyphens=False
    )
    return [line.replace(_TIE, " ") for line in lines]


def _kept(text: str) -> str:
    for together in (_quotation(), _measurement()):
        text = together.sub(lambda found: found[0].replace(" ", _TIE), text)
    return text


@cache
def _quotation() -> re.Pattern[str]:
    # Long ones are sentences and must wrap.
    return re.compile(r'"[^"]{1,24}"')


@cache
def _measurement() -> re.Pattern[str]:
    from cardgen.spec.units import UNITS

    units = "|".join(sorted(map(re.escape, UNITS), key=len, reverse=True))
    return re.compile(rf"(?<![\w.])[\d./+-]*\d (?:{units})(?: \+ [\d./+]*\d (?:{units}))?(?![\w·/])")


def count(problems: Sequence[Problem], noun: str = "problem") -> str:
    """Write a number of problems in words that agree: ``1 problem``, ``3 problems``."""
    return counted(len(problems), noun)


def show_problems(problems: Sequence[Problem], unmade: str = "No card was made") -> None:
    """Print problems on standard error, and what was not made for them."""
    from cardgen.spec.rules.while_reading import STOPPING

    _show(problems)
    hidden = any(problem.rule in STOPPING for problem in problems)
    rest = " The rest of the file could not be read yet; it is looked at when this is mended." if hidden else ""
    click.echo(f"{unmade}: {count(problems)}.{rest}", err=True)


def show_warnings(warnings: Sequence[Problem], refused: bool = False) -> None:
    """Print warnings on standard error; they stop nothing, and the cards carry them too.

    ``refused`` says that problems are printed next, which do stop.
    """
    if not warnings:
        return
    _show(warnings)
    stops = "this alone would stop nothing; what does stop the cards follows"
    told = stops if refused else "nothing stops here, and the cover carries it"
    click.echo(f"{count(warnings, 'warning')}: {told}." + ("\n" if refused else ""), err=True)


def _show(problems: Iterable[Problem]) -> None:
    columns, colour = width(), colour_wanted(sys.stderr)
    for problem in problems:
        click.echo(problem_text(problem, columns, colour) + "\n", err=True, color=colour)


def as_data(problems: Iterable[Problem]) -> list[dict[str, object]]:
    """Give problems as plain values for JSON."""
    return [asdict(problem) for problem in problems]


def print_json(data: object) -> None:
    """Print JSON on standard output, in UTF-8 whatever the terminal is set to."""
    import json

    click.echo((json.dumps(data, ensure_ascii=False, indent=2) + "\n").encode(), nl=False)


def rule_lines(rules: Iterable[tuple[str, str]]) -> list[str]:
    """Write rules and their meanings, one paragraph each, fit for this terminal."""
    hang = " " * 4
    return ["\n".join([name, *_wrapped(meaning, width(), hang, hang)]) for name, meaning in rules]
