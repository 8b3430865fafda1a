"""One walk over everything that a card says, and one edit of it.

Whoever only looks at a card walks it; whoever puts something else in its words edits it. Only what makes
something different of each block, such as paper, a page or plain text, asks for the blocks themselves.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from cardgen.deck.card import (
    Block,
    Card,
    Caution,
    Column,
    Drawing,
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
    WriteIn,
    WriteIns,
)
from cardgen.deck.diagram import Diagram

#: What a place is. A section comes before what stands in it, and a table before its cells.
What: TypeAlias = Literal[
    "section",
    "caution",
    "step",
    "check",
    "box",
    "why",
    "paragraph",
    "item",
    "table",
    "cell",
    "drawing",
    "stop",
    "code",
]


@dataclass(frozen=True, slots=True)
class Place:
    """One place of a card, and what it says there; a section, a table and a drawing say nothing in runs.

    ``step`` is also the one that a caution guards, and that a box or a reason belongs to. A cell has
    its ``table``, its ``row`` and its place in it, counted from 0. A box says its limits.
    """

    what: What
    section: Section
    says: Runs = ()
    caution: Caution | None = None
    step: Step | None = None
    box: WriteIn | None = None
    table: Table | None = None
    row: Row | None = None
    at: int = 0
    diagram: Diagram | None = None
    code: Qr | None = None

    @property
    def column(self) -> Column | None:
        """The column a cell stands in; a row that is a reason to stop stands in none."""
        return self.table.columns[self.at] if self.table and self.row and not self.row.stop else None


def walk(sections: Iterable[Section]) -> Iterator[Place]:
    """Give every place of these sections in the order it is read.

    A box that stands among words is a place of its own, directly after them.
    """
    for section in sections:
        yield Place("section", section)
        for block in section.blocks:
            for place in _places(section, block):
                yield place
                yield from (
                    replace(place, what="box", says=run.limits, box=run)
                    for run in place.says
                    if isinstance(run, WriteIn)
                )


def edit(card: Card, change: Callable[[Runs], Runs]) -> Card:
    """Make a card of which every line of runs is changed; what a box says of its limits stays with the box."""

    def section(old: Section) -> Section:
        return replace(old, blocks=tuple(_edited(block, change) for block in old.blocks))

    return replace(card, sections=tuple(map(section, card.sections)))


def _places(section: Section, block: Block) -> Iterator[Place]:
    match block:
        case Steps():
            for step in block.steps:
                yield from _around(section, step)
        case Paragraph():
            yield Place("paragraph", section, block.says)
        case Items():
            yield from (Place("item", section, item) for item in block.items)
        case Table():
            yield Place("table", section, table=block)
            for row in block.rows:
                for at, cell in enumerate(row.cells):
                    yield Place("cell", section, cell, table=block, row=row, at=at)
        case Drawing():
            yield Place("drawing", section, diagram=block.diagram)
        case WriteIns():
            yield from (Place("box", section, box.limits, box=box) for box in block.boxes)
        case Stop():
            yield Place("stop", section, block.says)
        case Qr():
            yield Place("code", section, block.says, code=block)


def _around(section: Section, step: Step) -> Iterator[Place]:
    for caution in step.cautions:
        yield Place("caution", section, caution.says, caution=caution, step=step)
    yield Place("step", section, step.says, step=step)
    yield from (Place("check", section, check.says, step=step) for check in step.checks)
    for box in step.write_ins:
        yield Place("box", section, box.limits, step=step, box=box)
    if step.why:
        yield Place("why", section, step.why, step=step)


def _edited(block: Block, change: Callable[[Runs], Runs]) -> Block:
    match block:
        case Steps():
            return Steps(tuple(_edited_step(step, change) for step in block.steps))
        case Items():
            return replace(block, items=tuple(map(change, block.items)))
        case Table():
            rows = (replace(row, cells=tuple(map(change, row.cells))) for row in block.rows)
            return replace(block, rows=tuple(rows))
        case Paragraph() | Stop() | Qr():
            return replace(block, says=change(block.says))
        case Drawing() | WriteIns():
            return block


def _edited_step(step: Step, change: Callable[[Runs], Runs]) -> Step:
    cautions = tuple(replace(caution, says=change(caution.says)) for caution in step.cautions)
    why = change(step.why) if step.why else ()
    checks = tuple(replace(check, says=change(check.says)) for check in step.checks)
    return replace(step, says=change(step.says), why=why, cautions=cautions, checks=checks)
