"""The lines of a record, as the log-entry form saves them, and what every part of an entry is made of."""

from __future__ import annotations

import re
from datetime import date
from typing import Annotated, Any, TypeAlias

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, model_validator
from pydantic_core import PydanticCustomError

from cardgen.logbook.number import A_NUMBER, read_number

_DATE = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_TIME = re.compile(r"(?:[01]\d|2[0-3]):[0-5]\d(?::[0-5]\d)?", re.ASCII)
_ASKED = re.compile(r"asked_[1-9]\d?", re.ASCII)


def one_line(text: str) -> str:
    """Refuse a text of several lines."""
    if "\n" in text:
        raise PydanticCustomError("entry-lines", "this has one line", {"write": "one line"})
    return text


def _a_number(text: str) -> str:
    if read_number(text) is None:
        why = "this cannot be read as a number"
        raise PydanticCustomError("entry-number", why, {"write": A_NUMBER})
    return text


def _a_day(text: str) -> str:
    try:
        date.fromisoformat(text if _DATE.fullmatch(text) else "")
    except ValueError:
        raise PydanticCustomError("entry-date", "this is no day", {"write": "a day as 2027-03-31"}) from None
    return text


def _a_time(text: str) -> str:
    if not _TIME.fullmatch(text):
        raise PydanticCustomError("entry-time", "this is no time of day", {"write": "a time as 14:05"})
    return text


def _an_asked_line(text: str) -> str:
    if not _ASKED.fullmatch(text):
        raise PydanticCustomError("entry-unknown", "no form has such a line", {"write": "asked_1, and so on"})
    return text


Line = Annotated[str, Field(min_length=1, max_length=200), AfterValidator(one_line)]
Lines = Annotated[str, Field(min_length=1, max_length=2000)]
Number = Annotated[str, Field(max_length=40), AfterValidator(_a_number)]
EntryDay: TypeAlias = date


class Part(BaseModel):
    """Part of an entry: strict, frozen, and with no key that no form has."""

    model_config = ConfigDict(strict=True, extra="forbid", frozen=True)


class Record(Part):
    """The lines of the record; a jurisdiction asks for some of them, and nobody is made to fill the rest.

    ``asked`` holds what stands in an entry as ``asked_1`` and on: the lines that local rules ask for.
    """

    date: Annotated[str, AfterValidator(_a_day)]
    time: Annotated[str, AfterValidator(_a_time)] | None = None
    registration: Line | None = None
    place: Line | None = None
    rotor_hours: Number | None = None
    airframe_hours: Number | None = None
    work: Lines | None = None
    documents: Lines | None = None
    parts: Lines | None = None
    tools: Lines | None = None
    defects: Lines | None = None
    not_done: Lines | None = None
    limitations: Lines | None = None
    next_due: Line | None = None
    statement: Lines | None = None
    log_card: Line | None = None
    test_flight: Lines | None = None
    manual: Line | None = None
    inspected_by: Line | None = None
    done_by: Line | None = None
    released_by: Lines | None = None
    asked: dict[Annotated[str, AfterValidator(_an_asked_line)], Lines] = Field(default_factory=dict)

    @model_validator(mode="before")
    @classmethod
    def _gathered(cls, raw: Any) -> Any:
        if not isinstance(raw, dict) or "asked" in raw:
            return raw
        asked = {key: value for key, value in raw.items() if _ASKED.fullmatch(str(key))}
        rest = {key: value for key, value in raw.items() if key not in asked}
        return {**rest, "asked": asked} if asked else raw

    def line(self, name: str) -> str | None:
        """Give what stands in a line of the form, by its id; nothing where it is empty."""
        return self.asked.get(name) or getattr(self, name, None)

    @property
    def day(self) -> EntryDay:
        """The day the work was finished."""
        return EntryDay.fromisoformat(self.date)
