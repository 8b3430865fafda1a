"""Reading an edition from its TOML file, strictly: every refusal names the file and the key."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import fields
from pathlib import PurePath
from typing import Any, cast, get_args

from cardgen.deck.card import Role
from cardgen.deck.listed_cards import ALIGNMENTS, listed_cards
from cardgen.deck.selection import work_order
from cardgen.press.edition import (
    MM,
    Edition,
    EditionError,
    Fit,
    Holes,
    Margins,
    Paper,
    PaperKind,
    TypeScale,
    broken_rules,
)

_UNITS = {"mm": MM, "in": 72.0}
_NAME = re.compile(r"[a-z][a-z0-9-]*", re.ASCII)


def read_edition(text: str, paper: PaperKind, file: str) -> Edition:
    """Read an edition from the text of its file.

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
    flags = ("briefs", "second_units", "why_lines", "duplex", "two_up", "halves")
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
        type=read.type(table["type"]),
        fit=read.fit(table["fit"]),
        hand=read.one_of("hand", table["hand"], ("boxes", "lines", "none")),
        scale_bar=read.length("scale_bar", table["scale_bar"]),
        qr_module_dots=int(read.number("qr_module_dots", table["qr_module_dots"])),
        order=read.order(table["cards"]),
        far=read.length("far", table["far"]),
        near=read.length("near", table["near"]),
        **{key: read.flag(key, table[key]) for key in flags},
    )
    for broken in broken_rules(edition):
        raise EditionError(file, broken)
    return edition


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

    def type(self, table: object) -> TypeScale:
        self.keys("type", table, [field.name for field in fields(TypeScale)])
        values = dict(cast(dict[str, object], table))
        ladder = values.pop("ladder")
        if not isinstance(ladder, list) or not ladder:
            raise self.refuse("type.ladder", "sizes in points are expected here, the largest first")
        rungs = tuple(self.number("type.ladder", rung) for rung in ladder)
        return TypeScale(rungs, **{name: self.number(f"type.{name}", size) for name, size in values.items()})

    def fit(self, table: object) -> Fit:
        self.keys("fit", table, [field.name for field in fields(Fit)])
        values = cast(dict[str, Any], table)
        if values["columns"] not in (1, 2, 3):
            raise self.refuse("fit.columns", "one, two or three columns are expected here")
        if not isinstance(values["cautions"], int) or values["cautions"] < 0:
            raise self.refuse("fit.cautions", "a number is expected here, 0 for any number")
        lift = values["lift"]
        if not isinstance(lift, list) or any(role not in get_args(Role) for role in lift):
            raise self.refuse("fit.lift", f"a list of {', '.join(get_args(Role))} is expected here")
        return Fit(
            values["columns"],
            self.number("fit.gutter", values["gutter"]),
            self.one_of("fit.first", values["first"], ("sheets", "type")),
            tuple(lift),
            self.flag("fit.phases", values["phases"]),
            self.flag("fit.run_on", values["run_on"]),
            values["cautions"],
        )

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
