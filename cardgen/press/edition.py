"""Editions: which paper, which margins, how type is scaled and fitted, which cards in which order.

They are TOML files under ``layouts/editions``; everything here is in points (1/72 in).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from functools import cache
from math import radians, tan
from typing import Literal, TypeAlias

from cardgen.deck.card import Role
from cardgen.layouts_root import edition_names, layouts_root, usual_editions
from cardgen.press.type import CAP_HEIGHT
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.running import EditionName as EditionName

PaperKind: TypeAlias = Literal["iso", "ansi"]

NAMES: tuple[EditionName, ...] = edition_names()
MM = 72 / 25.4

#: A trimmed and laminated sheet keeps clear film round its print: common practice, no standard.
LEAST_MARGIN = 8 * MM
#: Height of capitals as a part of the distance: 15 minutes of arc, the least for sure reading
#: (NUREG-0700 revision 3, 11.4.1.5-1; 20 minutes are preferred).
_LEAST_CAPITALS = tan(radians(15 / 60))
#: The same for what must be read at a glance: common practice, no source.
_LEAST_FAR = 1 / 200
#: Nothing is set smaller than this; smaller type does not survive a second photocopy.
LEAST_TYPE = 8.0
#: Running text, and white on black (ISO/IEC Guide 37): smaller is for labels alone.
LEAST_TEXT, LEAST_WHITE = 10.0, 12.0
#: Heights of boxes to write in, for a grease pencil (common practice, no source), and the parts of a side that
#: a drawing takes, the least first.
WRITE, DRAW = (7 * MM, 8 * MM, 9 * MM), (0.22, 0.28, 0.34, 0.40, 0.46, 0.54, 0.62)


class EditionError(ValueError):
    """An edition file that cannot be used, with the file and what to change in it."""

    def __init__(self, file: str, what: str) -> None:
        super().__init__(f"{file}: {what}")


@dataclass(frozen=True)
class Paper:
    """A sheet: its name and its size in points."""

    name: str
    width: float
    height: float


@dataclass(frozen=True)
class Margins:
    """White edges in points; ``left`` is the punched side and changes over on the back of a sheet."""

    top: float
    right: float
    bottom: float
    left: float


@dataclass(frozen=True)
class Holes:
    """Two punched holes: which edge, how far from it and from each other, how much stays white."""

    edge: Literal["left", "top"]
    from_edge: float
    spacing: float
    keep_out: float


@dataclass(frozen=True)
class TypeScale:
    """Sizes of type in points.

    ``ladder`` has the sizes of what is read from near by, the largest first. The others are read from afar
    and never shrink: the ``number`` of a main table at least so large, growing to ``number_most``, the line
    of a ``stop`` and of one that ends a table.
    """

    ladder: tuple[float, ...]
    leading: float
    diameter: float
    title: float
    number: float
    number_most: float
    stop: float
    stop_row: float
    small: float


@dataclass(frozen=True)
class Fit:
    """How a card is fitted to its sheets.

    ``first`` says what counts more, few sheets or large type; ``lift`` which roles of sections go to the
    top; with ``phases`` each phase has a side where it fills one; with ``run_on`` cards follow one another
    on a sheet. ``cautions`` is how many a side may have, 0 for any number.
    """

    columns: int
    gutter: float
    first: Literal["sheets", "type"]
    lift: tuple[Role, ...]
    phases: bool
    run_on: bool
    cautions: int


@dataclass(frozen=True)
class Sizes:
    """The sizes of type on one rung of the ladder, and the height of a box to write in, in points.

    ``draw`` is the part of a side's height that a drawing takes at most.
    """

    body: float
    number: float
    stop: float
    stop_row: float
    small: float
    leading: float
    write: float
    draw: float

    @property
    def heading(self) -> float:
        """A section's title."""
        return self.body * 1.14

    @property
    def head(self) -> float:
        """Heads of columns, and units beside a large number."""
        return max(self.small, self.body * 0.8)

    @property
    def tag(self) -> float:
        """The single word in a tag, bold (ISO/IEC Guide 37)."""
        return max(11.0, self.small, self.body * 0.85)

    @property
    def white(self) -> float:
        """Running text on black."""
        return max(LEAST_WHITE, self.body)


