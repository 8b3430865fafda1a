"""Editions: which paper, which margins, which sizes of type, which cards in which order.

They are TOML files under ``layouts/editions``; everything here is in points (1/72 in).
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields
from functools import cache
from math import radians, tan
from pathlib import PurePath
from typing import Any, Literal, TypeAlias, cast

from cardgen.deck.listed_cards import ALIGNMENTS, listed_cards
from cardgen.deck.selection import work_order
from cardgen.layouts_root import edition_names, layouts_root, usual_editions
from cardgen.press.type import CAP_HEIGHT
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.running import EditionName as EditionName

PaperKind: TypeAlias = Literal["iso", "ansi"]

NAMES: tuple[EditionName, ...] = edition_names()
MM = 72 / 25.4
_UNITS = {"mm": MM, "in": 72.0}
_NAME = re.compile(r"[a-z][a-z0-9-]*", re.ASCII)

#: A trimmed and laminated sheet keeps clear film round its print: common practice, no standard.
LEAST_MARGIN = 8 * MM
#: Height of capitals as a part of the distance: 15 minutes of arc, the least for sure reading
#: (NUREG-0700 revision 3, 11.4.1.5-1; 20 minutes are preferred).
_LEAST_CAPITALS = tan(radians(15 / 60))
#: Nothing is set smaller than this; smaller type does not survive a second photocopy.
LEAST_TYPE = 8.0
#: What is read from farther away than a page on a table is worked from, perhaps in gloves: its lower-case
#: letters are 0.10 in high.
_ON_A_TABLE = 450 * MM
_LEAST_WORKED_FROM = 14.5


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
class Sizes:
    """Sizes of type in points, by what the type is for."""

    diameter: float
    title: float
    heading: float
    body: float
    table: float
    head: float
    small: float
    frame: float


@dataclass(frozen=True)
class Edition:
    """One way to print a deck. Distances are in points, the floors follow from the reading distance.

    ``copies`` is what its copies are called in a list, ``order`` the cards it has for each way of aligning
    blades.
    """

    name: EditionName
    title: str
    copies: str
    paper: Paper
    margins: Margins
    holes: Holes | None
    sizes: Sizes
    reading_distance: float
    label_distance: float
    second_units: bool
    why_lines: bool
    duplex: bool
    two_up: bool
    scale_bar: float
    qr_module_dots: int
    order: Mapping[str, tuple[str, ...]]

    @property
    def column(self) -> float:
        """Width between the margins."""
        return self.paper.width - self.margins.left - self.margins.right

    @property
    def label_floor(self) -> float:
        """Smallest lettering of a drawing."""
        return max(LEAST_TYPE, floor_for(self.label_distance))

    @property
    def line_floor(self) -> float:
        """Thinnest line of a drawing: a hair is one minute of arc (visual acuity 6/6), never below 0.5 pt."""
        return max(0.5, self.label_distance * 0.00029)

    @property
    def module(self) -> float:
        """Side of one module of a QR symbol: whole dots of a printer with 600 dots an inch."""
        return self.qr_module_dots * 72 / 600


def floor_for(distance: float) -> float:
    """Smallest type in points whose capitals can be read from a distance in points."""
    return _LEAST_CAPITALS * distance / CAP_HEIGHT


@cache
def load_edition(name: EditionName, paper: PaperKind) -> Edition:
    """Load one edition for one kind of paper.

    Raises `EditionError` for a file that is missing, incomplete, or breaks a rule of legibility.
    """
    file = layouts_root() / "editions" / f"{name}.toml"
    try:
        text = file.read_text("utf-8")
    except OSError as error:
        raise EditionError(f"{name}.toml", "there is no such edition among the layouts") from error
    return read_edition(text, paper, f"editions/{name}.toml")


def editions_of(spec: RotorSpec, only: EditionName | None = None) -> tuple[Edition, ...]:
    """Choose the editions that a specification asks for, else all of them; A sizes unless it says ANSI."""
    wanted = spec.print.editions if spec.print else usual_editions()
    paper: PaperKind = spec.print.paper if spec.print else "iso"
    return tuple(
        load_edition(name, paper) for name in NAMES if (name in wanted if only is None else name == only)
    )


def read_edition(text: str, paper: PaperKind, file: str) -> Edition:
    """Read an edition from the text of its file, strictly.

    Raises `EditionError` naming the key and what is wrong with it.
    """
    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise EditionError(file, f"this is not TOML: {error}") from error
    read = _EditionReader(file)
    name = PurePath(file).stem
    if not _NAME.fullmatch(name):
        raise EditionError(file, "an edition's file is named in small letters, digits and hyphens")
    # Its name is that of its file, and the order of its cards is worked out.
    expected = [field.name for field in fields(Edition) if field.name not in {"name", "order"}]
    read.keys("", table, [*expected, "cards", "on_request"], optional=["holes", "on_request"])
    read.keys("paper", table["paper"], ["iso", "ansi"])
    sheet = table["paper"][paper]
    read.keys(f"paper.{paper}", sheet, ["name", "width", "height"])
    edition = Edition(
        name=name,
        title=read.words("title", table["title"]),
        copies=read.words("copies", table["copies"]),
        paper=Paper(
            read.words("paper.name", sheet["name"]),
            read.length("paper.width", sheet["width"]),
            read.length("paper.height", sheet["height"]),
        ),
        margins=Margins(**read.lengths("margins", table["margins"], Margins)),
        holes=read.holes(table["holes"]) if "holes" in table else None,
        sizes=Sizes(**read.numbers("sizes", table["sizes"], Sizes)),
        reading_distance=read.length("reading_distance", table["reading_distance"]),
        label_distance=read.length("label_distance", table["label_distance"]),
        second_units=read.flag("second_units", table["second_units"]),
        why_lines=read.flag("why_lines", table["why_lines"]),
        duplex=read.flag("duplex", table["duplex"]),
        two_up=read.flag("two_up", table["two_up"]),
        scale_bar=read.length("scale_bar", table["scale_bar"]),
        qr_module_dots=int(read.number("qr_module_dots", table["qr_module_dots"])),
        order=read.order(table["cards"]),
    )
    for broken in _broken_rules(edition):
        raise EditionError(file, broken)
    return edition


def _broken_rules(edition: Edition) -> Iterable[str]:
    """Name what would make the edition unreadable, unprintable or untrue to its paper."""
    for field in fields(Margins):
        if getattr(edition.margins, field.name) < LEAST_MARGIN - 1e-6:
            yield f"margins.{field.name}: nothing may stand within 8 mm of the trim"
    if holes := edition.holes:
        margin = edition.margins.left if holes.edge == "left" else edition.margins.top
        if margin < holes.from_edge + holes.keep_out - 1e-6:
            yield f"margins.{holes.edge}: print would stand in the holes"
    floor = max(LEAST_TYPE, floor_for(edition.reading_distance))
    for name in ("diameter", "title", "heading", "body", "table"):
        if getattr(edition.sizes, name) < floor:
            yield f"sizes.{name}: at this reading distance at least {floor:.1f} points are needed"
    for name in ("head", "small"):
        if getattr(edition.sizes, name) < edition.label_floor:
            yield f"sizes.{name}: at this reading distance at least {edition.label_floor:.1f} points are needed"
    if edition.sizes.frame < LEAST_TYPE:
        yield f"sizes.frame: at least {LEAST_TYPE:.0f} points, or it does not survive a photocopy"
    others = [getattr(edition.sizes, field.name) for field in fields(Sizes) if field.name != "diameter"]
    if edition.sizes.diameter <= max(others):
        yield "sizes.diameter: the diameter is the largest thing on a sheet"
    if edition.reading_distance > _ON_A_TABLE and edition.sizes.body < _LEAST_WORKED_FROM:
        least = f"{_LEAST_WORKED_FROM} points, lower-case letters 0.10 in high"
        yield f"sizes.body: a card to work from needs {least}"
    if edition.scale_bar > edition.column:
        yield "scale_bar: it is longer than the column is wide"
    if edition.module < 0.339 * MM:
        yield "qr_module_dots: a module is at least 4 dots of a printer with 300 dots an inch"


class _EditionReader:
    """Reads the values of one file; every refusal names the file and the key."""

    def __init__(self, file: str) -> None:
        self.file = file

    def refuse(self, key: str, what: str) -> EditionError:
        return EditionError(self.file, f"{key}: {what}")

    def keys(self, key: str, table: object, wanted: list[str], optional: Iterable[str] = ()) -> None:
        if not isinstance(table, dict):
            raise self.refuse(key, "a table is expected here")
        dot = f"{key}." if key else ""
        for name in table:
            if name not in wanted:
                raise self.refuse(f"{dot}{name}", f"unknown; known are {', '.join(wanted)}")
        for name in wanted:
            if name not in table and name not in optional:
                raise self.refuse(f"{dot}{name}", "missing")

    def words(self, key: str, value: object) -> str:
        if not isinstance(value, str) or not value.strip():
            raise self.refuse(key, "words between quotes are expected here")
        return value

    def flag(self, key: str, value: object) -> bool:
        if not isinstance(value, bool):
            raise self.refuse(key, "true or false is expected here")
        return value

    def number(self, key: str, value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value < 1000:
            raise self.refuse(key, "a number of points above zero is expected here")
        return float(value)

    def length(self, key: str, value: object) -> float:
        number, _, unit = value.partition(" ") if isinstance(value, str) else ("", "", "")
        if unit not in _UNITS or not number.replace(".", "", 1).isdecimal():
            raise self.refuse(key, 'a length with its unit is expected here, such as "210 mm" or "8.5 in"')
        return float(number) * _UNITS[unit]

    def one_of(self, key: str, value: object, choices: tuple[Any, ...]) -> Any:
        if value not in choices:
            raise self.refuse(key, f"one of {', '.join(choices)} is expected here")
        return value

    def lengths(self, key: str, table: object, kind: type) -> dict[str, float]:
        names = [field.name for field in fields(kind)]
        self.keys(key, table, names)
        return {name: self.length(f"{key}.{name}", cast(dict[str, object], table)[name]) for name in names}

    def numbers(self, key: str, table: object, kind: type) -> dict[str, float]:
        names = [field.name for field in fields(kind)]
        self.keys(key, table, names)
        return {name: self.number(f"{key}.{name}", cast(dict[str, object], table)[name]) for name in names}

    def holes(self, table: object) -> Holes:
        names = [field.name for field in fields(Holes)]
        self.keys("holes", table, names)
        values = cast(dict[str, object], table)
        return Holes(
            self.one_of("holes.edge", values["edge"], ("left", "top")),
            *(self.length(f"holes.{name}", values[name]) for name in names[1:]),
        )

    def order(self, table: object) -> Mapping[str, tuple[str, ...]]:
        """Work out which cards an edition has: ``only`` those named, or all ``without`` those named."""
        self.keys("cards", table, ["only", "without", "first"], optional=["only", "without", "first"])
        named = {
            key: self.cards(f"cards.{key}", value) for key, value in cast(dict[str, object], table).items()
        }
        if ("only" in named) == ("without" in named):
            raise self.refuse("cards", "either only or without is expected here; without = [] is every card")
        every = listed_cards()
        held = named["only"] if "only" in named else [card for card in every if card not in named["without"]]
        if not held:
            raise self.refuse("cards", "an edition has one card at least")
        return {kind: work_order(kind, held, named.get("first", ())) for kind in ALIGNMENTS}

    def cards(self, key: str, value: object) -> tuple[str, ...]:
        known = list(listed_cards())
        if not isinstance(value, list) or any(name not in known for name in value):
            raise self.refuse(key, "a list of cards that cards.toml has is expected here")
        return tuple(value)
