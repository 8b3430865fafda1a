"""The facts of a card: every figure it shows, in reading order, with the words that say what it is.

Paper, screen and plain text are compared with this one list, so that none of them can say
something else or leave something out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from cardgen.deck.card import (
    Block,
    Card,
    Drawing,
    Items,
    Paragraph,
    Qr,
    Runs,
    Step,
    Steps,
    Stop,
    Table,
    Value,
    WriteIn,
    WriteIns,
)
from cardgen.deck.diagram import Label


@dataclass(frozen=True)
class Fact:
    """One number as a reader meets it.

    ``label`` is where it stands: the step's number, the table's caption with the column's head, or
    the section's title. ``second`` is the same in the other system of units, or empty.
    """

    label: str
    figure: str
    number: str
    unit: str
    second: str


def facts(card: Card, *, why: bool = True, drawings: bool = True) -> tuple[Fact, ...]:
    """List the facts of a card in the order they are read.

    ``why`` and ``drawings`` tell whether the reasons under the steps and the lettering of the
    diagrams count: some editions leave them out.
    """
    found: list[Fact] = []
    for section in card.sections:
        for block in section.blocks:
            found.extend(_of_block(block, section.title, why, drawings))
    return tuple(found)


def _of_block(block: Block, title: str, why: bool, drawings: bool) -> Iterator[Fact]:
    match block:
        case Steps():
            for step in block.steps:
                yield from _of_step(step, why)
        case Paragraph() | Stop() | Qr():
            yield from _of_runs(block.says, title)
        case Items():
            for item in block.items:
                yield from _of_runs(item, title)
        case Table():
            yield from _of_table(block)
        case Drawing():
            if drawings:
                yield from _of_drawing(block)
        case WriteIns():
            for box in block.boxes:
                yield from _of_write_in(box)


def _of_step(step: Step, why: bool) -> Iterator[Fact]:
    label = str(step.number)
    for caution in step.cautions:
        yield from _of_runs(caution.says, label)
    yield from _of_runs(step.says, label)
    if why:
        yield from _of_runs(step.why, label)
    for box in step.write_ins:
        yield from _of_write_in(box)


def _of_table(table: Table) -> Iterator[Fact]:
    for row in table.rows:
        for place, cell in enumerate(row.cells):
            head = "" if row.stop else table.columns[place].head
            yield from _of_runs(cell, f"{table.caption}: {head}" if head else table.caption)


def _of_drawing(drawing: Drawing) -> Iterator[Fact]:
    for shape in drawing.diagram.shapes:
        if isinstance(shape, Label) and shape.figure:
            yield Fact(drawing.diagram.title, shape.figure, shape.text, "", "")


def _of_write_in(box: WriteIn) -> Iterator[Fact]:
    yield from _of_runs(box.limits, box.label)


def _of_runs(runs: Runs, label: str) -> Iterator[Fact]:
    for run in runs:
        if isinstance(run, Value):
            parts = run.figure.parts
            yield Fact(label, run.figure.id, parts.number, parts.unit, parts.second)
        elif isinstance(run, WriteIn):
            yield from _of_write_in(run)
