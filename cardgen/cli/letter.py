"""``cardgen letter``: the questions about what a rotor's papers do not give, to whoever looks after each."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.cli.errors import Refused
from cardgen.cli.exits import Exit
from cardgen.cli.open_spec import readable
from cardgen.cli.options import spec_argument, today_option

if TYPE_CHECKING:
    from cardgen.deck.card import Card
    from cardgen.press.edition import PaperKind


@click.command(name="letter")
@spec_argument
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="DIR", help="Folder to write into, as text and as PDF."
)
@today_option
def command(spec: Path, out: Path | None, today: date) -> None:
    """Write the questions about what is not given.

    There is one letter for each paper that leaves something open, its questions in the order of the
    pages. Nothing is sent, and no number is suggested. It need not be complete: what is listed as not
    given can be asked at once. Without --out the letters are printed here.
    """
    loaded = readable(spec, today)
    from cardgen.cli.files import place
    from cardgen.cli.report import count, printable, show_problems
    from cardgen.deck.letter import letter_card, letters, paper_of
    from cardgen.press.plain import sheet_text

    if loaded.table is None:
        show_problems(loaded.problems, "No letter was written")
        raise click.exceptions.Exit(Exit.REFUSED)
    cards = {f"letter-{each.number + 1}": letter_card(each, loaded.table) for each in letters(loaded.table)}
    shown = printable(str(spec))
    if loaded.problems:
        stand = "stands" if len(loaded.problems) == 1 else "stand"
        still = f"{count(loaded.problems)} still {stand} against cards; see cardgen check {shown}"
        click.echo(f"Only what is listed as not given is asked. {still}", err=True)
    if not cards:
        click.echo(f"{shown}: nothing is listed as not given, so there is nothing to ask.")
        return
    if out is None:
        click.echo("\n\n".join(sheet_text(card).rstrip("\n") for card in cards.values()))
        return
    foot, paper = f"Written on {today.isoformat()}", paper_of(loaded.table)
    files = {}
    for name, card in cards.items():
        files[f"{name}.txt"] = sheet_text(card).encode()
        files[f"{name}.pdf"] = _pdf(card, foot, paper)
    place(out, files, unmade="No letter was written.")
    for name in files:
        click.echo(printable(str(out / name)))


def _pdf(card: Card, foot: str, paper: PaperKind) -> bytes:
    from cardgen.press.notice import Notice
    from cardgen.proof.prove import print_notice

    made = print_notice(Notice(card, foot, paper))
    if isinstance(made, bytes):
        return made
    lines = "\n".join(f"  {each}" for each in made.lines)
    raise Refused(f"The letter cannot be printed:\n{lines}\nNo letter was written.")
