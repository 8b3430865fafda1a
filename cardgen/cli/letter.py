"""``cardgen letter``: the questions about what a rotor's papers do not give, to whoever looks after each."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.cli.errors import Refused
from cardgen.cli.open_spec import opened
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
    pages. Nothing is sent, and no number is suggested. Without --out the letters are printed here.
    """
    source = opened(spec, today)
    from cardgen.cli.files import place
    from cardgen.cli.report import printable
    from cardgen.deck.letter import letter_card, letters
    from cardgen.press.plain import sheet_text

    rotor = source.spec
    cards = {
        f"letter-{rotor.documents.index(each.document) + 1}": letter_card(each, rotor)
        for each in letters(rotor)
    }
    if not cards:
        click.echo(f"{rotor.rotor.set_id}: nothing is listed as not given, so there is nothing to ask.")
        return
    if out is None:
        click.echo("\n\n".join(sheet_text(card).rstrip("\n") for card in cards.values()))
        return
    foot = f"{rotor.rotor.set_id}, written on {today.isoformat()}"
    paper = rotor.print.paper if rotor.print else "iso"
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
