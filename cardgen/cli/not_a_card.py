"""What `verify` answers to what is no card: a folder, a specification, a draft, or the name of a rotor."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from cardgen.cli.exits import Exit

if TYPE_CHECKING:
    from cardgen.register.state import Standing

ROTOR = "is the name of a rotor, and not the code of a card"
NO_ROTOR = "no rotor of this name is known here, and it is no code: a code has nine characters"


def refuse_no_card(asked: str) -> None:
    """End the command where nothing, a folder or a specification was given in place of a card."""
    from cardgen.cli.register_access import trouble
    from cardgen.cli.report import printable
    from cardgen.register.currency import read_bounded
    from cardgen.register.errors import RegisterTrouble

    path, shown = Path(asked), printable(asked)
    if not asked.strip():
        raise click.UsageError("No code was given. Give the code from the foot of a card, or a printed PDF.")
    if path.is_dir():
        files = sorted(each.name for each in path.iterdir() if each.suffix == ".pdf")
        such_as = f", such as {printable(str(path / files[0]))}," if files else ""
        raise click.UsageError(
            f"{shown} is a folder. Name one file of a deck{such_as} or give the code from the foot of a card."
        )
    if path.suffix.lower() == ".toml" and path.is_file():
        content = read_bounded(path)
        if isinstance(content, RegisterTrouble):
            raise trouble(content)
        if content.startswith(b"%PDF-"):
            return
        what = "a specification" if _is_specification(content) else "no file of a deck"
        raise click.UsageError(
            f"{shown} is {what} and no card. Give the code from the foot of a card, or a printed PDF; a "
            "specification is looked at by cardgen check."
        )


def _is_specification(content: bytes) -> bool:
    """Whether a file says which rotor it is of, as every specification does."""
    from cardgen.spec.toml import parse

    table = parse(content).table
    return table is not None and "rotor" in table


def rotor_named(asked: str, register: Path | None, today: date) -> Standing | None:
    """Find where the newest deck of the rotor with this set id stands.

    Gives nothing where there is no such rotor, or no register that can say so: what was asked is no code
    all the same.
    """
    from cardgen.cli.register_access import path_of
    from cardgen.issuing.card_answer import rotor_called
    from cardgen.register.errors import RegisterTrouble
    from cardgen.register.open_register import open_register

    book = open_register(path_of(register), "read")
    if isinstance(book, RegisterTrouble):
        return None
    with book:
        return rotor_called(book, asked, today)


def end_rotor(newest: Standing, as_json: bool) -> NoReturn:
    """Say of a rotor which code its cards must have, and end: no card was asked about."""
    from cardgen.cli.register_access import name_of, standing_data, state_of
    from cardgen.cli.report import print_json, printable

    if as_json:
        print_json({**standing_data(newest), "asked": newest.deck.set_id, "state": "no card", "why": ROTOR})
    else:
        click.echo(f"{printable(newest.deck.set_id)} {ROTOR}.")
        click.echo(f"Its newest deck is {name_of(newest.deck)}: {state_of(newest)}.")
        if newest.state == "current":
            click.echo(f"Work only from cards that have {newest.deck.code} at their foot.")
        else:
            click.echo("No card of this rotor is to be used until a new deck is issued.")
    raise click.exceptions.Exit(Exit.NOT_CURRENT)


def end_draft(asked: str, as_json: bool) -> NoReturn:
    """Say that a file is of a draft, and what to ask instead."""
    from cardgen.cli.report import print_json, printable
    from cardgen.issuing.draft_files import DRAFT

    if as_json:
        print_json({"asked": asked, "state": "draft", "why": DRAFT})
    else:
        click.echo(f"{printable(asked)}: {DRAFT}.")
        click.echo("Do not use this card.")
    raise click.exceptions.Exit(Exit.NOT_CURRENT)
