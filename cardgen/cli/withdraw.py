"""``cardgen withdraw``: take an issued deck out of use."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import click

from cardgen.cli.exits import Exit
from cardgen.cli.options import today_option
from cardgen.cli.register_access import (
    end_unknown,
    name_of,
    opened_register,
    read_or_end,
    register_option,
    show_recall,
    trouble,
)


@click.command(name="withdraw")
@click.argument("code")
@click.option("--reason", metavar="TEXT", required=True, help="Why it may not be used any more.")
@register_option
@today_option
def command(code: str, reason: str, register: Path | None, today: date) -> None:
    """Take an issued deck out of use.

    It stays in the register, with the reason, for ever. Its copies are listed to be taken down.
    """
    read = read_or_end(code)
    from cardgen.cli.report import printable, show_problems
    from cardgen.issuing.issue_request import IssueRefused
    from cardgen.issuing.withdraw_deck import withdraw
    from cardgen.register.currency import UnknownCode
    from cardgen.register.errors import RegisterTrouble

    with opened_register(register, "write") as book:
        made = withdraw(book, read, reason, today)
    if isinstance(made, RegisterTrouble):
        raise trouble(made)
    if isinstance(made, UnknownCode):
        raise end_unknown(code)
    if isinstance(made, IssueRefused):
        show_problems(made.problems)
        raise click.exceptions.Exit(Exit.REFUSED)
    when = f"on {made.withdrawal.day}, because: {printable(made.withdrawal.reason)}."
    if made.before:
        click.echo(f"{name_of(made.deck)} was withdrawn before, {when} That entry stands.")
    else:
        click.echo(f"{name_of(made.deck)} is withdrawn {when}")
    show_recall(made.recall)
