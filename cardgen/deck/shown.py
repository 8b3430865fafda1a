"""What one edition shows of a card: sections, blocks, steps and columns that it does not leave away."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from cardgen.deck.card import Block, Card, Caution, Qr, Section, Step, Steps, Table, WriteIns


def shown_on(card: Card, edition: str) -> tuple[Section, ...]:
    """Give the sections of a card as an edition has them; steps keep the numbers that they have everywhere."""
    return tuple(_sections(card, edition))


def _sections(card: Card, edition: str) -> Iterator[Section]:
    for section in card.sections:
        if edition not in section.not_on:
            blocks = tuple(shown for block in section.blocks for shown in _block(block, edition))
            if blocks:
                yield replace(section, blocks=blocks)


def _block(block: Block, edition: str) -> Iterator[Block]:
    if isinstance(block, Steps):
        if steps := tuple(_steps(block.steps, edition)):
            yield Steps(steps)
    elif isinstance(block, Qr | WriteIns) or edition not in block.not_on:
        yield _table(block, edition) if isinstance(block, Table) else block


def _steps(steps: Sequence[Step], edition: str) -> Iterator[Step]:
    """Leave steps away; what guarded one that is gone guards those that were joined to it."""
    waiting: tuple[Caution, ...] = ()
    orphans = False
    for step in steps:
        orphans = orphans and step.joined
        if edition in step.not_on:
            if not step.joined or orphans:
                waiting, orphans = (waiting if step.joined else ()) + step.cautions, True
        elif orphans:
            yield replace(step, cautions=waiting + step.cautions, joined=False)
            orphans = False
        else:
            yield step


def _table(table: Table, edition: str) -> Table:
    kept = [at for at, column in enumerate(table.columns) if edition not in column.not_on]
    if len(kept) == len(table.columns):
        return table
    rows = (row if row.stop else replace(row, cells=tuple(row.cells[at] for at in kept)) for row in table.rows)
    return replace(table, columns=tuple(table.columns[at] for at in kept), rows=tuple(rows))
