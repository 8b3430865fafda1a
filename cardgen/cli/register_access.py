"""What the commands around the register share: opening it, naming decks, saying what is wrong."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from cardgen.cli.errors import Trouble
from cardgen.cli.exits import Exit

if TYPE_CHECKING:
    from cardgen.issuing.issue_request import Recall
    from cardgen.register.code import Code
    from cardgen.register.database import Register
    from cardgen.register.errors import RegisterTrouble
    from cardgen.register.kept import KeptDeck
    from cardgen.register.open_register import Mode
    from cardgen.register.rows import DeckRow
    from cardgen.register.state import Standing

Command = TypeVar("Command", bound=Callable[..., Any])


def register_option(command: Command) -> Command:
    """Add the register's path."""
    return click.option(
        "--register",
        "register",
        type=click.Path(path_type=Path),
        metavar="FILE",
        help="The register; else CARDGEN_REGISTER, else one in your data folder.",
    )(command)


def path_of(given: Path | None) -> Path:
    """Tell which register is meant."""
    from cardgen.register.location import register_path

    return register_path(given, os.environ)


def opened_register(given: Path | None, mode: Mode) -> Register:
    """Open the register, or end the command with what is wrong."""
    from cardgen.register.errors import RegisterTrouble
    from cardgen.register.open_register import open_register

    found = open_register(path_of(given), mode)
    if isinstance(found, RegisterTrouble):
        raise trouble(found)
    return found


def opened_if_any(given: Path | None) -> Register | None:
    """Open a register that something can be looked up in, or give nothing where there need not be one.

    One that was named, by option or by ``CARDGEN_REGISTER``, must be there; one in its usual place need not.
    """
    from cardgen.register.location import VARIABLE

    named = given is not None or bool(os.environ.get(VARIABLE))
    return opened_register(given, "read") if named or path_of(None).exists() else None


def trouble(found: RegisterTrouble) -> Trouble:
    """Say a trouble of the register, the store or the output folder in a keeper's words."""
    from cardgen.cli.report import printable

    return Trouble(f"{printable(found.file)}: {printable(found.why)}. What to do: {printable(found.write)}.")


def read_or_end(text: str) -> Code:
    """Read a code; end the command where it is mistyped."""
    from cardgen.cli.report import printable
    from cardgen.register.code import Mistyped, read_code

    code = read_code(text)
    if isinstance(code, Mistyped):
        click.echo(f"Mistyped, and so not looked up: {printable(code.why)}. Give {code.write}.", err=True)
        raise click.exceptions.Exit(Exit.NOT_CURRENT)
    return code


def is_code(source: str) -> bool:
    """Whether a code is meant, and not a path: no such file, no folder in it, no ending."""
    path = Path(source)
    return not path.suffix and "/" not in source and not path.exists()


def kept_deck(asked: str, register: Path | None, today: date) -> tuple[KeptDeck, Standing]:
    """Find what the deck with this code said when it was issued, and where it stands today.

    Says so where nobody is to work by it any more, and ends the command where there is no such deck.
    """
    from cardgen.register.currency import UnknownCode, verify_code
    from cardgen.register.errors import RegisterTrouble
    from cardgen.register.kept import KeptDeck, description, no_version_wrote

    code = read_or_end(asked)
    with opened_register(register, "read") as book:
        where = verify_code(book, code, today)
        if isinstance(where, RegisterTrouble):
            raise trouble(where)
        if isinstance(where, UnknownCode):
            raise end_unknown(asked)
        told = description(book, where.deck)
        if isinstance(told, RegisterTrouble):
            raise trouble(told)
        try:
            kept = KeptDeck(told).whole()
        except (LookupError, TypeError, ValueError, AttributeError):
            raise trouble(no_version_wrote(book, where.deck)) from None
    if where.state != "current":
        click.echo(f"{name_of(where.deck)}: {state_of(where)}. Do not work by these numbers.", err=True)
    return kept, where


def end_unknown(asked: str) -> click.exceptions.Exit:
    """Say that no deck has a code, and give the exit to raise."""
    from cardgen.cli.report import printable

    click.echo(f"{printable(asked)}: unknown; no deck in this register has this code.", err=True)
    return click.exceptions.Exit(Exit.NOT_CURRENT)


def name_of(deck: DeckRow) -> str:
    """Name a deck in a sentence."""
    from cardgen.cli.report import printable

    return f"{printable(deck.set_id)} revision {deck.revision}, code {deck.code}"


def state_of(standing: Standing) -> str:
    """Say where a deck stands, since when and why."""
    from cardgen.cli.report import printable
    from cardgen.register.state import state_words

    return printable(state_words(standing))


def standing_data(standing: Standing) -> dict[str, object]:
    """Give a deck and where it stands as plain values."""
    deck, ahead = standing.deck, standing.ahead or standing
    return {
        "set_id": deck.set_id,
        "revision": deck.revision,
        "code": deck.code,
        "state": standing.state,
        "since": standing.since.isoformat(),
        "why": standing.why,
        "issued": deck.issued.isoformat(),
        "use_until": deck.use_until.isoformat(),
        "approved_by": deck.approved_by,
        "reason": deck.reason,
        "newest_revision": standing.newest.revision,
        "newest_code": standing.newest.code,
        "newest_state": ahead.state,
        "newest_since": ahead.since.isoformat(),
        "newest_why": ahead.why,
    }


def show_recall(recall: Iterable[Recall]) -> None:
    """List the copies that must come down."""
    from cardgen.cli.report import printable

    copies = list(recall)
    if copies:
        click.echo(f"Take down and destroy, {name_of(copies[0].deck)}:")
    for copy in copies:
        click.echo(f"  {printable(copy.words())}")
