"""What a worker does with one specification: look at it, draft it, issue it.

Everything heavy is imported here, inside the calls, so that a worker pays for it once and the
program that hands out the work never does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Literal, TypeAlias

from cardgen.issuing.fleet.rotor_facts import RotorFacts, RotorIdentity, facts_of, identity_of
from cardgen.register.errors import RegisterTrouble
from cardgen.spec.problem import Problem

if TYPE_CHECKING:
    from cardgen.spec.load import Loaded
    from cardgen.spec.model import RotorSpec

RotorState: TypeAlias = Literal[
    "clean", "drafted", "issued", "placed again", "unchanged", "not read", "refused", "failed"
]


@dataclass(frozen=True)
class Surveyed:
    """What was found in one specification; ``facts`` are there exactly when nothing stands against it."""

    identity: RotorIdentity | None
    facts: RotorFacts | None
    problems: tuple[Problem, ...]
    warnings: tuple[Problem, ...]


@dataclass(frozen=True)
class Outcome:
    """What came of one specification.

    ``trouble`` says what the system refused; where ``stops`` is set it would refuse every other
    deck too. ``files`` are the sizes of what was written, by name.
    """

    state: RotorState
    revision: int | None = None
    code: str = ""
    folder: str = ""
    problems: tuple[Problem, ...] = ()
    trouble: str = ""
    stops: bool = False
    files: Mapping[str, int] | None = None


@dataclass(frozen=True)
class Survey:
    """Read one specification and judge it alone."""

    file: str
    text: bytes
    today: date

    def __call__(self) -> Surveyed:
        """Read it."""
        from cardgen.spec.load import load_bytes

        loaded = load_bytes(self.text, self.file, self.today)
        facts = facts_of(loaded.spec, len(loaded.warnings)) if loaded.spec is not None else None
        identity = facts.identity if facts else identity_of(self.text)
        return Surveyed(identity, facts, loaded.problems, loaded.warnings)


@dataclass(frozen=True)
class DraftTask:
    """Make one rotor's cards, marked NOT ISSUED, in ``out/<set_id>-draft/``."""

    file: str
    text: bytes
    today: date
    out: Path

    def __call__(self) -> Outcome:
        """Make, prove and place them."""
        return _made(self.file, self.text, self.today, self._draft)

    def _draft(self, spec: RotorSpec, loaded: Loaded) -> Outcome:
        from cardgen.deck.build import build_deck
        from cardgen.deck.card import Stamp
        from cardgen.figures import compute
        from cardgen.issuing.folder import place_draft
        from cardgen.issuing.pipeline import against_problem
        from cardgen.press.edition import editions_of
        from cardgen.proof.prove import Against, print_proved

        deck = build_deck(spec, compute(spec), loaded.warnings, Stamp())
        printed = print_proved(deck, editions_of(spec))
        if isinstance(printed, Against):
            found = tuple(against_problem(self.file, printed.kind, line) for line in printed.lines)
            return Outcome("refused", problems=found)
        placed = place_draft(self.out, draft_folder(spec.rotor.set_id), printed)
        if isinstance(placed, RegisterTrouble):
            return _failed(placed)
        sizes = {name: len(content) for name, content in printed.items()}
        return Outcome("drafted", folder=str(placed), files=sizes)


@dataclass(frozen=True)
class Issue:
    """Issue one rotor's next deck, as the command for one rotor does."""

    file: str
    text: bytes
    today: date
    out: Path
    register: Path
    approved_by: str
    reason: str

    def __call__(self) -> Outcome:
        """Build, prove, keep, enter and place it."""
        return _made(self.file, self.text, self.today, self._issue)

    def _issue(self, spec: RotorSpec, loaded: Loaded) -> Outcome:
        from cardgen.figures import compute
        from cardgen.issuing.issue_deck import issue
        from cardgen.issuing.issue_request import IssueRefused, Unchanged
        from cardgen.issuing.pipeline import Pipeline, request_of
        from cardgen.issuing.reading import UNREAD
        from cardgen.register.open_register import open_register

        request = replace(request_of(spec, self.today, self.approved_by, self.reason), only_changed=True)
        build = Pipeline(spec, compute(spec), loaded.warnings, self.today, self.file, self.approved_by)
        book = open_register(self.register, "create")
        if isinstance(book, RegisterTrouble):
            return _failed(book)
        with book:
            made = issue(book, request, build, self.out)
        if isinstance(made, RegisterTrouble):
            return _failed(made)
        if isinstance(made, IssueRefused):
            # Among many rotors a problem says whose it is, also where the file is not to blame.
            found = tuple(replace(each, file=self.file) for each in made.problems)
            unread = all(each.rule in UNREAD for each in found)
            return Outcome("not read" if unread else "refused", problems=found)
        if isinstance(made, Unchanged):
            deck = made.deck
            return Outcome("unchanged", deck.revision, str(deck.code), str(self.out / deck.folder))
        why = (
            "" if made.trouble is None else f"issued, but its folder could not be placed: {words(made.trouble)}"
        )
        folder = "" if made.folder is None else str(made.folder)
        return Outcome("issued", made.deck.revision, str(made.deck.code), folder, trouble=why)


def draft_folder(set_id: str) -> str:
    """Name a rotor's folder of drafts; no issued deck can have this name."""
    return f"{set_id}-draft"


def words(found: RegisterTrouble) -> str:
    """Say a trouble and what to do about it in one line."""
    return f"{found.file}: {found.why}. What to do: {found.write}."


def _made(file: str, text: bytes, today: date, make: Callable[[RotorSpec, Loaded], Outcome]) -> Outcome:
    from cardgen.deck.fault import BuildFault
    from cardgen.press.edition import EditionError
    from cardgen.spec.load import load_bytes

    loaded = load_bytes(text, file, today)
    if loaded.spec is None:
        return Outcome("refused", problems=loaded.problems)
    try:
        return make(loaded.spec, loaded)
    except (BuildFault, EditionError) as fault:
        return Outcome("failed", trouble=f"the layouts are at fault, not the specification: {fault}")


def _failed(found: RegisterTrouble) -> Outcome:
    return Outcome("failed", trouble=words(found), stops=found.kind in _MEETS_ALL)


#: What would meet the next deck too. A kept file that is gone, or a folder in the way, meets one deck.
_MEETS_ALL = frozenset({"newer version", "older", "clock", "busy", "read-only", "disk full", "input/output"})
