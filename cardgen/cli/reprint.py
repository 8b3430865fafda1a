"""``cardgen reprint``: the files of an issued deck again, byte for byte."""

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
    state_of,
    trouble,
)


@click.command(name="reprint")
@click.argument("code")
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="DIR", required=True, help="Folder for the deck's folder."
)
@click.option("--for-records", is_flag=True, help="Also where the deck is not current; not for the bench.")
@register_option
@today_option
def command(code: str, out: Path, for_records: bool, register: Path | None, today: date) -> None:
    """Place the files of an issued deck again.

    The kept bytes are checked and copied; nothing is built anew. A deck that is not current is
    refused, unless it is wanted for the records.
    """
    read = read_or_end(code)
    from cardgen.cli.report import printable
    from cardgen.issuing.reprint_deck import NotCurrent, reprint
    from cardgen.register.currency import UnknownCode
    from cardgen.register.errors import RegisterTrouble

    with opened_register(register, "read") as book:
        made = reprint(book, read, out, today, for_records=for_records)
    if isinstance(made, RegisterTrouble):
        raise trouble(made)
    if isinstance(made, UnknownCode):
        raise end_unknown(code)
    where = f"{name_of(made.standing.deck)}: {state_of(made.standing)}."
    if isinstance(made, NotCurrent):
        click.echo(f"{where} Nothing was placed.", err=True)
        click.echo("For the records, and never for the bench, add --for-records.", err=True)
        raise click.exceptions.Exit(Exit.NOT_CURRENT)
    click.echo(printable(str(made.folder)))
    if made.standing.state != "current":
        click.echo(f"{where} For the records only: do not take these cards to a bench.", err=True)
