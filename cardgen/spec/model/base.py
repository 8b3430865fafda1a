"""The field types that every group of a specification is made of.

Each type reads one kind of text, only where it has one meaning, and raises a Pydantic error that
carries our rule, our reason and what to write. Nothing is defaulted or guessed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Annotated, Any, Literal, TypeAlias, get_args, get_origin

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    model_validator,
)
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from cardgen.spec.dates import DAY_FORM, PaperDate, day_meant, read_paper_date
from cardgen.spec.everyday_words import our_word
from cardgen.spec.grammar import Kind, Unread, read
from cardgen.spec.lookalikes import first_lookalike, named, plain_one, straightened
from cardgen.spec.marks import DrawnMark, read_drawn
from cardgen.spec.quantity_pattern import pattern
from cardgen.spec.text import Text, Unprintable, read_text
from cardgen.spec.threads import Thread, read_thread
from cardgen.spec.units import Quantity, units_for


class Group(BaseModel):
    """A table of the file: every key known, nothing added, nothing changed afterwards."""

    model_config = ConfigDict(
        strict=True, extra="forbid", frozen=True, arbitrary_types_allowed=True, defer_build=True
    )

    @model_validator(mode="before")
    @classmethod
    def _in_our_words(cls, table: object) -> object:
        """Put our word for a choice in the place of an everyday one, before the choice is judged."""
        if not isinstance(table, dict):
            return table
        ours = {
            key: word
            for key, choices in _choices_of(cls).items()
            if isinstance(typed := table.get(key), str) and (word := our_word(typed, choices))
        }
        return {**table, **ours} if ours else table


@cache
def _choices_of(group: type[Group]) -> Mapping[str, tuple[str, ...]]:
    """Give the words of every key that takes one of a few."""
    found = {key: _choices(field.annotation) for key, field in group.model_fields.items()}
    return {key: choices for key, choices in found.items() if choices}


def _choices(annotation: Any) -> tuple[str, ...]:
    if get_origin(annotation) is Literal:
        return get_args(annotation)
    # A choice that may be left out is one of two arms.
    return next(filter(None, map(_choices, get_args(annotation))), ())


def refuse(rule: str, why: str, write: str) -> PydanticCustomError:
    """Make the Pydantic error that carries one of our rules."""
    return PydanticCustomError("cardgen", "{why}", {"rule": rule, "why": why, "write": write})


@dataclass(frozen=True, eq=False)
class Read:
    """A Pydantic field read by one of our own functions, its part of the JSON Schema, a quantity's kind."""

    reader: Callable[[object], object]
    schema: Mapping[str, object]
    kind: Kind | None = None

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """Let our reader stand in for Pydantic's own."""
        return core_schema.no_info_plain_validator_function(self.reader)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """Describe the accepted text to an editor."""
        return dict(self.schema)


def _quantity_reader(kind: Kind) -> Callable[[object], Quantity]:
    def reader(raw: object) -> Quantity:
        if not isinstance(raw, str):
            why = f"{kind.name} is text with its unit: a bare number could be any unit"
            raise refuse("quantity-not-text", why, kind.write)
        reading = read(raw, kind)
        if isinstance(reading, Unread):
            raise refuse(reading.rule, reading.why, reading.write)
        return reading.quantity

    return reader


def of(kind: Kind) -> Read:
    """Make the field type of one kind of quantity."""
    schema = {
        "type": "string",
        "pattern": pattern(kind),
        "examples": list(kind.examples),
        "$comment": f"{kind.name}; units: {', '.join(kind.units)}",
    }
    return Read(_quantity_reader(kind), schema, kind)


DIAMETER = Kind("a diameter", units_for("diameter"), ("23 ft + 0 in", "7.01 m"))
LENGTH = Kind("a length", units_for("length"), ("5+1/16 in", "128.6 mm"))
THIN = Kind("a small length", units_for("small length"), ("40 thou", "1.02 mm"))
RADIUS = Kind("a distance on the ground", units_for("distance"), ("30 m", "100 ft"))
TORQUE = Kind("a torque", units_for("torque"), ("190 in·lbf", "21.4 N·m"))
ANGLE = Kind("an angle", units_for("angle"), ("5.5 deg", "5 deg + 30 arcmin"), signed=True)
MASS = Kind("a mass", units_for("mass"), ("27 lb", "12.2 kg"))
SPEED = Kind("a rotor speed", units_for("rotor speed"), ("360 rpm",))
WIND = Kind("a wind speed", units_for("wind"), ("8 kt",))
TIME = Kind("a time in hours", units_for("time"), ("24 h",))
TEMPERATURE = Kind("a temperature", units_for("temperature"), ("20 °C",), signed=True)
FORCE = Kind("a force", units_for("force"), ("20 lbf", "90 N"))
#: What a maker may state of an adjuster, or of a dial, for each unit of split.
RATE = Kind("a track rule", units_for("track rule"), ("30 thou/in", "30 mm/m", "0.5 deg/in"))

