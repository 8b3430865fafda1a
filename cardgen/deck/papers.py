"""Where in the papers a card's numbers and words stand: beside each reason, and under each table.

Whoever doubts a number at the table turns to that page. What was computed is traced to what was typed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from cardgen.deck.card import (
    Block,
    Card,
    Inline,
    Paragraph,
    Runs,
    Said,
    Section,
    Step,
    Steps,
    Table,
    Value,
    Words,
)
from cardgen.deck.context import path_of
from cardgen.deck.places import natural
from cardgen.figures.figure import Figure
from cardgen.spec.model import RotorSpec


@dataclass(frozen=True)
class Papers:
    """Finds the place in the papers of whatever a card shows. ``figures`` are all of the rotor, by id."""

    spec: RotorSpec
    figures: Mapping[str, Figure]

    def places(self, runs: Iterable[Inline]) -> str:
        """Name the places that these words and numbers come from, paper by paper: ``MAKER-1 p.3, p.9``."""
        found = {place for run in runs for key in _keys(run) for place in self._of(key)}
        told = (_in_one(each.id, found) for each in self.spec.documents)
        return "; ".join(filter(None, told))

    def _of(self, key: str, through: tuple[str, ...] = ()) -> Iterator[str]:
        figure = self.figures.get(key)
        if figure is None or not figure.inputs or key in through:
            # A number may be computed from what was typed under its own name.
            yield from self._stated(key)
        else:
            for each in figure.inputs:
                yield from self._of(each, (*through, key))

    def _stated(self, key: str) -> Iterator[str]:
        try:
            yield self.spec.source(path_of(key))
        except (LookupError, AttributeError, TypeError):
            # Wrenches and codes are in no paper.
            return


def _in_one(document: str, sources: Iterable[str]) -> str:
    pages = sorted(
        (each.removeprefix(document) for each in sources if each.split(" ")[0] == document), key=natural
    )
    return document + ",".join(pages) if pages else ""


def with_papers(card: Card, papers: Papers, not_on: Sequence[str]) -> Card:
    """Say with each reason of a card, and under each table, where in the papers its numbers stand.

    ``not_on`` are the editions that have no room for the line under a table.
    """

    def section(old: Section) -> Section:
        return replace(old, blocks=tuple(each for block in old.blocks for each in _told(block, papers, not_on)))

    return replace(card, sections=tuple(map(section, card.sections)))


def _told(block: Block, papers: Papers, not_on: Sequence[str]) -> Iterator[Block]:
    match block:
        case Steps():
            yield Steps(tuple(_step(step, papers) for step in block.steps))
        case Table():
            yield block
            if places := papers.places(run for row in block.rows for cell in row.cells for run in cell):
                yield Paragraph(_from(places), tuple({*block.not_on, *not_on}))
        case _:
            yield block


def _step(step: Step, papers: Papers) -> Step:
    says = (*step.says, *step.why, *(run for check in step.checks for run in check.says))
    places = papers.places((*says, *(run for box in step.write_ins for run in box.limits)))
    return replace(step, why=(*step.why, Words(" "), *_from(places))) if step.why and places else step


def _from(places: str) -> Runs:
    return (Said(f"[{places}]"),)


def _keys(run: Inline) -> Iterator[str]:
    match run:
        case Value() if run.figure.parts.unit:
            # A number without a unit names a bolt or counts something.
            yield run.figure.id
        case Said():
            yield run.key
