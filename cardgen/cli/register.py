"""``cardgen register``: list, sheet, check and export of the register."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from cardgen.cli.exits import Exit
from cardgen.cli.options import json_option, today_option
from cardgen.cli.registering import (
    name_of,
    opened_register,
    path_of,
    register_option,
    standing_data,
    state_of,
    trouble,
)


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
    from cardgen.register.listing import listing
    from cardgen.register.trouble import RegisterTrouble

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
@register_option
@today_option
def print_sheet(register: Path | None, today: date) -> None:
    """Print the current codes, for a hangar without a signal."""
    from cardgen.cli.report import printable
    from cardgen.register.listing import listing, sheet
    from cardgen.register.trouble import RegisterTrouble

    with opened_register(register, "read") as book:
        found = listing(book, today)
    if isinstance(found, RegisterTrouble):
        raise trouble(found)
    for line in sheet(found, today).splitlines():
        click.echo(printable(line))


@command.command(name="check")
@click.option("--quick", is_flag=True, help="Leave out reading every kept file.")
@register_option
def check_register(quick: bool, register: Path | None) -> None:
    """Check the register, its chain and every kept file; change nothing."""
    from cardgen.cli.report import printable
    from cardgen.register.check import check

    with opened_register(register, "read") as book:
        checked = check(book, read_files=not quick)
    for each in checked.found:
        click.echo(f"{each.level}: {printable(each.what)}")
    click.echo(f"{checked.decks} decks, {checked.files} files: {'sound' if checked.is_sound else 'NOT SOUND'}.")
    if not checked.is_sound:
        click.echo("Bring back the last good copy; `register export` saves what can still be read.", err=True)
        raise click.exceptions.Exit(Exit.TROUBLE)


@command.command(name="export")
@register_option
def export_register(register: Path | None) -> None:
    """Print all that can be read of the register as JSON, even from a damaged file."""
    from cardgen.cli.report import print_json
    from cardgen.register.export import export_file
    from cardgen.register.trouble import RegisterTrouble

    found = export_file(path_of(register))
    if isinstance(found, RegisterTrouble):
        raise trouble(found)
    print_json(found)
    if found["unread"]:
        click.echo('Not everything could be read; see "unread".', err=True)
        raise click.exceptions.Exit(Exit.TROUBLE)
