"""What makes a test quick that asks about issuing, and not about every card or every process."""

from __future__ import annotations

import multiprocessing
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
from threading import Lock, Thread
from typing import Any
from unittest import mock

from cardgen.deck import build
from cardgen.deck.card import Card, Deck
from cardgen.deck.copied import copied_card
from cardgen.issuing import pipeline
from cardgen.issuing.fleet import pool
from cardgen.press import notice
from cardgen.proof import prove

#: The cards that hold the numbers most worked by.
FEW = ("torque", "track")


@contextmanager
def few_cards() -> Iterator[None]:
    """Build decks of two cards: whatever is done with them, there are fewer pages to print and to prove.

    The sheet for the second reader has none of its rows; with them it is proved in `tests.deck.test_copied`,
    `tests.proof.test_prove` and `tests.proof.faults`.
    """
    built = partial(build.build_deck, only=FEW)
    with (
        mock.patch.object(build, "build_deck", built),
        mock.patch.object(pipeline, "build_deck", built),
        mock.patch.object(notice, "copied_card", _without_rows),
        mock.patch.object(prove, "copied_against", lambda *_: ()),
    ):
        yield


def _without_rows(deck: Deck) -> Card:
    card = copied_card(deck)
    return replace(card, sections=(card.sections[0], card.sections[-1]))


@contextmanager
def workers_in_threads() -> Iterator[None]:
    """Give a fleet threads for workers; a process takes a second before it does anything.

    They work one at a time: the library that reads pages back must not be called by two threads at once.
    """
    alone, done = Lock(), pool._done

    def done_alone(task: pool.Task[Any]) -> Any:
        with alone:
            return done(task)

    with mock.patch.object(pool, "_started", _started), mock.patch.object(pool, "_done", done_alone):
        yield


class _ThreadWorker(Thread):
    """What the pool asks of a worker's process. Tasks and results travel through a pipe all the same."""

    exitcode = 0

    def close(self) -> None:
        """Have nothing to give back."""


def _started() -> pool._Worker:
    ours, theirs = multiprocessing.Pipe()
    worker = _ThreadWorker(target=pool._work, args=(theirs,))
    worker.start()
    return pool._Worker(worker, ours)
