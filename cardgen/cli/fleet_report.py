"""What a run over a fleet shows: how far it is, one line a rotor where nobody watches, and the sum."""

from __future__ import annotations

import os
import shlex
import sys
import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from cardgen.cli.exits import Exit
from cardgen.cli.report import (
    as_data,
    colour_wanted,
    count,
    print_json,
    printable,
    problem_text,
    width,
)
from cardgen.spec.counted import counted

if TYPE_CHECKING:
    from cardgen.issuing.fleet.index import Index
    from cardgen.issuing.fleet.run import Fleet, FleetRotor

_ORDER = ("clean", "issued", "drafted", "placed again", "unchanged", "not read", "refused", "failed", "left")
_MEANS = {
    "clean": "nothing stands against cards",
    "issued": "new current decks",
    "drafted": "marked NOT ISSUED",
    "placed again": "issued before, their folders put back",
    "unchanged": "left as they are",
    "not read": "left until a second person has read them on paper; see cardgen read",
    "refused": "no card was made of these",
    "failed": "a file or the system failed",
    "left": "not reached; run the same command again",
}


def bar_wanted() -> bool:
    """Whether a bar can be drawn on standard error: a terminal that is not a dumb one."""
    return sys.stderr.isatty() and os.environ.get("TERM") != "dumb"


class Report:
    """Follows one run. With ``as_json`` standard output holds nothing but data.

    ``old_drafts`` are folders that hold a draft which this run has not made or found to be good.
    """

    def __init__(self, fleet: Fleet, as_json: bool) -> None:
        self._fleet = fleet
        self._as_json = as_json
        self._lines = not as_json and not bar_wanted()
        self.old_drafts: tuple[Path, ...] = ()

    def watch(self, rotors: Iterable[FleetRotor], length: int, label: str, *, tell: bool = True) -> None:
        """Go through rotors as they are done, with a bar on a terminal."""
        for rotor in _with_bar(rotors, length, label):
            if tell:
                self._tell(rotor)

    def tell_against(self) -> None:
        """Tell which rotors were refused before anything was made."""
        for rotor in self._fleet.rotors:
            if rotor.outcome:
                self._tell(rotor)

    def tell_all(self) -> None:
        """Tell of every rotor, in the order of the files."""
        for rotor in self._fleet.rotors:
            self._tell(rotor)

    def _tell(self, rotor: FleetRotor) -> None:
        if self._lines:
            file = "" if rotor.name == rotor.file else f" ({rotor.file})"
            click.echo(printable(f"{rotor.name}: {_what(rotor)}{file}"))

    def end(self, index: Index | None = None, out: Path | None = None) -> Exit:
        """Say what stands against what, then the sum, and give the exit code."""
        self._say_problems()
        states = Counter(_state(rotor, made=index is not None) for rotor in self._fleet.rotors)
        code = self._code(states)
        if self._as_json:
            print_json(self._data(code, index))
        else:
            self._sum(states, index, out)
        if self.old_drafts and code is not Exit.INTERRUPTED:
            click.echo("Older drafts that do not belong to this run; remove them:", err=True)
            for each in self.old_drafts:
                click.echo(f"  {printable(str(each))}", err=True)
        if self._fleet.pool.stopping and code is Exit.INTERRUPTED:
            click.echo("Interrupted. What is made is whole; the same command takes up the rest.", err=True)
        return code

    def _code(self, states: Counter[str]) -> Exit:
        stopped = any(rotor.outcome and rotor.outcome.stops for rotor in self._fleet.rotors)
        if self._fleet.pool.stopping and not stopped:
            return Exit.INTERRUPTED
        troubled = any(rotor.outcome and rotor.outcome.trouble for rotor in self._fleet.rotors)
        if troubled or states["failed"]:
            return Exit.TROUBLE
        return Exit.REFUSED if states["refused"] or states["not read"] else Exit.DONE

    def _say_problems(self) -> None:
        columns, colour = width(), colour_wanted(sys.stderr)
        for rotor in self._fleet.rotors:
            outcome = rotor.outcome
            for problem in outcome.problems if outcome and not self._as_json else ():
                click.echo(problem_text(problem, columns, colour) + "\n", err=True, color=colour)
            if outcome and outcome.trouble:
                click.echo(printable(f"{rotor.name}: {outcome.trouble}") + "\n", err=True)
        for odd in () if self._as_json else self._fleet.odd:
            text = printable(f"note: {odd.words()}")
            click.echo(textwrap.fill(text, columns, subsequent_indent="  ") + "\n", err=True)

    def _sum(self, states: Counter[str], index: Index | None, out: Path | None) -> None:
        for state in _ORDER:
            if states[state]:
                click.echo(f"{states[state]:>6}  {state:<13} {_MEANS[state]}")
        click.echo(f"{len(self._fleet.rotors):>6}  specifications")
        warned = [rotor for rotor in self._fleet.rotors if rotor.facts and rotor.facts.warnings]
        if warned:
            example = shlex.quote(printable(warned[0].file))
            click.echo(f"{len(warned):>6}  with warnings that their covers carry; cardgen check prints them:")
            click.echo(f"{'':>8}cardgen check {example}{' (and others)' if len(warned) > 1 else ''}")
        if index is not None and out is not None:
            if index.recall:
                copies = "1 copy" if len(index.recall) == 1 else f"{len(index.recall)} copies"
                click.echo(f"Take down and destroy {copies}; the index lists them.")
            click.echo(printable(str(out / "index.pdf")))
            click.echo(printable(str(out / "index.txt")))

    def _data(self, code: Exit, index: Index | None) -> dict[str, Any]:
        made = index is not None
        return {
            "ok": code is Exit.DONE,
            "rotors": [_rotor_data(rotor, _state(rotor, made=made)) for rotor in self._fleet.rotors],
            "notes": [
                {
                    "file": odd.file,
                    "set_id": odd.set_id,
                    "what": odd.name,
                    "value": odd.value,
                    "median": odd.middle,
                    "median_deviation": odd.deviation,
                    "unit": odd.unit,
                    "like_rotors": odd.others,
                    "alike_in": odd.among,
                }
                for odd in self._fleet.odd
            ],
            "recall": list(index.recall) if index else [],
            "old_drafts": [str(each) for each in self.old_drafts],
        }


