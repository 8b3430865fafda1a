"""``cardgen issue``: make the cards, prove them, and enter them in the register as the current deck."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.cli.errors import Trouble
from cardgen.cli.exits import Exit
from cardgen.cli.open_spec import computed, layouts_blamed, opened
from cardgen.cli.options import spec_argument, today_option
from cardgen.cli.register_access import name_of, opened_register, register_option, show_recall, trouble

if TYPE_CHECKING:
    from cardgen.issuing.issue_request import Issued
    from cardgen.register.errors import RegisterTrouble
    from cardgen.register.rows import DeckRow
    from cardgen.spec.model import RotorSpec


@click.command(name="issue")
@spec_argument
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="DIR", required=True, help="Folder for the deck's folder."
)
@click.option("--approved-by", metavar="TEXT", required=True, help="Who answers for this deck.")
@click.option("--reason", metavar="TEXT", required=True, help="Why it is issued; kept for ever.")
@click.option(
    "--read-by", metavar="TEXT", default="", help="Who has read it; only if not kept by cardgen read."
)
@click.option("--read-check", metavar="CHECK", default="", help="The check from the sheet that was read.")
@click.option(
    "--copy",
    "copies",
    multiple=True,
    metavar='"EDITION: PLACE"',
    help='A copy beside those of the file, such as "wall: hangar, north wall"; again for more.',
)
@register_option
@today_option
def command(
    spec: Path,
    out: Path,
    approved_by: str,
    reason: str,
    read_by: str,
    read_check: str,
    copies: tuple[str, ...],
    register: Path | None,
    today: date,
) -> None:
    """Issue the cards: number, prove, keep and place them.

    Somebody else than who answers for it must have read the specification against its papers; see
    cardgen read. The deck becomes its rotor's current one, and the copies of the one before it are listed to be
    taken down. Files land in DIR in a folder of their own, which must not exist yet.
    """
    source = opened(spec, today)
    from cardgen.cli.report import show_problems, show_warnings
    from cardgen.issuing.issue_deck import issue
    from cardgen.issuing.issue_request import Issued, IssueRefused
    from cardgen.issuing.pipeline import Pipeline, request_of
    from cardgen.proof.fork import free_cores
    from cardgen.register.errors import RegisterTrouble

    rotor = _with_copies(source.spec, copies) if copies else source.spec
    asked = request_of(rotor, today, approved_by, reason)
    request = replace(asked, read_by=read_by, typed_check=read_check)
    figures = computed(rotor)
    build = Pipeline(rotor, figures, source.warnings, today, str(spec), approved_by, free_cores())
    if bool(read_by) != bool(read_check):
        raise click.UsageError("--read-by and --read-check belong together: give both, or neither.")
    with opened_register(register, "create") as book, layouts_blamed():
        made = issue(book, request, build, out, _tell_entered)
    if isinstance(made, RegisterTrouble):
        raise _nothing_issued(made)
    if isinstance(made, IssueRefused):
        show_problems(made.problems)
        raise click.exceptions.Exit(Exit.REFUSED)
    # One rotor is always issued when it is asked for; only a run over many leaves out what is unchanged.
    assert isinstance(made, Issued)
    show_warnings(source.warnings)
    _tell(made)
    if not request.places:
        click.echo(
            "No copy is listed, so none can be called back: list them in [print] or with --copy.", err=True
        )


def _with_copies(spec: RotorSpec, typed: Sequence[str]) -> RotorSpec:
    """Add the copies named on the command line; ends the command where one is no copy of this deck."""
    from pydantic import ValidationError

    from cardgen.layouts_root import edition_names
    from cardgen.spec.model.running import Copy

    made = spec.print.editions if spec.print else edition_names()
    for each in typed:
        edition, _, place = (part.strip() for part in each.partition(":"))
        try:
            copy = Copy.model_validate({"edition": edition, "place": place})
        except ValidationError:
            copy = None
        if copy is None or edition not in made:
            raise click.UsageError(
                f'--copy takes an edition and a place, such as "wall: hangar, north wall", not "{each}". '
                f"The editions of this deck are {', '.join(made)}."
            )
        if spec.print and copy in spec.print.copies:
            raise click.UsageError(f'The copy "{each}" is listed twice; a recall could not tell them apart.')
        spec = spec.with_copies((copy,))
    return spec


def _nothing_issued(found: RegisterTrouble) -> Trouble:
    """Say a trouble that stopped the issue; after a disk that failed only the register itself knows."""
    said = trouble(found).message
    return Trouble(said if found.kind == "input/output" else f"{said} Nothing was issued.")


def _tell_entered(deck: DeckRow) -> None:
    """Tell the code as soon as the deck is issued: whatever fails afterwards, it is known."""
    # Where nobody reads any more, what was entered must still be placed.
    with suppress(OSError):
        click.echo(f"Issued {name_of(deck)}, use until {deck.use_until}.")


def _tell(made: Issued) -> None:
    from cardgen.cli.report import printable

    if made.folder is not None:
        click.echo(printable(str(made.folder)))
    show_recall(made.recall)
    _tell_likeness(made)
    if made.trouble is not None:
        problem = trouble(made.trouble)
        raise Trouble(
            f"The deck is issued, but its folder could not be placed.\n{problem.message}\n"
            f"Then run: cardgen reprint {made.deck.code} --out DIR"
        )


def _tell_likeness(made: Issued) -> None:
    from cardgen.cli.report import printable

    before, gone = made.before, made.withdrawn
    if before is None or not (made.same_as or before.spec_sha256 == made.deck.spec_sha256):
        return
    since = f"revision {before.revision}, code {before.code}"
    said = (
        f"Nothing changed since {since}: no number and no word of these cards differs."
        if made.same_as
        else f"The specification has not changed since {since}. To see what has: "
        f"cardgen compare {before.code} {made.deck.code}."
    )
    click.echo(f"{said} Code {before.code} is out of use all the same: take its cards down.", err=True)
    if gone is not None:
        click.echo(
            f"WARNING: revision {before.revision} was withdrawn on {gone.day}, "
            f"because: {printable(gone.reason)}.\n"
            "These cards say the same. Withdraw this deck too, unless that reason no longer holds.",
            err=True,
        )
