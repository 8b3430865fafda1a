"""``cardgen compare``: what differs between two decks, the weightiest first."""

from __future__ import annotations

from contextlib import nullcontext
from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from cardgen.cli.errors import Refused
from cardgen.cli.open_spec import layouts_blamed, opened
from cardgen.cli.options import json_option, today_option
from cardgen.cli.register_access import (
    end_unknown,
    name_of,
    opened_if_any,
    opened_register,
    read_or_end,
    register_option,
    trouble,
)

if TYPE_CHECKING:
    from cardgen.register.code import Code
    from cardgen.spec.model import RotorSpec
    from cardgen.spec.problem import Problem


@click.command(name="compare")
@click.argument("old", metavar="OLD")
@click.argument("new", metavar="NEW")
@click.option("--all", "whole", is_flag=True, help="Every line; else the weightiest 20.")
@json_option
@register_option
@today_option
def command(old: str, new: str, whole: bool, as_json: bool, register: Path | None, today: date) -> None:
    """Tell what differs between two decks.

    OLD and NEW are codes, printed files or specifications. Every changed number is shown with its
    source and by how much it changed: torque first, then track, lead, limits and words. A code that is
    out of use is out of use on every card, so that every printed copy of the old deck comes down, and
    not the changed cards alone. JSON always holds everything.
    """
    from cardgen.register.changes import compare, titles_of
    from cardgen.register.compare_lines import MOST_LINES, lines, rotor_lines, rotor_of, taken_down

    before, after = _described(old, register, today), _described(new, register, today)
    comparison, titles = compare(before, after), titles_of(before, after)
    if as_json:
        from cardgen.cli.report import print_json

        both = {"old": rotor_of(before), "new": rotor_of(after)}
        print_json({"rotors": both, **asdict(comparison), "same": comparison.is_same})
        return
    from cardgen.cli.report import printable

    first = [*rotor_lines(rotor_of(before), rotor_of(after)), *taken_down(before, after, comparison)]
    said = [*first, *lines(comparison, titles)]
    shown = said if whole else said[:MOST_LINES]
    for line in shown:
        click.echo(printable(line))
    if hidden := len(said) - len(shown):
        click.echo(f"… and {hidden} more, with --all")


def _described(asked: str, register: Path | None, today: date) -> dict[str, Any]:
    path = Path(asked)
    if path.suffix.lower() == ".toml":
        source = opened(path, today)
        return _built(source.spec, source.warnings)
    if not path.is_file() and not path.suffix and "/" not in asked:
        return _of_code(read_or_end(asked), register, today)
    return _of_file(path, register, today)


def _of_code(code: Code, register: Path | None, today: date) -> dict[str, Any]:
    from cardgen.register.currency import UnknownCode, verify_code
    from cardgen.register.errors import RegisterTrouble
    from cardgen.register.kept import description

    with opened_register(register, "read") as book:
        where = verify_code(book, code, today)
        if isinstance(where, UnknownCode):
            raise end_unknown(code)
        found = where if isinstance(where, RegisterTrouble) else description(book, where.deck)
    if isinstance(found, RegisterTrouble):
        raise trouble(found)
    return found


def _of_file(path: Path, register: Path | None, today: date) -> dict[str, Any]:
    from cardgen.cli.report import printable, show_problems
    from cardgen.register.currency import read_bounded
    from cardgen.register.errors import RegisterTrouble
    from cardgen.register.foreign_file import attached_specification
    from cardgen.spec.load import load_bytes

    content = read_bounded(path)
    if isinstance(content, RegisterTrouble):
        raise trouble(content)
    issued = _issued_with(path, register, today)
    if issued is not None:
        return issued
    attached = attached_specification(content)
    if attached.cut_short:
        why = printable(attached.cut_short)
        raise Refused(f"{printable(str(path))} is not an issued file, and what it carries is not known: {why}.")
    if not attached.found:
        raise Refused(f"{printable(str(path))} is not an issued file, and carries no specification to compare.")
    click.echo(f"{printable(str(path))} is not in this register; what it carries is compared.", err=True)
    loaded = load_bytes(attached.found, f"{path.name}, attached", today)
    if loaded.spec is None:
        show_problems(loaded.problems)
        raise Refused("The specification inside the file cannot be used.")
    return _built(loaded.spec, loaded.warnings)


def _issued_with(path: Path, register: Path | None, today: date) -> dict[str, Any] | None:
    """Find an issued file's deck by its bytes; nothing without a register, or where it names no deck."""
    from cardgen.cli.report import printable
    from cardgen.register.currency import Altered, ForRecords, UnknownCode, verify_file
    from cardgen.register.errors import RegisterTrouble
    from cardgen.register.kept import description

    with opened_if_any(register) or nullcontext() as book:
        where = verify_file(book, path, today) if book else None
        if book is None or where is None or isinstance(where, UnknownCode):
            return None
        if isinstance(where, Altered):
            raise Refused(
                f"{printable(str(path))} is altered: it names {name_of(where.claims.deck)}, but it is not what "
                "was issued. Nothing was compared; give the code itself."
            )
        if isinstance(where, ForRecords):
            where = where.standing
        found = where if isinstance(where, RegisterTrouble) else description(book, where.deck)
    if isinstance(found, RegisterTrouble):
        raise trouble(found)
    return found


def _built(spec: RotorSpec, warnings: tuple[Problem, ...]) -> dict[str, Any]:
    from cardgen.issuing.would_change import described

    with layouts_blamed():
        return described(spec, warnings)
