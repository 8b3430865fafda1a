"""What a card is once its markup has been read: words, figures and blocks, and no layout.

The same card becomes paper, screen, plain text and the fields of the log-entry form.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Literal, TypeAlias

from cardgen.deck.diagram import Diagram
from cardgen.figures.figure import Figure
from cardgen.spec.bound import Bound
from cardgen.spec.model import RotorSpec
from cardgen.spec.problem import Problem
from cardgen.spec.units import magnitude

Signal: TypeAlias = Literal["WARNING", "CAUTION", "NOTE"]
#: What a section is on paper: identity, picture or panel; main numbers with their stop row; steps; a halt.
Role: TypeAlias = Literal["know", "numbers", "work", "hold"]


@dataclass(frozen=True)
class Words:
    """The card's own words."""

    text: str
    strong: bool = False


@dataclass(frozen=True)
class Value:
    """A figure in a sentence or a cell: number with unit, or the number where the unit is in the head."""

    figure: Figure
    show: Literal["all", "number"] = "all"


@dataclass(frozen=True)
class Said:
    """Words of the specification, quoted as its keeper wrote them."""

    text: str
    key: str = ""
    strong: bool = False


@dataclass(frozen=True)
class WriteIn:
    """A box to write a measured value in; the log-entry form's field too.

    ``digits`` is how many characters the box must take; ``limits`` what may stand in it: the figures
    among them bind, their words do not. ``choices`` are the only answers, where it takes no others.
    A box of no digits takes a tick, at the end of a table's row. Of what may not be there at all, ``none``,
    any amount is too much.
    """

    id: str
    label: str
    unit: str = ""
    limits: tuple[Inline, ...] = ()
    digits: int = 4
    choices: tuple[str, ...] = ()
    none: bool = False

    @property
    def is_tick(self) -> bool:
        """Whether it takes no value but a tick."""
        return self.digits == 0

    @property
    def bounds(self) -> Mapping[Bound, Fraction]:
        """The ends that its value must keep to, exactly and in its own unit.

        Raises `pint.DimensionalityError` where a limit measures something else than the box.
        """
        if self.none:
            return {Bound.AT_MOST: Fraction(0)}
        figures = (run.figure for run in self.limits if isinstance(run, Value))
        return {figure.bound: magnitude(figure.quantity, self.unit) for figure in figures}


@dataclass(frozen=True)
class Was:
    """What the figure before it was on the deck before: small print, never a number to work by."""

    figure: str
    text: str


Inline: TypeAlias = Words | Value | Said | WriteIn | Was
Runs: TypeAlias = tuple[Inline, ...]


@dataclass(frozen=True)
class Caution:
    """A safety sentence; it stands directly before the step it guards, and they are one box."""

    id: str
    signal: Signal
    says: Runs
    brief: str = ""

    @property
    def briefly(self) -> Runs:
        """What it says on a wall."""
        return (Words(self.brief),) if self.brief else self.says


@dataclass(frozen=True)
class Check:
    """One of several things that a step asks to be checked, each with boxes of its own."""

    says: Runs
    ticks: int = 1


@dataclass(frozen=True)
class Step:
    """One action. ``ticks`` are 1 for the hand, 2 where a second person checks too, or 0.

    A step that is ``joined`` is guarded by the cautions of the step before it as well. ``not_on`` names the
    editions that leave it away, here and in whatever else has it.
    """

    number: int
    says: Runs
    why: Runs = ()
    ticks: int = 0
    cautions: tuple[Caution, ...] = ()
    write_ins: tuple[WriteIn, ...] = ()
    checks: tuple[Check, ...] = ()
    joined: bool = False
    not_on: tuple[str, ...] = ()


@dataclass(frozen=True)
class Steps:
    """Steps in order; numbering runs on through the card."""

    steps: tuple[Step, ...]


@dataclass(frozen=True)
class Paragraph:
    """Words that ask for no action."""

    says: Runs
    not_on: tuple[str, ...] = ()


@dataclass(frozen=True)
class Items:
    """A list of things, none of them an action in an order."""

    items: tuple[Runs, ...]
    not_on: tuple[str, ...] = ()


@dataclass(frozen=True)
class Column:
    """Head of a table column: words, and its numbers' unit. ``strong`` is what the hand looks up.

    Neighbours of one ``group`` stand under its name, with a rule between them and the next group.
    """

    head: str
    unit: str = ""
    strong: bool = False
    origin: str = ""
    group: str = ""
    not_on: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """What it is called where its group does not stand above it."""
        return ": ".join(filter(None, (self.group, self.head)))


