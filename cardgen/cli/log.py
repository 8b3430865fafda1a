"""``cardgen log``: add entries, show them, learn from the track runs, draw how things went."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from cardgen.cli.errors import Refused, Trouble
from cardgen.cli.exits import Exit
from cardgen.cli.open_spec import layouts_blamed, named
from cardgen.cli.options import json_option, today_option
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
    from cardgen.logbook.adding import Kept
    from cardgen.logbook.keeping import IssuedDeck, LogEntry
    from cardgen.logbook.track_learning import Learned
    from cardgen.register.code import Code
    from cardgen.register.database import Register
    from cardgen.spec.problem import Problem


@click.group(name="log")
def command() -> None:
    """Keep log entries and learn from them."""


@command.command(name="add")
@click.argument("rotor", metavar="CODE|SPEC")
@click.argument("entry", type=click.Path(path_type=Path, readable=False), metavar="ENTRY")
@click.option(
    "--corrects", type=click.IntRange(1), metavar="N", help="The entry that this one is read in place of."
)
@click.option("--as-read", is_flag=True, help="Keep odd numbers without being asked: they were read so.")
@register_option
@today_option
def add_entry(
    rotor: str, entry: Path, corrects: int | None, as_read: bool, register: Path | None, today: date
) -> None:
    """Check an entry from the form against its deck and keep it.

    ENTRY is the file that the form saved, or one with the lines of text it showed. An entry with anything
    wrong in it is not kept. Numbers that are odd for this rotor are asked about
    first. The same entry added again changes nothing; a correction leaves the entry it corrects in the log.
    """
    from cardgen.logbook.adding import Asked, Kept, add
    from cardgen.logbook.partial_entry import Partly, read_partly
    from cardgen.register.errors import RegisterTrouble

    read = read_partly(_bytes_of(entry), str(entry), today)
    if isinstance(read, tuple):
        _end_refused(read)
    try:
        with opened_register(register, "write") as book:
            set_id, code = _rotor(book, rotor, today)
            made = add(
                book, read, str(entry), today, set_id=set_id, code=code, corrects=corrects, as_read=as_read
            )
            if isinstance(made, Asked) and _is_read_so(made.questions):
                made = add(
                    book, read, str(entry), today, set_id=set_id, code=code, corrects=corrects, as_read=True
                )
        if isinstance(made, Asked):
            raise Refused("Nothing was kept. Read again; if it is right, add it with --as-read.")
        if isinstance(made, RegisterTrouble):
            raise trouble(made)
    except (Trouble, click.exceptions.Exit):
        # What is wrong with the entry is known, whatever else stands in the way.
        if isinstance(read, Partly):
            _end_refused(read.problems)
        raise
    if not isinstance(made, Kept):
        _end_refused(made)
    _tell(made)


def _is_read_so(questions: Sequence[str]) -> bool:
    """Tell what is odd and ask whether it was read so; without a terminal the answer is no."""
    from cardgen.cli.report import printable

    for each in questions:
        click.echo(f"Is this right? {printable(each)}.", err=True)
    if not sys.stdin.isatty():
        return False
    return click.confirm("Was all of it read so?", default=False, err=True)


def _bytes_of(path: Path) -> bytes:
    from cardgen.cli.report import printable
    from cardgen.logbook.entry_file import LARGEST
    from cardgen.plain_file import read_plain, why_unread

    try:
        return read_plain(path, LARGEST)
    except (OSError, ValueError) as error:
        raise Trouble(f"{printable(str(path))}: {why_unread(error)}. Nothing was kept.") from error


def _end_refused(problems: Sequence[Problem]) -> NoReturn:
    from cardgen.cli.report import count, problem_text, width

    for each in problems:
        click.echo(problem_text(each, width()) + "\n", err=True)
    click.echo(f"Nothing was kept: {count(problems)}.", err=True)
    raise click.exceptions.Exit(Exit.REFUSED)


def _tell(made: Kept) -> None:
    from cardgen.cli.report import printable

    what = "kept" if made.new else "was there already; nothing changed"
    click.echo(f"Entry {made.row.id} of {name_of(made.deck)}: {what}.")
    for outside in made.outside:
        click.echo(f"OUT OF LIMIT: {printable(outside.words())}", err=True)
    for doubt in made.doubts:
        click.echo(f"Look again: {printable(doubt)}.", err=True)
    if made.standing.state != "current":
        click.echo(f"The card used is not current: {state_of(made.standing)}.", err=True)
        if made.used_after:
            click.echo(
                "WARNING: it was no longer current on the day of the work. Check what was done.", err=True
            )


def _rotor(book: Register, asked: str, today: date) -> tuple[str, Code | None]:
    """Tell which rotor is meant, and which of its decks where a code was given."""
    from cardgen.register.code import Mistyped, read_code

    path = Path(asked)
    if isinstance(read_code(asked), Mistyped) and (path.suffix == ".toml" or "/" in asked or path.is_file()):
        return named(path, today), None
    code = read_or_end(asked)
    deck = book.by_code(code)
    if deck is None:
        raise end_unknown(asked)
    return deck.set_id, code


@command.command(name="show")
@click.argument("rotor", metavar="CODE|SPEC")
@click.option("--csv", "form", flag_value="csv", help="Print CSV, one line of a record a row.")
@click.option("--json", "form", flag_value="json", help="Print JSON for other programs.")
@click.option("--html", "form", flag_value="html", help="Print one page for a browser.")
@register_option
@today_option
def show_entries(rotor: str, form: str | None, register: Path | None, today: date) -> None:
    """Show the entries of a rotor, the oldest first."""
    from cardgen.cli.report import print_json, printable
    from cardgen.logbook.records import shown, to_csv, to_data, to_html, to_text

    with opened_register(register, "read") as book:
        set_id, entries, _ = _log(book, rotor, today)
    records = shown(entries)
    if form == "json":
        print_json(to_data(records))
    elif form == "csv":
        click.echo(to_csv(records).encode(), nl=False)
    elif form == "html":
        click.echo(to_html(records, set_id).encode(), nl=False)
    else:
        for line in to_text(records).splitlines() or ["There is no entry."]:
            click.echo(printable(line))


def _log(book: Register, rotor: str, today: date) -> tuple[str, tuple[LogEntry, ...], IssuedDeck]:
    """Read all entries of the rotor that is meant, and its newest deck."""
    from cardgen.logbook.keeping import entries_of, issued_deck
    from cardgen.register.errors import RegisterTrouble

    set_id, _ = _rotor(book, rotor, today)
    newest = book.newest(set_id)
    if newest is None:
        raise Refused(f"No deck of {set_id} is in the register, so there is no log of it.")
    deck = issued_deck(book, newest)
    if isinstance(deck, RegisterTrouble):
        raise trouble(deck)
    entries = entries_of(book, set_id)
    if isinstance(entries, RegisterTrouble):
        raise trouble(entries)
    return set_id, entries, deck


@command.command(name="fit")
@click.argument("rotor", metavar="CODE|SPEC")
@click.option(
    "--sheet", type=click.Path(path_type=Path), metavar="FILE", help="Print the next step, for one run."
)
@json_option
@register_option
@today_option
def fit_runs(rotor: str, sheet: Path | None, as_json: bool, register: Path | None, today: date) -> None:
    """Tell what the track runs say: whether to go on, and this rotor's own rate.

    Nothing here is a limit, and the maker's table stays as it is. A next step is for one run.
    """
    from cardgen.cli.report import print_json, printable
    from cardgen.logbook.fit_report import data_of, lines_of
    from cardgen.logbook.history import history_of
    from cardgen.logbook.track_learning import learn

    with opened_register(register, "read") as book:
        _, entries, deck = _log(book, rotor, today)
        _, asked = _rotor(book, rotor, today)
        where = _standing_words(book, deck, today)
    if asked and asked != deck.row.code:
        click.echo(
            f"Code {asked} is out of use; the runs are told by the newest deck: {name_of(deck.row)}.", err=True
        )
    elif where:
        click.echo(where, err=True)
    learned = learn(history_of(entries, deck))
    if as_json:
        print_json(data_of(learned))
    else:
        for line in lines_of(learned):
            click.echo(printable(line))
    if sheet is None:
        return
    if where:
        raise Refused(f"{where} No sheet was made.")
    if learned.step is None:
        raise Refused("No sheet was made: no step may be made.")
    _place_sheet(sheet, learned, deck, today)


def _standing_words(book: Register, deck: IssuedDeck, today: date) -> str:
    """Say why the newest deck is not to be worked from; nothing where it is current."""
    from cardgen.register.currency import verify_code
    from cardgen.register.errors import RegisterTrouble
    from cardgen.register.state import Standing

    found = verify_code(book, deck.row.code, today)
    if isinstance(found, RegisterTrouble):
        raise trouble(found)
    assert isinstance(found, Standing)
    return "" if found.state == "current" else f"{name_of(deck.row)}: {state_of(found)}."


def _place_sheet(path: Path, learned: Learned, deck: IssuedDeck, today: date) -> None:
    from cardgen.cli.files import new
    from cardgen.cli.report import printable
    from cardgen.logbook.next_step_sheet import next_sheet

    with layouts_blamed():
        made = next_sheet(learned, deck, today)
    if not isinstance(made, bytes):
        lines = "\n".join(f"  {each}" for each in made.lines)
        raise Refused(f"The sheet cannot be printed as computed:\n{lines}\nNo sheet was made.")
    new(path, made)
    click.echo(printable(str(path)), err=True)


@command.command(name="plot")
@click.argument("rotor", metavar="CODE|SPEC")
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="DIR", required=True, help="Folder to write into."
)
@register_option
@today_option
def plot_log(rotor: str, out: Path, register: Path | None, today: date) -> None:
    """Draw the track runs and the trends of play and shake, as PDF and SVG."""
    from cardgen.cli.files import place
    from cardgen.cli.report import printable
    from cardgen.logbook.plots import plots

    with opened_register(register, "read") as book:
        _, entries, deck = _log(book, rotor, today)
    files = plots(entries, deck, today)
    if not isinstance(files, dict):
        raise Refused("The charts cannot be printed:\n" + "\n".join(f"  {each}" for each in files.lines))
    if not files:
        raise Refused("The log holds nothing that could be drawn yet.")
    place(out, files, unmade="No chart was made.")
    for name in files:
        click.echo(printable(str(out / name)))