Diameter: TypeAlias = Annotated[Quantity, of(DIAMETER)]
Length: TypeAlias = Annotated[Quantity, of(LENGTH)]
Thin: TypeAlias = Annotated[Quantity, of(THIN)]
Radius: TypeAlias = Annotated[Quantity, of(RADIUS)]
Torque: TypeAlias = Annotated[Quantity, of(TORQUE)]
Angle: TypeAlias = Annotated[Quantity, of(ANGLE)]
Mass: TypeAlias = Annotated[Quantity, of(MASS)]
Speed: TypeAlias = Annotated[Quantity, of(SPEED)]
Wind: TypeAlias = Annotated[Quantity, of(WIND)]
Rate: TypeAlias = Annotated[Quantity, of(RATE)]
Force: TypeAlias = Annotated[Quantity, of(FORCE)]
Hours: TypeAlias = Annotated[Quantity, of(TIME)]
Temperature: TypeAlias = Annotated[Quantity, of(TEMPERATURE)]


def _text_reader(longest: int) -> Callable[[object], Text]:
    def reader(raw: object) -> Text:
        if not isinstance(raw, str):
            raise refuse("text-not-text", "words are expected here, between quotes", "the words between quotes")
        text = read_text(raw, longest)
        if isinstance(text, Unprintable):
            raise refuse(text.rule, text.why, text.write)
        return text

    return reader


def words(longest: int) -> Read:
    """Make the field type of printable words up to a length."""
    schema = {"type": "string", "minLength": 1, "maxLength": longest}
    return Read(_text_reader(longest), schema)


#: A name or mark, short enough for a header or a table cell.
Name: TypeAlias = Annotated[Text, words(40)]
#: A sentence or place.
Words: TypeAlias = Annotated[Text, words(200)]


_SET_ID = re.compile(r"[A-Z0-9](?:[A-Z0-9-]{0,14}[A-Z0-9])?", re.ASCII)


def _set_id_reader(raw: object) -> Text:
    if not isinstance(raw, str) or not _SET_ID.fullmatch(raw):
        why = "the set id names files and stands in the code: capitals, digits and hyphens, at most 16"
        meant = straightened(raw).upper() if isinstance(raw, str) else ""
        fits = _SET_ID.fullmatch(meant)
        raise refuse("set-id", why + _lookalike_in(raw), f'"{meant}"' if fits else 'such as "RB-2041"')
    return Text(raw)


def _lookalike_in(raw: object) -> str:
    """Name the character of a refused text that only looks like a plain one, as the end of a reason."""
    character = first_lookalike(raw) if isinstance(raw, str) else None
    return f"; {named(character)} stands in it, not {plain_one(character)}" if character else ""


SetId: TypeAlias = Annotated[
    Text, Read(_set_id_reader, {"type": "string", "pattern": "^[A-Z0-9]([A-Z0-9-]{0,14}[A-Z0-9])?$"})
]


def _thread_reader(raw: object) -> Thread:
    thread = read_thread(raw if isinstance(raw, str) else "")
    if isinstance(thread, Unread):
        raise refuse(thread.rule, thread.why, thread.write)
    return thread


ThreadSize: TypeAlias = Annotated[
    Thread,
    Read(
        _thread_reader,
        {
            "type": "string",
            # Every name that is read, and for the sake of its length a few that are not.
            "pattern": (
                r"^\s*((#|[Nn]o[.]?)?\s*([0-9]{1,2}([/⁄∕][0-9]{1,2})?|[¼-¾⅐-⅞])\s*([\"“”„‟″＂]|in[.]?)?\s*"
                r"[‐-―−﹣－-]\s*[0-9]{1,2}([^0-9A-Za-z]*UNJ?[CFES]+([^0-9A-Za-z][123][AB])?)?"
                r"|M\s*[0-9.]+\s*[xX×]\s*[0-9.]+)\s*$"
            ),
            "examples": ["3/8-24", "10-32", "M8x1"],
        },
    ),
]


