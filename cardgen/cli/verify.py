"""``cardgen verify``: whether the card in the hand is the current one."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.cli.exits import Exit
from cardgen.cli.options import json_option, today_option
from cardgen.cli.register_access import (
    opened_register,
    path_of,
    register_option,
    standing_data,
    trouble,
)

if TYPE_CHECKING:
    from cardgen.issuing.card_answer import Found
    from cardgen.register.code import Mistyped
    from cardgen.register.currency import Altered, ForRecords, UnknownCode
    from cardgen.register.database import Register
    from cardgen.register.state import Standing


@click.command(name="verify")
@click.argument("card", metavar="CODE|PDF")
@json_option
@register_option
@today_option
def command(card: str, as_json: bool, register: Path | None, today: date) -> None:
    """Tell whether a card is current, from its code or its file.

    A file is known by its bytes; what it says of itself is not believed. With a rotor's set id you are
    told which code its cards must have. Exit code 4 means: do not use this card.
    """
    from cardgen.cli.not_a_card import NO_ROTOR, end_draft, end_rotor, refuse_no_card, rotor_named
    from cardgen.issuing.card_answer import Found, found_in_file
    from cardgen.issuing.draft_files import is_drafts_file
    from cardgen.register.code import Mistyped, has_nine, read_code
    from cardgen.register.currency import UnknownCode, verify_code
    from cardgen.register.errors import RegisterTrouble

    read = read_code(card)
    path = Path(card)
    refuse_no_card(card)
    is_file = path.suffix.lower() == ".pdf" or "/" in card or path.is_file()
    if isinstance(read, Mistyped) and not is_file:
        if newest := rotor_named(card, register, today):
            end_rotor(newest, as_json)
        _end_mistyped(read, as_json, "" if has_nine(card) else NO_ROTOR)
        return
    if is_file and not path_of(register).exists() and is_drafts_file(path):
        # Whoever has drafted only has no register yet.
        end_draft(card, as_json)
    with opened_register(register, "read") as book:
        if is_file or isinstance(read, Mistyped):
            found = found_in_file(book, path, today)
        else:
            of_code = verify_code(book, read, today)
            found = of_code if isinstance(of_code, RegisterTrouble) else Found(of_code)
        if isinstance(found, RegisterTrouble):
            raise trouble(found)
        if isinstance(found.what, UnknownCode) and is_file and is_drafts_file(path):
            end_draft(card, as_json)
        code = _tell_json(found.what, book, found.part) if as_json else _tell(found, book)
    raise click.exceptions.Exit(code)


def _end_mistyped(read: Mistyped, as_json: bool, also: str) -> None:
    """Say that this is no code; ``also`` says what else it is not."""
    from cardgen.cli.report import print_json, printable

    if as_json:
        print_json({"asked": read.read, "state": "mistyped", "why": read.why})
    elif also:
        click.echo(f"{printable(read.read)}: {also}. Give {read.write}.")
    else:
        click.echo(f"Mistyped, and so not looked up: {printable(read.why)}. Give {read.write}.")
        click.echo("Do not use the card before its code is found.")
    raise click.exceptions.Exit(Exit.NOT_CURRENT)


def _tell(found: Found, book: Register) -> Exit:
    from cardgen.cli.report import printable
    from cardgen.issuing.card_answer import answer_lines

    for line in answer_lines(found, book):
        click.echo(printable(line))
    return Exit.DONE if found.is_current else Exit.NOT_CURRENT


def _tell_json(
    found: Standing | ForRecords | Altered | UnknownCode, book: Register, part: tuple[str, ...]
) -> Exit:
    from cardgen.cli.report import print_json
    from cardgen.issuing.card_answer import changes_since
    from cardgen.register.currency import Altered, ForRecords, UnknownCode

    if isinstance(found, UnknownCode):
        why = {"why": found.cut_short} if found.cut_short else {}
        print_json({"asked": found.asked, "state": "unknown", **why})
        return Exit.NOT_CURRENT
    if isinstance(found, Altered):
        print_json({**standing_data(found.claims), "state": "altered", "asked": found.file})
        return Exit.NOT_CURRENT
    stamped = isinstance(found, ForRecords)
    found = found.standing if isinstance(found, ForRecords) else found
    changes = list(changes_since(book, found)) if found.ahead else []
    reading = book.reading_of(found.deck.id)
    read = {"read_by": reading.read_by, "read_on": reading.day.isoformat()} if reading else {}
    of = {"part": list(part)} if part else {}
    print_json({**standing_data(found), **of, **read, "changes": changes, "for_records": stamped})
    return Exit.DONE if found.state == "current" else Exit.NOT_CURRENT
