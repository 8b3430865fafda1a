"""``cardgen fleet``: every specification below a folder, on all processors."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from cardgen.cli.errors import Refused, Trouble, reason
from cardgen.cli.options import json_option, today_option
from cardgen.cli.register_access import opened_register, register_option, trouble

if TYPE_CHECKING:
    from cardgen.issuing.fleet.index import Index
    from cardgen.issuing.fleet.pool import Pool
    from cardgen.issuing.fleet.run import Fleet, FleetRotor

Command = TypeVar("Command", bound=Callable[..., Any])


def _folder_argument(command: Command) -> Command:
    return click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))(command)


def _out_option(command: Command) -> Command:
    return click.option(
        "--out", type=click.Path(path_type=Path), metavar="OUT", required=True, help="Folder to write into."
    )(command)


def _jobs_option(command: Command) -> Command:
    return click.option(
        "--jobs",
        type=click.IntRange(1, 256),
        metavar="N",
        default=None,
        help="Worker processes; as many as there are processors unless you say.",
    )(command)


@click.group(name="fleet")
def command() -> None:
    """Check, draft or issue every rotor below a folder.

    Files that end in .toml are read, in this folder and those below it. One that is refused stops
    no other. What has not changed is left as it is, so that a run that was cut off is taken up again
    by the same command.
    """


@command.command(name="check")
@_folder_argument
@_jobs_option
@json_option
@today_option
def check(folder: Path, jobs: int | None, as_json: bool, today: date) -> None:
    """Say everything that stands against cards, in every file and between them.

    A value unlike those of like rotors is noted with the numbers; it stops nothing.
    """
    from cardgen.cli.fleet_report import Report

    with _fleet(folder, None, jobs, today) as fleet:
        report = Report(fleet, as_json)
        report.watch(fleet.survey(), len(fleet.rotors), "Reading", tell=False)
        report.tell_all()
        raise click.exceptions.Exit(report.end())


@command.command(name="draft")
@_folder_argument
@_out_option
@_jobs_option
@json_option
@today_option
def draft(folder: Path, out: Path, jobs: int | None, as_json: bool, today: date) -> None:
    """Make every rotor's cards, marked NOT ISSUED, each in a folder of its own.

    A rotor whose specification has not changed since its draft is left as it is.
    """
    from cardgen.cli.fleet_report import Report
    from cardgen.issuing.fleet.index import index_of_drafts

    with _fleet(folder, out, jobs, today) as fleet:
        report = Report(fleet, as_json)
        report.watch(fleet.survey(), len(fleet.rotors), "Reading", tell=False)
        report.tell_against()
        report.watch(fleet.draft(out), fleet.left(), "Drafting")
        report.old_drafts = fleet.old_drafts(out)
        index = index_of_drafts(fleet.rotors, [odd.words() for odd in fleet.odd], today)
        _write_index(out, index, fleet)
        raise click.exceptions.Exit(report.end(index, out))


@command.command(name="issue")
@_folder_argument
@_out_option
@click.option("--approved-by", metavar="TEXT", required=True, help="Who answers for these decks.")
@click.option("--reason", metavar="TEXT", required=True, help="Why they are issued; kept for ever.")
@register_option
@_jobs_option
@json_option
@today_option
def issue(
    folder: Path,
    out: Path,
    approved_by: str,
    reason: str,
    register: Path | None,
    jobs: int | None,
    as_json: bool,
    today: date,
) -> None:
    """Issue every rotor whose current deck is not from this very specification.

    The index lists what the register now says of each rotor, and every copy to take down. A deck
    that was withdrawn is not brought back while its specification stays the same.
    """
    from cardgen.cli.fleet_report import Report
    from cardgen.issuing.fleet.index import index_of_issued
    from cardgen.issuing.issue_request import text_refusals
    from cardgen.layouts_root import made_with
    from cardgen.register.errors import RegisterTrouble

    for option, text in (("--approved-by", approved_by), ("--reason", reason)):
        for problem in text_refusals(option, text):
            raise Refused(f"{option} {problem.read}: {problem.why}. Write {problem.write}. No card was made.")
    with _fleet(folder, out, jobs, today) as fleet, opened_register(register, "create") as book:
        report = Report(fleet, as_json)
        report.watch(fleet.survey(), len(fleet.rotors), "Reading", tell=False)
        report.tell_against()
        if not fleet.pool.stopping:
            making = fleet.issue(book, made_with(), out, approved_by, reason)
            report.watch(making, fleet.left(), "Issuing")
        odd = [each.words() for each in fleet.odd]
        index = index_of_issued(book, fleet.rotors, odd, reason, today)
        if isinstance(index, RegisterTrouble):
            raise trouble(index)
        _write_index(out, index, fleet)
        raise click.exceptions.Exit(report.end(index, out))


@command.command(name="impact")
@click.argument("document")
@_folder_argument
@register_option
@_jobs_option
@json_option
@today_option
def impact(
    document: str, folder: Path, register: Path | None, jobs: int | None, as_json: bool, today: date
) -> None:
    """Tell what a new revision of a document would touch, before anything is made.

    DOCUMENT is its id or its title as the specifications list it. Rotors, keys, cards and copies are
    listed; where a register is there, with the deck that hangs now. Nothing is written. Exit code 2
    means that no specification lists such a document, so that nothing is known of it.
    """
    from cardgen.cli.fleet_impact import show

    document = document.strip()
    if not document:
        raise click.UsageError("Name the document by its id or its title, as the specifications list it.")
    with _fleet(folder, None, jobs, today) as fleet:
        raise click.exceptions.Exit(show(fleet, document, register, as_json))


@contextmanager
def _fleet(folder: Path, out: Path | None, jobs: int | None, today: date) -> Iterator[Fleet]:
    from cardgen.cli.report import printable
    from cardgen.issuing.fleet.memory import Memory
    from cardgen.issuing.fleet.pool import Pool, processors
    from cardgen.issuing.fleet.run import Fleet, find
    from cardgen.layouts_root import made_with

    try:
        rotors = find(folder, out)
    except OSError as error:
        raise Trouble(f"{printable(str(folder))} cannot be read: {reason(error)}.") from error
    if not rotors:
        raise Trouble(f"{printable(str(folder))}: no file here or below ends in .toml.")
    memory = Memory(out, made_with()) if out is not None else None
    with Pool(jobs or processors()) as pool, _interruptible(pool):
        try:
            yield Fleet(today, rotors, pool, memory)
        finally:
            if memory and not pool.stopping:
                memory.tidy(rotor.sha256 for rotor in rotors)


@contextmanager
def _interruptible(pool: Pool) -> Iterator[None]:
    """Let Ctrl-C end the run after what is being made; a second one ends it at once."""
    import signal
    import threading

    if threading.current_thread() is not threading.main_thread():
        yield
        return

    def once(*_: object) -> None:
        pool.stop()
        signal.signal(signal.SIGINT, signal.default_int_handler)

    before = signal.signal(signal.SIGINT, once)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _write_index(out: Path, index: Index, fleet: Fleet) -> None:
    from cardgen.cli.files import place
    from cardgen.cli.report import printable
    from cardgen.issuing.fleet.index import to_text

    files, against = {"index.txt": to_text(index).encode()}, ""
    printed = _printed_index(index, fleet)
    if isinstance(printed, bytes):
        files["index.pdf"] = printed
    else:
        against = "\n".join(f"  {printable(line)}" for line in printed)
    stands = "What was made stands, but the index"
    try:
        # An older index on paper would pass for the print of this one.
        place(out, files, ("index.pdf",) if against else (), unmade="")
    except Trouble as error:
        raise Trouble(f"{stands} could not be written.\n{error.message.strip()}") from error
    if against:
        raise Trouble(
            f"{stands} could not be printed; {printable(str(out / 'index.txt'))} holds it.\n{against}"
        )


def _printed_index(index: Index, fleet: Fleet) -> bytes | tuple[str, ...]:
    """Print the index, or say in lines what stands against it."""
    from cardgen.issuing.fleet.index_sheet import print_index
    from cardgen.press.edition import EditionError

    try:
        printed = print_index(index, _paper(fleet.rotors))
    except EditionError as fault:
        return (f"the layouts are at fault: {fault}",)
    return printed if isinstance(printed, bytes) else printed.lines


def _paper(rotors: list[FleetRotor]) -> Any:
    kinds = [rotor.facts.paper for rotor in rotors if rotor.facts]
    return "ansi" if kinds.count("ansi") > len(kinds) / 2 else "iso"
