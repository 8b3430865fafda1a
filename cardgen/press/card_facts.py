"""The facts of a card: every figure it shows, in reading order, with the words that say what it is.

Paper, screen and plain text are compared with this one list, so that none of them can say
something else or leave something out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from cardgen.deck.card import (
    Block,
    Card,
    Drawing,
    Inline,
    Items,
    Paragraph,
    Qr,
    Runs,
    Said,
    Step,
    Steps,
    Stop,
    Table,
    Value,
    Words,
    WriteIn,
    WriteIns,
)
from cardgen.deck.diagram import Label


@dataclass(frozen=True)
class Fact:
    """One number as a reader meets it.

    ``label`` is where it stands: the step's number, the table's caption with the column's head, or
    the section's title. ``second`` is the same in the other system of units, or empty. ``row`` names
    the row of a table by its first cells, as far as it takes to tell it from the others.
    """

    label: str
    figure: str
    number: str
    unit: str
    second: str
    row: str = field(default="", compare=False)


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
    told_by = _telling_cells(table)
    for row in table.rows:
        for place, cell in enumerate(row.cells):
            head = "" if row.stop else table.columns[place].head
            label = f"{table.caption}: {head}" if head else table.caption
            # A cell that itself helps to name the row is named by those before it.
            before = 0 if row.stop else min(place, told_by)
            name = ", ".join(_said(row.cells[at], table.columns[at].head) for at in range(before))
            yield from (replace(fact, row=name) for fact in _of_runs(cell, label))


def _telling_cells(table: Table) -> int:
    """Count the first cells that it takes to tell every row from every other; none where nothing does."""
    rows = [row for row in table.rows if not row.stop]
    for count in range(1, len(table.columns)):
        names = [tuple(_said(row.cells[at], "") for at in range(count)) for row in rows]
        if all(all(name) for name in names) and len(set(names)) == len(names):
            return count
    return 0


def _said(runs: Runs, head: str) -> str:
    """Say a cell in words; a number alone says nothing without the head of its column."""
    words = "".join(_word(run) for run in runs).strip()
    return f"{head} {words}".strip() if runs and isinstance(runs[0], Value) else words


def _word(run: Inline) -> str:
    match run:
        case Value():
            return f"{run.figure.parts.number} {run.figure.parts.unit}".strip()
        case Words() | Said():
            return run.text
        case _:
            return ""


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
