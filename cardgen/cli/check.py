"""``cardgen check``: everything that stands against making cards, in one run."""

from __future__ import annotations

import shlex
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.cli.exits import Exit
from cardgen.cli.options import json_option, today_option

if TYPE_CHECKING:
    from cardgen.spec.load import FileTrouble, Loaded
    from cardgen.spec.problem import Problem


@click.command(name="check")
@click.argument("specs", metavar="SPEC...", nargs=-1, type=click.Path(path_type=Path, readable=False))
@click.option("--rules", is_flag=True, help="List every rule and what it asks for, then stop.")
@json_option
@today_option
def command(specs: tuple[Path, ...], rules: bool, as_json: bool, today: date) -> None:
    """Say everything that stands against making cards.

    Each problem names its place, what was read, why it is refused and what to write. All problems
    of all files come in one run. No file is written.
    """
    if rules:
        _list_rules(as_json)
        return
    if not specs:
        raise click.UsageError("Name at least one specification, or ask for --rules.")
    raise click.exceptions.Exit(_check(specs, today, as_json))


def _check(specs: tuple[Path, ...], today: date, as_json: bool) -> Exit:
    from cardgen.cli.report import as_data, print_json
    from cardgen.spec.load import FileTrouble, load

    problems: list[Problem] = []
    warnings: list[Problem] = []
    unread = False
    for path in specs:
        loaded = load(path, today)
        if isinstance(loaded, FileTrouble):
            unread = True
            loaded = _as_loaded(loaded, path)
        problems += loaded.problems
        warnings += loaded.warnings
        if not as_json:
            _tell(path, loaded)
    if as_json:
        print_json({"ok": not problems, "problems": as_data(problems), "warnings": as_data(warnings)})
    if unread:
        return Exit.TROUBLE
    return Exit.REFUSED if problems else Exit.DONE


def _as_loaded(trouble: FileTrouble, path: Path) -> Loaded:
    from cardgen.spec.load import Loaded
    from cardgen.spec.problem import Problem

    write = trouble.write
    if path.is_dir():
        write += (
            f"; or, for every specification below this folder: cardgen fleet check {shlex.quote(str(path))}"
        )
    problem = Problem(trouble.file, 0, 0, "", "file-unread", "", trouble.why, write)
    return Loaded(None, (problem,), ())


def _tell(path: Path, loaded: Loaded) -> None:
    from cardgen.cli.report import printable, show_problems, show_warnings
    from cardgen.spec.typed_quantity import reading_of

    show_warnings(loaded.warnings, refused=loaded.spec is None)
    if loaded.spec is None:
        show_problems(loaded.problems)
        return
    rotor = loaded.spec.rotor
    diameter = reading_of(loaded.spec, ("rotor", "diameter")).shown
    click.echo(f"{printable(str(path))}: {rotor.set_id}, {diameter}: nothing stands against cards.")


def _list_rules(as_json: bool) -> None:
    from cardgen.cli.report import print_json, rule_lines
    from cardgen.spec.rules import ALL_RULES

    if as_json:
        print_json([{"id": name, "meaning": meaning} for name, meaning in ALL_RULES.items()])
        return
    for line in rule_lines(ALL_RULES.items()):
        click.echo(line)
