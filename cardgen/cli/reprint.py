"""``cardgen reprint``: the files of an issued deck again, byte for byte, or some of its cards."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.cli.errors import Refused
from cardgen.cli.exits import Exit
from cardgen.cli.open_spec import layouts_blamed
from cardgen.cli.options import card_ids, cards_called, today_option
from cardgen.cli.register_access import (
    end_unknown,
    name_of,
    opened_register,
    read_or_end,
    register_option,
    state_of,
    trouble,
)

if TYPE_CHECKING:
    from cardgen.issuing.part_of_deck import OtherCards, PartOfDeck
    from cardgen.issuing.reprint_deck import Wanted


@click.command(name="reprint")
@click.argument("code")
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="DIR", required=True, help="Folder for the deck's folder."
)
@click.option(
    "--card", "cards", multiple=True, metavar="CARD", help="Only this card, by id or title; again for more."
)
@click.option("--job", metavar="NAME", help='Only the cards of a job, such as "track day".')
@click.option("--for-records", is_flag=True, help="Also where the deck is not current; not for the bench.")
@register_option
@today_option
def command(
    code: str,
    out: Path,
    cards: tuple[str, ...],
    job: str | None,
    for_records: bool,
    register: Path | None,
    today: date,
) -> None:
    """Place the files of an issued deck again, or some of its cards.

    The kept bytes are checked and copied; nothing is built anew. With --card or --job the pages of those
    cards alone are taken out of the kept PDFs, every mark as it was issued, into files whose names say
    that they are a part. A deck that is not current is refused, unless it is wanted for the records.
    """
    with layouts_blamed():
        wanted = _wanted(card_ids(cards), job)
    read = read_or_end(code)
    from cardgen.cli.report import printable
    from cardgen.issuing.part_of_deck import OtherCards
    from cardgen.issuing.reprint_deck import NotCurrent, reprint
    from cardgen.register.currency import UnknownCode
    from cardgen.register.errors import RegisterTrouble

    with opened_register(register, "read") as book:
        made = reprint(book, read, out, today, for_records=for_records, wanted=wanted)
    if isinstance(made, RegisterTrouble):
        raise trouble(made)
    if isinstance(made, UnknownCode):
        raise end_unknown(code)
    if isinstance(made, OtherCards):
        raise _not_there(made)
    where = f"{name_of(made.standing.deck)}: {state_of(made.standing)}."
    if isinstance(made, NotCurrent):
        click.echo(f"{where} Nothing was placed.", err=True)
        click.echo("For the records, and never for the bench, add --for-records.", err=True)
        raise click.exceptions.Exit(Exit.NOT_CURRENT)
    click.echo(printable(str(made.folder)))
    if made.part and wanted:
        _tell_part(made.part, wanted)
    if made.standing.state != "current":
        click.echo(f"{where} For the records only: do not take these cards to a bench.", err=True)


def _wanted(cards: tuple[str, ...], job: str | None) -> Wanted | None:
    """Put together which cards are wanted; ends the command for a job that nobody knows."""
    from cardgen.issuing.jobs import JobsError, jobs
    from cardgen.issuing.reprint_deck import Wanted

    if job is None and not cards:
        return None
    try:
        known = jobs() if job is not None else {}
    except (JobsError, OSError) as fault:
        raise Refused(f"The layouts are at fault: {fault}. Nothing was placed.") from fault
    name = " ".join((job or "").casefold().replace("-", " ").split())
    if job is not None and name not in known:
        listed = "\n".join(f'  "{each}": {", ".join(ids)}' for each, ids in known.items())
        none = f'No job is called "{job}".' if name else "--job needs the name of a job."
        raise click.UsageError(f"{none} Jobs and their cards:\n{listed}")
    once = tuple(dict.fromkeys(cards))
    return Wanted("+".join([*([name.replace(" ", "-")] if name else []), *once]), once, known.get(name, ()))


def _not_there(found: OtherCards) -> click.UsageError:
    """Say which cards a deck has not got, why, and which it has."""
    from cardgen.cli.report import printable
    from cardgen.spec.nearest import nearest

    said = []
    for card in found.asked:
        if card in found.left_out:
            said.append(f"{card} was left out of this deck: {found.left_out[card]}.")
        else:
            near = nearest(card, found.known)
            said.append(f'This deck has no card "{card}".' + (f' Did you mean "{near}"?' if near else ""))
    return click.UsageError(printable(f"{' '.join(said)} Its cards are {cards_called(found.known)}."))


def _tell_part(part: PartOfDeck, wanted: Wanted) -> None:
    from cardgen.cli.report import printable

    click.echo(printable(f"Only a part of the deck: {', '.join(part.cards)}."))
    lacking = [card for card in wanted.if_there if card not in part.cards]
    if lacking:
        click.echo(printable(f"This deck has no {', '.join(lacking)}."), err=True)
