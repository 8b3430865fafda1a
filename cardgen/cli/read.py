"""``cardgen read``: keep that a second person has read a specification against its papers."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import click

from cardgen.cli.exits import Exit
from cardgen.cli.open_spec import opened
from cardgen.cli.options import spec_argument, today_option
from cardgen.cli.register_access import opened_register, register_option, trouble


@click.command(name="read")
@spec_argument
@click.option("--by", metavar="TEXT", required=True, help="Who has read it: not who approves the deck.")
@click.option("--check", metavar="CHECK", required=True, help="The check from the last page of copied.pdf.")
@register_option
@today_option
def command(spec: Path, by: str, check: str, register: Path | None, today: date) -> None:
    """Keep that a second person has read it on paper.

    The draft's copied.pdf lists every value that was typed, beside the document and place it comes
    from. Its check is that of exactly these values: where one is changed, it is read again.
    """
    source = opened(spec, today)
    from cardgen.cli.report import printable, show_problems
    from cardgen.issuing.issue_request import IssueRefused
    from cardgen.issuing.reading import keep_reading
    from cardgen.register.errors import RegisterTrouble
    from cardgen.spec.read_check import read_check

    set_id = source.spec.rotor.set_id
    with opened_register(register, "create") as book:
        kept = keep_reading(book, set_id, read_check(source.spec.text), by, check, today)
    if isinstance(kept, RegisterTrouble):
        raise trouble(kept)
    if isinstance(kept, IssueRefused):
        show_problems([replace(each, file="read") for each in kept.problems], "Nothing was kept")
        raise click.exceptions.Exit(Exit.REFUSED)
    click.echo(f"{set_id}: read by {printable(kept.read_by)} on {kept.day}, check {kept.check}.")
    click.echo("Somebody else may now issue it: cardgen issue", err=True)
