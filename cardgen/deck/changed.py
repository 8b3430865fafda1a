"""The old value beside every number of a card that changed since the deck before."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from cardgen.deck.card import Card, Change, Deck, Inline, Runs, Value, Was
from cardgen.deck.walk import edit


def mark_changes(deck: Deck, changes: Sequence[Change]) -> Deck:
    """Give a deck its changes, and put beside each changed number what it was.

    The limits of boxes to write in stay as they are: the log-entry form says them too, and judges by
    the number that holds now.
    """
    old = {change.figure: change.was for change in changes if change.was}

    def marked(runs: Runs) -> Runs:
        return tuple(_marked(runs, old))

    return replace(deck, cards=tuple(edit(card, marked) for card in deck.cards), changes=tuple(changes))


def without_was(card: Card) -> Card:
    """Take the old values off a card again, where there is no room for them."""
    return edit(card, lambda runs: tuple(run for run in runs if not isinstance(run, Was)))


def _marked(runs: Runs, old: Mapping[str, str]) -> Iterator[Inline]:
    for run in runs:
        yield run
        if isinstance(run, Value) and run.figure.id in old:
            yield Was(run.figure.id, old[run.figure.id])
