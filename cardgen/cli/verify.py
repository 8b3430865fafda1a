"""``cardgen verify``: whether the card in the hand is the current one."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.cli.exits import Exit
from cardgen.cli.options import json_option, today_option
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
    from cardgen.issuing.reprint_deck import Part
    from cardgen.register.changes import Comparison
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
    from cardgen.cli.not_a_card import end_draft, end_rotor, is_drafts_file, refuse_no_card, rotor_named
    from cardgen.register.code import Mistyped, read_code
    from cardgen.register.currency import Altered, ForRecords, UnknownCode, verify_code, verify_file
    from cardgen.register.errors import RegisterTrouble

    read = read_code(card)
    path = Path(card)
    refuse_no_card(card)
    is_file = path.suffix.lower() == ".pdf" or "/" in card or path.is_file()
    if isinstance(read, Mistyped) and not is_file:
        if newest := rotor_named(card, register, today):
            end_rotor(newest, as_json)
        _end_mistyped(read, as_json)
        return
    if is_file and not path_of(register).exists() and is_drafts_file(path):
        # Whoever has drafted only has no register yet.
        end_draft(card, as_json)
    with opened_register(register, "read") as book:
        if is_file or isinstance(read, Mistyped):
            found = verify_file(book, path, today)
        else:
            found = verify_code(book, read, today)
        if isinstance(found, RegisterTrouble):
            raise trouble(found)
        if isinstance(found, UnknownCode) and is_file and is_drafts_file(path):
            end_draft(card, as_json)
        part: tuple[str, ...] = ()
        if isinstance(found, Altered) and (known := _part(book, path, found)):
            part = known.cards
            found = ForRecords(str(path), found.claims) if known.for_records else found.claims
        code = _tell_json(found, book, part) if as_json else _tell(found, book, part)
    raise click.exceptions.Exit(code)


def _part(book: Register, path: Path, found: Altered) -> Part | None:
    """Tell of a file that is a part of the deck it names, as reprint takes it out."""
    from cardgen.issuing.reprint_deck import known_part
    from cardgen.register.errors import RegisterTrouble

    part = known_part(book, path, found.claims)
    if isinstance(part, RegisterTrouble):
        raise trouble(part)
    return part


def _end_mistyped(read: Mistyped, as_json: bool) -> None:
    from cardgen.cli.report import print_json, printable

    if as_json:
        print_json({"asked": read.read, "state": "mistyped", "why": read.why})
    else:
        click.echo(f"Mistyped, and so not looked up: {printable(read.why)}. Give {read.write}.")
        click.echo("Do not use the card before its code is found.")
    raise click.exceptions.Exit(Exit.NOT_CURRENT)


def _tell(found: Standing | ForRecords | Altered | UnknownCode, book: Register, part: tuple[str, ...]) -> Exit:
    from cardgen.cli.report import printable
    from cardgen.register.currency import Altered, ForRecords, UnknownCode

    if isinstance(found, UnknownCode):
        click.echo(f"{printable(found.asked)}: unknown. No deck in this register has this code or file.")
        if found.cut_short:
            click.echo(f"Its pages could not be searched for a code: {printable(found.cut_short)}.")
        click.echo("Do not use this card.")
        return Exit.NOT_CURRENT
    if isinstance(found, ForRecords):
        click.echo(f"{printable(found.file)}: stamped for the records, and out of use.")
        found = found.standing
    if isinstance(found, Altered):
        click.echo(f"{printable(found.file)}: altered. It names {name_of(found.claims.deck)},")
        click.echo("but it is not the file that was issued. Do not use it.")
        if found.claims.state == "current":
            click.echo("The deck itself is current: reprint it.")
        else:
            click.echo(f"Nor is the deck itself current: {state_of(found.claims)}.")
        return Exit.NOT_CURRENT
    click.echo(f"{name_of(found.deck)}: {state_of(found)}.")
    if part:
        click.echo(printable(f"This is a part of it: {', '.join(part)}."))
    reading = book.reading_of(found.deck.id)
    read = f"Read by {printable(reading.read_by)} on {reading.day}, approved" if reading else "Approved"
    click.echo(f"{read} by {printable(found.deck.approved_by)}.")
    if found.state == "current":
        return Exit.DONE
    click.echo("Do not use this card.")
    if found.ahead:
        click.echo(_newest_words(found.ahead))
        for line in _change_lines(book, found):
            click.echo(f"  {printable(line)}")
    return Exit.NOT_CURRENT


def _newest_words(newest: Standing) -> str:
    """Name the newest deck before what changed; one that is not to be used either is never just named."""
    name = name_of(newest.deck)
    if newest.state == "current":
        return f"The newest deck is {name}. What changed:"
    return (
        f"The newest deck is {name}. It is not current either: {state_of(newest)}.\n"
        "No card of this rotor is to be used until a new deck is issued. What changed:"
    )


def _change_lines(book: Register, found: Standing) -> Iterator[str]:
    from cardgen.register.changes import change_lines, titles_of

    described = _described(book, found)
    if described is None:
        yield "not known; the kept description cannot be read"
        return
    comparison, old, new = described
    yield from change_lines(comparison, titles_of(old, new)) or ("no number and no word",)


def _described(
    book: Register, found: Standing
) -> tuple[Comparison, dict[str, object], dict[str, object]] | None:
    from cardgen.register.changes import compare
    from cardgen.register.errors import RegisterTrouble
    from cardgen.register.kept import description

    old, new = description(book, found.deck), description(book, found.newest)
    if isinstance(old, RegisterTrouble) or isinstance(new, RegisterTrouble):
        return None
    return compare(old, new), old, new


def _tell_json(
    found: Standing | ForRecords | Altered | UnknownCode, book: Register, part: tuple[str, ...]
) -> Exit:
    from cardgen.cli.report import print_json
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
    changes = list(_change_lines(book, found)) if found.ahead else []
    reading = book.reading_of(found.deck.id)
    read = {"read_by": reading.read_by, "read_on": reading.day.isoformat()} if reading else {}
    of = {"part": list(part)} if part else {}
    print_json({**standing_data(found), **of, **read, "changes": changes, "for_records": stamped})
    return Exit.DONE if found.state == "current" else Exit.NOT_CURRENT