def _with_bar(rotors: Iterable[FleetRotor], length: int, label: str) -> Iterator[FleetRotor]:
    if not bar_wanted() or not length:
        yield from rotors
        return
    with click.progressbar(
        length=length, label=label, file=sys.stderr, width=28, show_pos=True, update_min_steps=1
    ) as bar:
        for rotor in rotors:
            bar.update(1)
            yield rotor


def _state(rotor: FleetRotor, *, made: bool) -> str:
    if rotor.outcome:
        return rotor.outcome.state
    return "left" if made or rotor.facts is None else "clean"


def _what(rotor: FleetRotor) -> str:
    outcome = rotor.outcome
    if outcome is None:
        warnings = rotor.facts.warnings if rotor.facts else 0
        more = f", {counted(warnings, 'warning')}" if warnings else ""
        return _MEANS["clean" if rotor.facts else "left"] + more
    words: list[str] = [outcome.state]
    if outcome.revision is not None:
        words.append(f"revision {outcome.revision}, code {outcome.code}")
    if outcome.problems:
        words.append(count(outcome.problems))
    return ", ".join(words)


def _rotor_data(rotor: FleetRotor, state: str) -> dict[str, Any]:
    outcome = rotor.outcome
    return {
        "file": rotor.file,
        "set_id": rotor.identity.set_id if rotor.identity else None,
        "state": state,
        "revision": outcome.revision if outcome else None,
        "code": (outcome.code or None) if outcome else None,
        "folder": (outcome.folder or None) if outcome else None,
        "trouble": (outcome.trouble or None) if outcome else None,
        "problems": as_data(outcome.problems) if outcome else [],
        "warnings": rotor.facts.warnings if rotor.facts else 0,
    }