@dataclass(frozen=True)
class Row:
    """One row of cells; a ``stop`` row is set solid and spans the table."""

    cells: tuple[Runs, ...]
    stop: bool = False


@dataclass(frozen=True)
class Table:
    """A ruled table. The first column is the row's key and is repeated at the right where ``repeat_key``."""

    id: str
    caption: str
    columns: tuple[Column, ...]
    rows: tuple[Row, ...]
    repeat_key: bool = False
    not_on: tuple[str, ...] = ()


@dataclass(frozen=True)
class Drawing:
    """A diagram among the blocks."""

    diagram: Diagram
    not_on: tuple[str, ...] = ()


@dataclass(frozen=True)
class WriteIns:
    """Boxes to write in, outside any step."""

    boxes: tuple[WriteIn, ...]


@dataclass(frozen=True)
class Stop:
    """A hold point or a reason to stop; set solid, read before going on.

    What is strong at its beginning is read from afar.
    """

    says: Runs
    word: Literal["STOP", "HOLD"] = "STOP"
    not_on: tuple[str, ...] = ()


@dataclass(frozen=True)
class Qr:
    """A code to scan: its payload, and the words beside it."""

    payload: str
    says: Runs


Block: TypeAlias = Steps | Paragraph | Items | Table | Drawing | WriteIns | Stop | Qr


@dataclass(frozen=True)
class Section:
    """Part of a card; a card is broken to another side only between or inside sections, never in a step.

    ``not_on`` names the editions that leave it away, such as boxes to write in on a wall. ``over``
    begins a side: what must not be seen beside the section before. ``phase`` begins one where there is
    room for it. With ``span`` it may stand across the columns of a sheet.
    """

    title: str
    blocks: tuple[Block, ...]
    not_on: tuple[str, ...] = ()
    over: bool = False
    role: Role = "work"
    span: bool = False
    phase: bool = False


@dataclass(frozen=True)
class Card:
    """One card: what it is called, where in the day it belongs, and what it says."""

    id: str
    title: str
    phase: str
    sections: tuple[Section, ...]


@dataclass(frozen=True)
class LeftOut:
    """A card this rotor has not got, and why."""

    id: str
    title: str
    why: str


@dataclass(frozen=True)
class Change:
    """A number that is not what it was on the deck before: where it stands, and both printed forms.

    ``old`` or ``new`` is empty where the number is new or gone; ``percent`` says in words by how much.
    """

    figure: str
    cards: tuple[str, ...]
    label: str
    old: str
    new: str
    percent: str
    reference: str

    @property
    def was(self) -> str:
        """What stands beside the new number: the old one, its unit only where that is another.

        Nothing where both read the same and only their source differs.
        """
        if not self.old:
            return "new"
        if self.old == self.new:
            return ""
        number, _, unit = self.old.rpartition(" ")
        return f"was {number}" if number and unit == self.new.rpartition(" ")[2] else f"was {self.old}"


@dataclass(frozen=True)
class Stamp:
    """Which deck this is in the register, and who stands behind it.

    A draft has no revision, no code and no date of issue. ``register`` says which register an issued deck is
    entered in, and where the chain of that one's entries ended before it.
    """

    revision: int | None = None
    code: str = ""
    issued: date | None = None
    read_by: str = ""
    read_on: date | None = None
    approved_by: str = ""
    register: str = ""

    @property
    def is_draft(self) -> bool:
        """Whether no register knows this deck."""
        return self.revision is None


@dataclass(frozen=True)
class Deck:
    """Cards of one rotor in the order of work, with every figure they may show.

    ``names`` are the ids of all its cards where only some were built: each keeps its own number. ``only`` are
    those that were asked for, where it was not all.
    """

    spec: RotorSpec
    figures: Mapping[str, Figure]
    stamp: Stamp
    cards: tuple[Card, ...]
    left_out: tuple[LeftOut, ...] = ()
    warnings: tuple[Problem, ...] = ()
    changes: tuple[Change, ...] = ()
    names: tuple[str, ...] = ()
    only: tuple[str, ...] = ()

    @property
    def order(self) -> tuple[str, ...]:
        """Name all cards of the deck, built or not."""
        return self.names or tuple(card.id for card in self.cards)
