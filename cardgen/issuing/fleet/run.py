"""The order of a fleet's work: look at all, refuse what stands against another, make what is left.

Nothing here prints. Each step gives its results one by one, so that whoever watches can say how
far it is; what it keeps of a rotor is a few hundred bytes, however many rotors there are.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from hashlib import sha256
from pathlib import Path

from cardgen.issuing.fleet.already import all_already
from cardgen.issuing.fleet.cross_checks import Odd, duplicates, odd_ones
from cardgen.issuing.fleet.memory import Memory
from cardgen.issuing.fleet.pool import Failed, Pool
from cardgen.issuing.fleet.rotor_facts import RotorFacts, RotorIdentity
from cardgen.issuing.fleet.tasks import DraftTask, Issue, Outcome, Survey, draft_folder
from cardgen.issuing.folder import is_draft
from cardgen.plain_file import read_plain
from cardgen.register.database import Register
from cardgen.spec.problem import Problem

#: The largest file that is read, as for one rotor.
_LARGEST = 1024 * 1024


@dataclass
class FleetRotor:
    """One specification of the fleet, and what is known of it so far.

    ``file`` is its path for messages, ``short`` the same seen from the fleet's folder, for paper.
    """

    path: Path
    file: str
    short: str = ""
    sha256: str = ""
    identity: RotorIdentity | None = None
    facts: RotorFacts | None = None
    warnings: tuple[Problem, ...] = ()
    outcome: Outcome | None = None

    @property
    def name(self) -> str:
        """Its set id, or its file where that cannot be read."""
        return (self.identity.set_id if self.identity else "") or self.file


@dataclass
class Fleet:
    """Every specification below a folder, in the order of their paths."""

    today: date
    rotors: list[FleetRotor]
    pool: Pool
    memory: Memory | None = None
    odd: tuple[Odd, ...] = field(default=())

    def survey(self) -> Iterator[FleetRotor]:
        """Look at every specification, then at all of them together; give each as it is done."""
        waiting: dict[str, FleetRotor] = {}
        known: list[FleetRotor] = []

        def tasks() -> Iterator[Survey]:
            for rotor in self.rotors:
                text = self._read(rotor)
                if text is None or rotor.facts is not None:
                    known.append(rotor)
                    continue
                waiting[rotor.file] = rotor
                yield Survey(rotor.file, text, self.today)

        for task, found in self.pool.results(tasks()):
            rotor = waiting.pop(task.file)
            if isinstance(found, Failed):
                rotor.outcome = Outcome("failed", trouble=found.what)
            else:
                rotor.identity, rotor.facts, rotor.warnings = found.identity, found.facts, found.warnings
                if found.facts is None:
                    rotor.outcome = Outcome("refused", problems=found.problems)
                elif self.memory:
                    self.memory.learn_facts(rotor.sha256, found.facts, self.today.isoformat())
            yield rotor
        yield from known
        if not self.pool.stopping:
            self._together()

    def _read(self, rotor: FleetRotor) -> bytes | None:
        text = read_whole(rotor.path)
        if isinstance(text, str):
            rotor.outcome = Outcome("failed", trouble=f"{rotor.file}: {text}")
            return None
        rotor.sha256 = sha256(text).hexdigest()
        rotor.facts = self.memory.facts(rotor.sha256, self.today.isoformat()) if self.memory else None
        rotor.identity = rotor.facts.identity if rotor.facts else None
        return text

    def _together(self) -> None:
        found = duplicates({rotor.file: rotor.identity for rotor in self.rotors if rotor.identity})
        for rotor in self.rotors:
            if problems := found.get(rotor.file):
                before = rotor.outcome.problems if rotor.outcome else ()
                found_here = sorted((*with_lines(problems, rotor.path), *before))
                rotor.outcome = Outcome("refused", problems=tuple(found_here))
        clean = ((rotor.file, rotor.name, rotor.facts.measures) for rotor in self.rotors if rotor.facts)
        self.odd = odd_ones(clean)

    def draft(self, out: Path) -> Iterator[FleetRotor]:
        """Draft every clean rotor whose draft is not there yet."""
        for rotor in self._open():
            folder = out / draft_folder(rotor.name)
            if self.memory and self.memory.has_draft(folder, rotor.sha256):
                rotor.outcome = Outcome("unchanged", folder=str(folder))
                yield rotor
        for rotor in self._make(lambda rotor, text: DraftTask(rotor.file, text, self.today, out)):
            made = rotor.outcome
            if self.memory and made and made.state == "drafted":
                self.memory.learn_draft(draft_folder(rotor.name), rotor.sha256, made.files or {})
            yield rotor

    def old_drafts(self, out: Path) -> tuple[Path, ...]:
        """Name folders with a draft of no rotor of this run, or of one that was refused since.

        A specification that was deleted leaves its draft behind; nobody is to read it as a newer one's.
        """
        good = {"drafted", "unchanged"}
        kept = {
            draft_folder(rotor.name)
            for rotor in self.rotors
            if rotor.outcome is None or rotor.outcome.state in good
        }
        return tuple(
            folder
            for folder in sorted(out.glob(draft_folder("*")))
            if folder.name not in kept and is_draft(folder)
        )

    def issue(
        self, book: Register, made_with: str, out: Path, approved_by: str, reason: str
    ) -> Iterator[FleetRotor]:
        """Issue every clean rotor whose current deck was not made from the same bytes in the same way."""
        for rotor, outcome in all_already(book, self._open(), made_with, out, self.today):
            rotor.outcome = outcome
            yield rotor
            if outcome.stops:
                return
        where = book.path
        yield from self._make(
            lambda rotor, text: Issue(rotor.file, text, self.today, out, where, approved_by, reason)
        )

    def _open(self) -> list[FleetRotor]:
        return [rotor for rotor in self.rotors if rotor.outcome is None and rotor.facts is not None]

    def _make(self, task_of: Callable[[FleetRotor, bytes], DraftTask | Issue]) -> Iterator[FleetRotor]:
        waiting: dict[str, FleetRotor] = {}
        unreadable: list[FleetRotor] = []

        def tasks() -> Iterator[DraftTask | Issue]:
            for rotor in self._open():
                text = read_whole(rotor.path)
                if isinstance(text, str) or sha256(text).hexdigest() != rotor.sha256:
                    rotor.outcome = Outcome("failed", trouble=f"{rotor.file}: the file changed during this run")
                    unreadable.append(rotor)
                    continue
                waiting[rotor.file] = rotor
                yield task_of(rotor, text)

        for task, made in self.pool.results(tasks()):
            rotor = waiting.pop(task.file)
            rotor.outcome = Outcome("failed", trouble=made.what) if isinstance(made, Failed) else made
            if rotor.outcome.stops:
                self.pool.stop()
            yield rotor
        yield from unreadable

    def left(self) -> int:
        """Count the clean rotors that nothing has been done for."""
        return len(self._open())


def with_lines(problems: Sequence[Problem], path: Path) -> tuple[Problem, ...]:
    """Add line and column to problems that name only their key, where the file can still be read."""
    from cardgen.spec.positions import Positions

    text = read_whole(path)
    if isinstance(text, str):
        return tuple(problems)
    positions = Positions(text)
    places = [positions.of(tuple(each.key.split("."))) for each in problems]
    return tuple(
        replace(each, line=line, column=column) for each, (line, column) in zip(problems, places, strict=True)
    )


def read_whole(path: Path) -> bytes | str:
    """Read a specification's bytes, or say why they cannot be read."""
    try:
        text = read_plain(path, _LARGEST)
    except OSError as error:
        return f"this file cannot be read: {(error.strerror or type(error).__name__).lower()}"
    return (
        text if len(text) <= _LARGEST else "this file is larger than 1 MiB; a specification is a few kilobytes"
    )


def find(folder: Path, leave_out: Path | None = None) -> list[FleetRotor]:
    """Find every specification below a folder: files that end in ``.toml`` and are not hidden.

    Nothing inside ``leave_out`` is looked at. Raises `OSError` where the folder cannot be read.
    """
    next(folder.iterdir(), None)
    out = leave_out.resolve() if leave_out else None
    found: list[Path] = []
    for parent, folders, names in os.walk(folder):
        here = Path(parent)
        folders[:] = sorted(
            name for name in folders if not name.startswith(".") and (here / name).resolve() != out
        )
        found += [here / name for name in names if name.lower().endswith(".toml") and not name.startswith(".")]
    return [FleetRotor(path, str(path), path.relative_to(folder).as_posix()) for path in sorted(found)]
