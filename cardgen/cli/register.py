"""``cardgen register``: list, sheet, check and export of the register."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.cli.errors import Refused
from cardgen.cli.exits import Exit
from cardgen.cli.open_spec import layouts_blamed
from cardgen.cli.options import Day, json_option, today_option
from cardgen.cli.register_access import (
    name_of,
    opened_register,
    path_of,
    register_option,
    standing_data,
    state_of,
    trouble,
)

if TYPE_CHECKING:
    from cardgen.press.edition import PaperKind
    from cardgen.register.listing import Sheet


@click.group(name="register")
def command() -> None:
    """Look at the register of issued decks."""


@command.command(name="list")
@click.option("--all", "every", is_flag=True, help="Every revision, not only the newest of each rotor.")
@json_option
@register_option
@today_option
def list_decks(every: bool, as_json: bool, register: Path | None, today: date) -> None:
    """List the newest deck of every rotor."""
    from cardgen.cli.report import print_json
    from cardgen.register.errors import RegisterTrouble
    from cardgen.register.listing import listing

    with opened_register(register, "read") as book:
        found = listing(book, today, every=every)
    if isinstance(found, RegisterTrouble):
        raise trouble(found)
    if as_json:
        print_json([standing_data(each) for each in found])
        return
    for each in found:
        click.echo(f"{name_of(each.deck)}: {state_of(each)}.")


@command.command(name="sheet")
@click.option(
    "--pdf", type=click.Path(path_type=Path), metavar="FILE", help="Print it into this new PDF instead."
)
@click.option(
    "--paper", type=click.Choice(["iso", "ansi"]), default="iso", help="A4, or letter.  [default: iso]"
)
@register_option
@today_option
def show_sheet(pdf: Path | None, paper: str, register: Path | None, today: date) -> None:
    """Show the current codes, for a hangar without a signal.

    For each rotor: its diameter, the revision and code of its current deck, when it was issued, how
    long it may be used, and where its copies hang.
    """
    from cardgen.cli.report import printable
    from cardgen.register.errors import RegisterTrouble
    from cardgen.register.listing import sheet_of, to_text

    with opened_register(register, "read") as book:
        sheet = sheet_of(book, today)
    if isinstance(sheet, RegisterTrouble):
        raise trouble(sheet)
    if pdf is not None:
        _print_sheet(sheet, pdf, "ansi" if paper == "ansi" else "iso")
        return
    for line in to_text(sheet).splitlines():
        click.echo(printable(line))


def _print_sheet(sheet: Sheet, file: Path, paper: PaperKind) -> None:
    from cardgen.cli.files import new
    from cardgen.cli.report import printable
    from cardgen.issuing.register_sheet import print_register_sheet

    with layouts_blamed():
        made = print_register_sheet(sheet, paper)
    if not isinstance(made, bytes):
        lines = "\n".join(f"  {printable(line)}" for line in made.lines)
        raise Refused(f"The sheet cannot be printed:\n{lines}\nNo file was made.")
    new(file, made)
    click.echo(printable(str(file)))


@command.command(name="check")
@click.option("--quick", is_flag=True, help="Leave out reading every kept file.")
@click.option(
    *("--against", "told"),
    type=click.Path(path_type=Path),
    metavar="SHEET|DECK",
    help="Also compare it with a register sheet, or a deck's folder or file: was it told from this register?",
)
@register_option
def check_register(quick: bool, told: Path | None, register: Path | None) -> None:
    """Check the register, its chain and every kept file; change nothing."""
    from cardgen.cli.report import printable
    from cardgen.register.against import against
    from cardgen.register.audit import check
    from cardgen.register.errors import RegisterTrouble
    from cardgen.spec.counted import counted

    with opened_register(register, "read") as book:
        compared = against(book, told) if told is not None else ()
        if isinstance(compared, RegisterTrouble):
            raise trouble(compared)
        checked = check(book, read_files=not quick)
        checked = replace(checked, found=(*checked.found, *compared))
    for each in checked.found:
        click.echo(f"{each.level}: {printable(each.what)}")
    if told is not None and not compared:
        click.echo(f"{printable(str(told))} was told from this register.")
    what = f"{counted(checked.decks, 'deck')}, {counted(checked.files, 'file')}"
    click.echo(f"{what}: {'sound' if checked.is_sound else 'NOT SOUND'}.")
    if not checked.is_sound:
        click.echo("Bring back the last good copy; `register export` saves what can still be read.", err=True)
        raise click.exceptions.Exit(Exit.TROUBLE)


@command.command(name="correct")
@click.option("--day", type=Day(), metavar="DATE", required=True, help="Today, as a calendar says.")
@click.option("--by", "said_by", metavar="TEXT", required=True, help="Who says so.")
@click.option("--reason", metavar="TEXT", required=True, help="What went wrong; kept for ever.")
@register_option
def correct_entries(day: date, said_by: str, reason: str, register: Path | None) -> None:
    """Put right that entries carry a day that has not come yet.

    Nothing is changed: your word is entered that no entry so far is later than DATE. Until then a
    register whose newest entry lies ahead of today answers nothing, because a clock that stopped would
    bring old cards back to life.
    """
    from cardgen.cli.report import show_problems
    from cardgen.issuing.correct_days import correct_days
    from cardgen.issuing.issue_request import IssueRefused
    from cardgen.register.errors import RegisterTrouble

    with opened_register(register, "write") as book:
        made = correct_days(book, day, said_by, reason)
    if isinstance(made, RegisterTrouble):
        raise trouble(made)
    if isinstance(made, IssueRefused):
        show_problems(made.problems)
        raise click.exceptions.Exit(Exit.REFUSED)
    if made is None:
        raise Refused(f"No entry of this register is later than {day}. Nothing was entered.")
    click.echo(f"Entered: no entry so far is later than {made.day}.")


@command.command(name="export")
@register_option
def export_register(register: Path | None) -> None:
    """Print all that can be read of the register as JSON, even from a damaged file."""
    from cardgen.cli.report import print_json
    from cardgen.register.errors import RegisterTrouble
    from cardgen.register.export import export_file

    found = export_file(path_of(register))
    if isinstance(found, RegisterTrouble):
        raise trouble(found)
    print_json(found)
    if found["unread"]:
        click.echo('Not everything could be read; see "unread".', err=True)
        raise click.exceptions.Exit(Exit.TROUBLE)
