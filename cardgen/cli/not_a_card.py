"""What `verify` answers to what is no card: a folder, a specification, a draft, or the name of a rotor."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from cardgen.cli.exits import Exit

if TYPE_CHECKING:
    from cardgen.register.state import Standing

#: What a draft's files say of themselves: a PDF in its document information, the others in their text.
_DRAFT_SAYS = {
    ".pdf": b"(DRAFT, not issued)",
    ".json": b'"draft": true',
    ".txt": b"DRAFT, NOT ISSUED",
    ".html": b"DRAFT, NOT ISSUED",
}

DRAFT = (
    "a draft, marked NOT ISSUED; no register knows a draft, and it has no code. To work from these cards, have "
    "them issued with cardgen issue, then ask with the code from the foot of a card"
)


ROTOR = "is the name of a rotor, and not the code of a card"


def refuse_no_card(asked: str) -> None:
    """End the command where a folder or a specification was given in place of a card."""
    from cardgen.cli.report import printable

    path, shown = Path(asked), printable(asked)
    if path.is_dir():
        files = sorted(each.name for each in path.iterdir() if each.suffix == ".pdf")
        such_as = f", such as {printable(str(path / files[0]))}," if files else ""
        raise click.UsageError(
            f"{shown} is a folder. Name one file of a deck{such_as} or give the code from the foot of a card."
        )
    if path.suffix.lower() == ".toml" and path.is_file():
        what = "a specification" if _is_specification(path) else "no file of a deck"
        raise click.UsageError(
            f"{shown} is {what} and no card. Give the code from the foot of a card, or a printed PDF; a "
            "specification is looked at by cardgen check."
        )


def _is_specification(path: Path) -> bool:
    """Whether a file says which rotor it is of, as every specification does."""
    from cardgen.register.currency import read_bounded
    from cardgen.spec.toml import parse

    content = read_bounded(path)
    table = parse(content).table if isinstance(content, bytes) else None
    return table is not None and "rotor" in table


def is_drafts_file(path: Path) -> bool:
    """Whether a file that no register knows says of itself that it belongs to a draft.

    Nothing is gained by saying so falsely: neither a draft nor an unknown file is to be used.
    """
    from cardgen.register.currency import read_bounded

    mark, content = _DRAFT_SAYS.get(path.suffix.lower()), read_bounded(path)
    return mark is not None and isinstance(content, bytes) and mark in content


def rotor_named(asked: str, register: Path | None, today: date) -> Standing | None:
    """Find where the newest deck of the rotor with this set id stands.

    Gives nothing where there is no such rotor, or no register that can say so: what was asked is no code
    all the same.
    """
    from cardgen.cli.register_access import path_of
    from cardgen.register.currency import verify_code
    from cardgen.register.errors import RegisterTrouble
    from cardgen.register.listing import listing
    from cardgen.register.open_register import open_register
    from cardgen.register.state import Standing

    book = open_register(path_of(register), "read")
    if isinstance(book, RegisterTrouble):
        return None
    with book:
        rotors = listing(book, today)
        for each in () if isinstance(rotors, RegisterTrouble) else rotors:
            if each.deck.set_id.casefold() == asked.strip().casefold():
                # Looked up like any code, so that an entry that was changed later is never told as it stands.
                found = verify_code(book, each.deck.code, today)
                return found if isinstance(found, Standing) else None
    return None


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

    if as_json:
        print_json({"asked": asked, "state": "draft", "why": DRAFT})
    else:
        click.echo(f"{printable(asked)}: {DRAFT}.")
        click.echo("Do not use this card.")
    raise click.exceptions.Exit(Exit.NOT_CURRENT)
