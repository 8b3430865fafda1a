"""The old value beside every number of a card that changed since the deck before."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from cardgen.deck.card import (
    Block,
    Card,
    Caution,
    Change,
    Deck,
    Inline,
    Items,
    Paragraph,
    Qr,
    Row,
    Runs,
    Section,
    Step,
    Steps,
    Stop,
    Table,
    Value,
    Was,
)

_Edit = Callable[[Runs], Runs]


def mark_changes(deck: Deck, changes: Sequence[Change]) -> Deck:
    """Give a deck its changes, and put beside each changed number what it was.

    The limits of boxes to write in stay as they are: the log-entry form says them too, and judges by
    the number that holds now.
    """
    old = {change.figure: change.was for change in changes if change.was}

    def marked(runs: Runs) -> Runs:
        return tuple(_marked(runs, old))

    return replace(deck, cards=tuple(_card(card, marked) for card in deck.cards), changes=tuple(changes))


def without_was(card: Card) -> Card:
    """Take the old values off a card again, where there is no room for them."""
    return _card(card, lambda runs: tuple(run for run in runs if not isinstance(run, Was)))


def _marked(runs: Runs, old: Mapping[str, str]) -> Iterator[Inline]:
    for run in runs:
        yield run
        if isinstance(run, Value) and run.figure.id in old:
            yield Was(run.figure.id, old[run.figure.id])


def _card(card: Card, edit: _Edit) -> Card:
    return replace(card, sections=tuple(_section(section, edit) for section in card.sections))


def _section(section: Section, edit: _Edit) -> Section:
    return replace(section, blocks=tuple(_block(block, edit) for block in section.blocks))


def _block(block: Block, edit: _Edit) -> Block:
    match block:
        case Steps():
            return replace(block, steps=tuple(_step(step, edit) for step in block.steps))
        case Table():
            return replace(block, rows=tuple(_row(row, edit) for row in block.rows))
        case Items():
            return replace(block, items=tuple(map(edit, block.items)))
        case Paragraph() | Stop() | Qr():
            return replace(block, says=edit(block.says))
        case _:
            return block


def _step(step: Step, edit: _Edit) -> Step:
    cautions = tuple(_caution(caution, edit) for caution in step.cautions)
    return replace(step, says=edit(step.says), why=edit(step.why), cautions=cautions)


def _caution(caution: Caution, edit: _Edit) -> Caution:
    return replace(caution, says=edit(caution.says))


def _row(row: Row, edit: _Edit) -> Row:
    return replace(row, cells=tuple(map(edit, row.cells)))
