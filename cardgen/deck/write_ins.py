"""The boxes of a card, wherever on it they stand: the form has a field for each."""

from __future__ import annotations

from collections.abc import Iterable

from cardgen.deck.card import Block, Section, Steps, Table, WriteIn, WriteIns


def write_ins(sections: Iterable[Section]) -> tuple[WriteIn, ...]:
    """Every box of these sections, in reading order: in steps, in tables and by themselves."""
    return tuple(box for section in sections for block in section.blocks for box in _boxes(block))


def _boxes(block: Block) -> Iterable[WriteIn]:
    match block:
        case WriteIns(boxes):
            yield from boxes
        case Steps(steps):
            for step in steps:
                yield from step.write_ins
        case Table(rows=rows):
            for row in rows:
                for cell in row.cells:
                    yield from (run for run in cell if isinstance(run, WriteIn))
