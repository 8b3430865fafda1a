"""Tasks for a worker's process, which imports this and little else."""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest import mock

from cardgen.issuing import issue_deck
from cardgen.issuing.fleet.tasks import Issue, Outcome
from cardgen.register.database import Register
from tests.full_disk import full_disk
from tests.issuing.quick import few_cards


@dataclass(frozen=True)
class Waiting:
    """Works until it is told to end by a file, or interrupted; tidies up either way."""

    folder: Path

    def __call__(self) -> str:
        try:
            (self.folder / "begun").touch()
            until(lambda: (self.folder / "end").exists())
        finally:
            (self.folder / "tidied").touch()
        return "a whole deck"


@dataclass(frozen=True)
class Failing:
    """Meets a fault of the program."""

    def __call__(self) -> None:
        raise ValueError


@dataclass(frozen=True)
class HeldIssue(Issue):
    """Issues a deck of two cards, and waits for the test at two places, where a file in ``holds`` asks so.

    ``before`` is when all is made and nothing is entered, ``after`` when the deck has just been entered. It
    tells by a file of its own that it has come there, and that it has ended. ``full`` is a full disk.
    """

    def __call__(self) -> Outcome:
        folder = self.register.parent / "holds"

        def meet(place: str) -> None:
            (folder / f"{place}-{id(self)}-{time.monotonic_ns()}").touch()
            until(lambda: not (folder / f"hold-{place}").exists())

        listed, added = issue_deck.recall_list, Register.add_deck

        def before(*given: Any) -> Any:
            meet("before")
            return listed(*given)

        def after(book: Register, *given: Any) -> Any:
            made = added(book, *given)
            meet("after")
            return made

        with ExitStack() as stack:
            stack.enter_context(few_cards())
            stack.enter_context(mock.patch.object(issue_deck, "recall_list", before))
            stack.enter_context(mock.patch.object(Register, "add_deck", after))
            if (folder / "full").exists():
                stack.enter_context(full_disk(20_000))
            stack.callback((folder / f"ended-{id(self)}-{time.monotonic_ns()}").touch)
            return super().__call__()


def until(holds: Callable[[], object], seconds: float = 60) -> None:
    for _ in range(int(seconds / 0.01)):
        if holds():
            return
        time.sleep(0.01)
    raise AssertionError("this never came to be")
