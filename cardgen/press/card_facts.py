"""The facts of a card: every figure it shows, in reading order, with the words that say what it is.

Paper, screen and plain text are compared with this one list, so that none of them can say
something else or leave something out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice

from cardgen.deck.card import Card, Inline, Runs, Said, Table, Value, Words
from cardgen.deck.diagram import Diagram, Label
from cardgen.deck.walk import Place, walk


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
    return tuple(_facts(card, why, drawings))


def _facts(card: Card, why: bool, drawings: bool) -> Iterator[Fact]:
    told_by = 0
    for place in walk(card.sections):
        if place.what == "table" and place.table:
            told_by = _telling_cells(place.table)
        if place.diagram and drawings:
            yield from _in_drawing(place.diagram)
        if place.what != "why" or why:
            for run in place.says:
                if isinstance(run, Value):
                    parts = run.figure.parts
                    row = _row_name(place, told_by)
                    yield Fact(_label(place), run.figure.id, parts.number, parts.unit, parts.second, row)


def _label(place: Place) -> str:
    if place.box:
        return place.box.label
    if place.step:
        return str(place.step.number)
    if place.table is None:
        return place.section.title
    head = place.column.name if place.column else ""
    return f"{place.table.caption}: {head}" if head else place.table.caption


def _row_name(place: Place, told_by: int) -> str:
    """Name a row by its first cells; one that itself helps to name the row is named by those before it."""
    if place.table is None or place.row is None or place.row.stop:
        return ""
    named = zip(place.row.cells, place.table.columns, strict=True)
    return ", ".join(_said(cell, column.name) for cell, column in islice(named, min(place.at, told_by)))


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


def _in_drawing(diagram: Diagram) -> Iterator[Fact]:
    for shape in diagram.shapes:
        if isinstance(shape, Label) and shape.figure:
            yield Fact(diagram.title, shape.figure, shape.text, "", "")
