"""Issuing a deck: build, keep, register, place.

The commit to the register is the moment of truth. Before it nothing is issued, whatever was
written; after it the deck is issued with every file kept, and a folder that could not be placed
is placed by a reprint.
"""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from cardgen.issuing.folder import Staged, stage
from cardgen.issuing.issue_request import (
    Build,
    Built,
    Issued,
    IssueRefused,
    Recall,
    Request,
    Turn,
    Unchanged,
    is_file_name,
    refusals,
)
from cardgen.issuing.reading import find_reading
from cardgen.register.changes import compare
from cardgen.register.database import Register, Taken
from cardgen.register.errors import RegisterTrouble, trouble, troubles_as_values
from cardgen.register.kept import description_bytes, no_version_wrote, parsed
from cardgen.register.rows import DESCRIPTION, DeckRow, FileRow, NewDeck, ReadingRow
from cardgen.register.trust import confirm, trusted

#: Somebody else can be faster a few times, not for ever.
_MOST_TURNS = 200
_ENDINGS = (signal.SIGINT, signal.SIGTERM)


@troubles_as_values
def issue(
    register: Register,
    request: Request,
    build: Build,
    out: Path,
    entered: Callable[[DeckRow], object] = lambda _: None,
) -> Issued | Unchanged | IssueRefused | RegisterTrouble:
    """Issue a rotor's next deck into ``out/<set_id>-r<revision>/``.

    ``build`` makes and proves the deck for a revision; it is called again where somebody else has
    taken that revision meanwhile, or another deck has its code. ``entered`` is told of the deck at the
    moment from which it is issued, whatever happens afterwards.
    """
    if problems := refusals(request):
        return IssueRefused(problems)
    register.store.sweep()
    tie = 0
    for _ in range(_MOST_TURNS):
        with trusted(register, request.issued):
            previous, head = register.newest(request.set_id), register.head()
            description = _description(register, previous)
        if isinstance(description, RegisterTrouble):
            return description
        # Asked again at every turn: whoever was faster may have issued this very deck.
        if previous and request.only_changed and request.made(previous):
            return Unchanged(previous)
        reading = find_reading(register, request)
        if not isinstance(reading, ReadingRow):
            return reading
        built = build(Turn(previous.revision + 1 if previous else 1, tie, description, reading, head))
        if isinstance(built, IssueRefused):
            return built
        # Found out beforehand: once the deck is entered, nothing may fail any more.
        same_as = previous if previous and _says_the_same(description, built) else None
        withdrawn = register.withdrawal(same_as.id) if same_as else None
        outcome = _enter(register, request, previous, built, out, reading, entered)
        if isinstance(outcome, Issued):
            return replace(outcome, before=previous, same_as=same_as, withdrawn=withdrawn)
        if outcome == "code":
            tie += 1
        elif outcome != "revision":
            return outcome
    return trouble("busy", register.path, "other programs keep issuing decks of this rotor")


def _description(register: Register, previous: DeckRow | None) -> bytes | RegisterTrouble | None:
    """Read what the newest deck says about itself; a deck that cannot be compared stops the issue."""
    if previous is None:
        return None
    confirm(register, previous)
    content = description_bytes(register, previous)
    return (
        no_version_wrote(register, previous)
        if isinstance(content, bytes) and parsed(content) is None
        else content
    )


def _enter(
    register: Register,
    request: Request,
    previous: DeckRow | None,
    built: Built,
    out: Path,
    reading: ReadingRow,
    entered: Callable[[DeckRow], object],
) -> Issued | RegisterTrouble | Taken:
    new = _kept(register, request, previous, built, reading)
    if isinstance(new, RegisterTrouble):
        return new
    staged = stage(out, f"{new.set_id}-r{new.revision}", built.files)
    if isinstance(staged, RegisterTrouble):
        return _existing_or_taken(register, new, staged)
    try:
        # Read beforehand: once the deck is entered, nothing may fail any more.
        recall = recall_list(register, previous)
        with _undisturbed():
            deck = register.add_deck(new)
            if not isinstance(deck, DeckRow):
                return deck
            entered(deck)
        return _placed(deck, recall, staged)
    finally:
        staged.discard()


@contextmanager
def _undisturbed() -> Iterator[None]:
    """Let Ctrl-C wait until a deck that was entered has been told."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    came: list[int] = []
    before = {each: signal.signal(each, lambda number, _: came.append(number)) for each in _ENDINGS}
    try:
        yield
    finally:
        for each, handler in before.items():
            signal.signal(each, handler)
        for number in came:
            signal.raise_signal(number)


def _says_the_same(before: bytes | None, built: Built) -> bool:
    """Whether the cards say exactly what the last ones said: nobody should swap cards without knowing."""
    old, new = parsed(before or b""), parsed(built.files.get(DESCRIPTION, b""))
    return old is not None and new is not None and compare(old, new).is_same


def _existing_or_taken(register: Register, new: NewDeck, problem: RegisterTrouble) -> RegisterTrouble | Taken:
    # A folder of this name that another program has just issued is no trouble, only a lost race.
    taken = problem.kind == "exists" and register.revision(new.set_id, new.revision) is not None
    return "revision" if taken else problem


def _kept(
    register: Register, request: Request, previous: DeckRow | None, built: Built, reading: ReadingRow
) -> NewDeck | RegisterTrouble:
    rows = []
    for name, content in sorted(built.files.items()):
        if not is_file_name(name):
            raise ValueError(f"{name!r} is no name for an issued file")
        kept = register.store.keep(content)
        if isinstance(kept, RegisterTrouble):
            return kept
        rows.append(FileRow(name, kept, len(content)))
    spec = register.store.keep(request.spec)
    if isinstance(spec, RegisterTrouble):
        return spec
    return NewDeck(
        set_id=request.set_id,
        revision=previous.revision + 1 if previous else 1,
        code=built.code,
        issued=request.issued,
        use_until=request.use_until,
        approved_by=request.approved_by,
        reason=request.reason,
        spec_sha256=spec,
        version=request.version,
        files=tuple(rows),
        places=request.places,
        reading=reading.id,
    )


def _placed(deck: DeckRow, recall: tuple[Recall, ...], staged: Staged) -> Issued:
    folder = staged.publish()
    if isinstance(folder, RegisterTrouble):
        return Issued(deck, recall, None, folder)
    return Issued(deck, recall, folder)


def recall_list(register: Register, deck: DeckRow | None) -> tuple[Recall, ...]:
    """List every copy of a deck that must come down."""
    if deck is None:
        return ()
    return tuple(Recall(deck, copy) for copy in register.places(deck.id))