def _percent_reader(raw: object) -> Fraction:
    if isinstance(raw, bool) or not isinstance(raw, int | Decimal):
        raise refuse("percent-form", "a percentage is a plain number here", "the number alone, such as 4")
    if isinstance(raw, Decimal) and not (raw.is_finite() and -4 <= int(raw.as_tuple().exponent) <= 0):
        # An exponent of millions would also make a fraction that fills the memory.
        why = "a percentage has at most four decimals and no exponent"
        raise refuse("percent-form", why, "the number alone, such as 4")
    return Fraction(raw)


Percent: TypeAlias = Annotated[Fraction, Read(_percent_reader, {"type": "number", "examples": [4]})]


def _only_a_date(raw: object) -> object:
    if isinstance(raw, date) and not isinstance(raw, datetime):
        return raw
    raise refuse("date-form", "a date without quotes and without a time is expected", _bare_date(raw))


def _bare_date(raw: object) -> str:
    """Write a date the way it must stand, where what was typed names one beyond doubt."""
    if isinstance(raw, datetime):
        return raw.date().isoformat()
    day = day_meant(raw) if isinstance(raw, str) else None
    return day.isoformat() if day else DAY_FORM


Day: TypeAlias = Annotated[date, BeforeValidator(_only_a_date)]


def _paper_day_reader(raw: object) -> PaperDate:
    if isinstance(raw, date) and not isinstance(raw, datetime):
        return PaperDate(raw.isoformat(), raw)
    read = read_paper_date(raw) if isinstance(raw, str) else None
    if read is None:
        why = "the date of a paper is a day without quotes, or between quotes its year and month, or its year"
        write = f'{_bare_date(raw)}, "2025-03" or "2025", as the paper has it; or "undated", if it bears none'
        raise refuse("date-form", why, write)
    return read


#: The date of a paper, as far as the paper gives it, or that it bears none.
PaperDay: TypeAlias = Annotated[
    PaperDate,
    Read(
        _paper_day_reader,
        {
            "anyOf": [
                {"type": "string", "format": "date"},
                {"type": "string", "pattern": r"^([0-9]{4}(-[0-9]{2})?|undated)$"},
            ]
        },
    ),
]


def _drawn_reader(raw: object) -> DrawnMark:
    mark = read_drawn(raw) if isinstance(raw, str) else None
    if mark is None:
        why = "this mark is drawn on the cards, so it must be one that can be drawn"
        raise refuse("mark-drawn-form", why, '"dots 1", "grooves 2", "bands 3", "notches 4" or "letter A"')
    return mark


#: A mark as it is drawn on a card.
Drawn: TypeAlias = Annotated[
    DrawnMark,
    Read(
        _drawn_reader,
        {
            "type": "string",
            "pattern": "^((dots|grooves|bands|notches) [1-9]|letter [A-Z])$",
            "examples": ["dots 1", "letter A"],
        },
    ),
]


def _only_shape_two(raw: object) -> object:
    # True and 2.0 equal 2 in Python somewhere; in the file they are something else.
    if isinstance(raw, bool) or not isinstance(raw, int) or raw != 2:
        why = "this program reads files of shape 2; in another shape the same keys could mean other things"
        raise refuse("schema-version", why, "schema = 2, with every key as this shape has it")
    return raw


#: The version of the file's shape.
Shape: TypeAlias = Annotated[Literal[2], BeforeValidator(_only_shape_two)]

#: Where a value comes from: a listed document's id, then the place in it.
Source: TypeAlias = Annotated[
    Text,
    words(60),
    Field(description="document id and place", examples=["MAKER-1 p.7"]),
]


class Sourced(Group):
    """A group whose values come from a document, key by key where they differ."""

    source: Source
    not_given: Annotated[tuple[Name, ...], Field(strict=False)] = Field(
        default=(), description="keys of this group that its papers do not give"
    )
    sources: dict[str, Source] = Field(
        default={}, description="keys of this group whose value comes from another document"
    )

    def source_of(self, key: str) -> Text:
        """Tell which document and place a key's value comes from."""
        return self.sources.get(key, self.source)