@dataclass(frozen=True)
class Edition:
    """One way to print a deck. Distances are in points, the floors follow from the reading distances.

    ``far`` is where main numbers and halts are read from, ``near`` all else. ``copies`` is what its copies
    are called in a list, ``hand`` what a hand finds to write on, ``order`` the cards it has for each way of
    aligning blades.
    """

    name: EditionName
    title: str
    copies: str
    paper: Paper
    margins: Margins
    holes: Holes | None
    type: TypeScale
    fit: Fit
    far: float
    near: float
    hand: Literal["boxes", "lines", "none"]
    briefs: bool
    second_units: bool
    why_lines: bool
    duplex: bool
    two_up: bool
    halves: bool
    scale_bar: float
    qr_module_dots: int
    order: Mapping[str, tuple[str, ...]]

    @property
    def width(self) -> float:
        """Width between the margins."""
        return self.paper.width - self.margins.left - self.margins.right

    @property
    def column(self) -> float:
        """Width of one column."""
        return (self.width - (self.fit.columns - 1) * self.fit.gutter) / self.fit.columns

    @property
    def label_floor(self) -> float:
        """Smallest lettering of a drawing."""
        return self.type.small

    @property
    def line_floor(self) -> float:
        """Thinnest line of a drawing: a hair is one minute of arc (visual acuity 6/6), never below 0.5 pt."""
        return max(0.5, self.near * 0.00029)

    @property
    def module(self) -> float:
        """Side of one module of a QR symbol: whole dots of a printer with 600 dots an inch."""
        return self.qr_module_dots * 72 / 600

    def sizes(self, body: float = 0.0, number: float = 0.0) -> Sizes:
        """Give the sizes on one rung of the ladder; the least where none is named."""
        scale, body = self.type, body or self.type.ladder[-1]
        return Sizes(
            body,
            number or scale.number,
            scale.stop,
            scale.stop_row,
            scale.small,
            scale.leading,
            WRITE[0],
            DRAW[0],
        )


def floor_for(distance: float) -> float:
    """Smallest type in points whose capitals can be read from a distance in points."""
    return _LEAST_CAPITALS * distance / CAP_HEIGHT


@cache
def load_edition(name: EditionName, paper: PaperKind) -> Edition:
    """Load one edition for one kind of paper.

    Raises `EditionError` for a file that is missing, incomplete, or breaks a rule of legibility.
    """
    from cardgen.press.edition_file import read_edition

    file = layouts_root() / "editions" / f"{name}.toml"
    try:
        text = file.read_text("utf-8")
    except OSError as error:
        raise EditionError(f"{name}.toml", "there is no such edition among the layouts") from error
    return read_edition(text, paper, f"editions/{name}.toml")


def editions_of(spec: RotorSpec, only: EditionName | None = None) -> tuple[Edition, ...]:
    """Choose the editions that a specification asks for, else the usual ones; A sizes unless it says ANSI."""
    wanted = spec.print.editions if spec.print else usual_editions()
    paper: PaperKind = spec.print.paper if spec.print else "iso"
    return tuple(
        load_edition(name, paper) for name in NAMES if (name in wanted if only is None else name == only)
    )


def broken_rules(edition: Edition) -> Iterable[str]:
    """Name what would make the edition unreadable, unprintable or untrue to its paper."""
    for field in fields(Margins):
        if getattr(edition.margins, field.name) < LEAST_MARGIN - 1e-6:
            yield f"margins.{field.name}: nothing may stand within 8 mm of the trim"
    if holes := edition.holes:
        margin = edition.margins.left if holes.edge == "left" else edition.margins.top
        if margin < holes.from_edge + holes.keep_out - 1e-6:
            yield f"margins.{holes.edge}: print would stand in the holes"
    yield from _broken_type(edition)
    if edition.scale_bar > edition.width:
        yield "scale_bar: it is longer than the sheet between its margins"
    if edition.module < 0.339 * MM:
        yield "qr_module_dots: a module is at least 4 dots of a printer with 300 dots an inch"


def _broken_type(edition: Edition) -> Iterable[str]:
    scale = edition.type
    if list(scale.ladder) != sorted(set(scale.ladder), reverse=True):
        yield "type.ladder: it goes down, step by step"
    if scale.ladder[-1] < (floor := max(LEAST_TEXT, floor_for(edition.near))):
        yield f"type.ladder: at this reading distance at least {floor:.1f} points are needed"
    if scale.small < (floor := max(LEAST_TYPE, floor_for(edition.near))):
        yield f"type.small: at this reading distance at least {floor:.1f} points are needed"
    floor = max(floor_for(edition.far), _LEAST_FAR * edition.far / CAP_HEIGHT) - 0.05
    for name in ("diameter", "title", "number", "stop", "stop_row"):
        if edition.hand != "lines" and getattr(scale, name) < floor:
            yield f"type.{name}: at this reading distance at least {floor:.1f} points are needed"
    if min(scale.stop, scale.stop_row) < LEAST_WHITE:
        yield f"type.stop: white on black at least {LEAST_WHITE:.0f} points are needed"
    others = (*scale.ladder, scale.title, scale.number_most, scale.stop, scale.stop_row)
    if scale.diameter <= max(others):
        yield "type.diameter: the diameter is the largest thing on a sheet"
    if scale.number_most < scale.number:
        yield "type.number_most: it is at least number"
