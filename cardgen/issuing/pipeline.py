"""Building a real deck for issue: compute its code, say what changed, print it and prove it."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from hashlib import sha256
from typing import Any, Literal

from cardgen import __version__
from cardgen.deck.build import build_deck
from cardgen.deck.card import Change, Deck, Stamp
from cardgen.deck.changed import mark_changes
from cardgen.figures import Figures
from cardgen.issuing.issue_request import Built, IssueRefused, Request, Turn
from cardgen.layouts_root import layouts_digest, layouts_root, made_with
from cardgen.press.edition import editions_of
from cardgen.proof.prove import Against, print_proved
from cardgen.register.changes import Comparison, change_lines, compare, titles_of
from cardgen.register.code import Code, CodeIdentity, set_code
from cardgen.register.rows import PlaceRow
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Problem

#: Stands before the changes on the cover.
_KEY = "A bar at the left edge of a card marks a changed number. Small print beside it says what it was."


def request_of(spec: RotorSpec, issued: date, approved_by: str, reason: str) -> Request:
    """Ask for a deck of a specification, with a numbered place for every copy it lists."""
    return Request(
        set_id=spec.rotor.set_id,
        issued=issued,
        use_until=spec.authority.use_until,
        approved_by=approved_by,
        reason=reason,
        spec=spec.text,
        version=made_with(),
        places=places_of(spec),
    )


def places_of(spec: RotorSpec) -> tuple[PlaceRow, ...]:
    """Number the copies of each edition from 1, in the order the specification lists them."""
    copies = (spec.print.copies if spec.print else None) or ()
    numbers: dict[str, int] = {}
    places = []
    for copy in copies:
        numbers[copy.edition] = numbers.get(copy.edition, 0) + 1
        places.append(PlaceRow(copy.edition, numbers[copy.edition], copy.place))
    return tuple(places)


@dataclass(frozen=True)
class Pipeline:
    """Builds and proves one specification's deck, on so many cores, for whichever revision it is to become."""

    spec: RotorSpec
    figures: Figures
    warnings: tuple[Problem, ...]
    issued: date
    file: str
    approved_by: str
    cores: int = 1

    def __call__(self, turn: Turn) -> Built | IssueRefused:
        """Build for a revision; refuse where something does not fit or the proof finds a difference.

        The code is printed on every side: the deck is made without it first, and what that says enters it.
        """
        reading, head = turn.reading, turn.head.words()
        people = (reading.read_by, reading.day, self.approved_by)
        stamp = Stamp(turn.revision, "", self.issued, *people, register=head)
        bare = build_deck(self.spec, self.figures, self.warnings, stamp)
        lines, changes = _changes(turn.previous, bare)
        code = self.code(turn, _hash_of(bare, lines))
        built = build_deck(self.spec, self.figures, self.warnings, replace(stamp, code=code), lines)
        printed = print_proved(mark_changes(built, changes), editions_of(self.spec), self.cores)
        if isinstance(printed, Against):
            return IssueRefused(tuple(against_problem(self.file, printed.kind, line) for line in printed.lines))
        return Built(code, printed)

    def code(self, turn: Turn, printed: str) -> Code:
        """Make the code for a revision; ``printed`` is a hash over what its cards say."""
        identity = CodeIdentity(
            set_id=self.spec.rotor.set_id,
            revision=turn.revision,
            issued=self.issued,
            spec=tomllib.loads(self.spec.text.decode(), parse_float=Decimal),
            figures={name: figure.shown for name, figure in self.figures.all.items()},
            version=__version__,
            layouts=layouts_digest(layouts_root()),
            register=turn.head.words(),
            printed=printed,
        )
        return set_code(identity, turn.tie)


def _hash_of(bare: Deck, lines: Iterable[str]) -> str:
    from cardgen.press.deck_json import to_json

    return sha256("\n".join([to_json(bare), *lines]).encode()).hexdigest()


def _changes(previous: bytes | None, bare: Deck) -> tuple[tuple[str, ...], tuple[Change, ...]]:
    """Say in lines what changed since the deck before, and give the numbers that changed."""
    if previous is None:
        return (), ()
    comparison, titles = comparison_of(json.loads(previous), bare)
    lines = change_lines(comparison, titles) or (f"Nothing changed since revision {_before(bare.stamp)}.",)
    return ((_KEY, *lines) if comparison.numbers else lines), changes_of(comparison)


def _before(stamp: Stamp) -> int:
    return (stamp.revision or 1) - 1


def against_problem(file: str, kind: Literal["fit", "proof"], what: str) -> Problem:
    """Say what stands against a printed deck as a problem of its specification."""
    write = {
        "fit": "fewer words in the field that is printed there",
        "proof": "nothing can be mended in the specification; keep the file and report this fault",
    }[kind]
    return Problem(file, 0, 0, "", kind, "", what, write)


def comparison_of(before: Mapping[str, Any], deck: Deck) -> tuple[Comparison, dict[str, str]]:
    """Compare an earlier deck's description with a deck, and name the cards of both."""
    from cardgen.press.deck_json import to_json

    after = json.loads(to_json(deck))
    return compare(before, after), titles_of(before, after)


def changes_of(comparison: Comparison) -> tuple[Change, ...]:
    """Hand the changed numbers to the deck, for the bars on its cards."""
    return tuple(
        Change(
            figure=number.figure,
            cards=number.cards,
            label=number.where,
            old=number.old,
            new=number.new,
            percent=number.percent,
            reference=number.new_source or number.old_source,
        )
        for number in comparison.numbers
    )
