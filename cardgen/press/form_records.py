"""The record lines of a log entry that are not on any card, and who signs where.

A line is asked because a record somewhere usually holds it; which of them a rule really wants is for
the person who signs to know. The page claims nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

Shape = Literal["line", "lines", "date", "time", "number"]


@dataclass(frozen=True)
class RecordLine:
    """One line to fill in; ``hint`` says what belongs there."""

    id: str
    label: str
    shape: Shape = "line"
    hint: str = ""
    needed: bool = False
    unit: str = ""


@dataclass(frozen=True)
class RecordGroup:
    """Lines that are filled in together."""

    id: str
    title: str
    lines: tuple[RecordLine, ...]


@dataclass(frozen=True)
class Signature:
    """A place to sign on paper: who signs, and what is written beside the name."""

    who: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class Records:
    """Everything a jurisdiction's form asks beyond the cards."""

    before: tuple[RecordGroup, ...]
    after: tuple[RecordGroup, ...]
    signatures: tuple[Signature, ...]


_WHEN = RecordGroup(
    "when",
    "Aircraft, time and place",
    (
        RecordLine("registration", "Registration"),
        RecordLine("date", "Date the work was finished", "date", needed=True),
        RecordLine("time", "Local time", "time"),
        RecordLine("place", "Place"),
        RecordLine("rotor_hours", "Rotor hours", "number", "Total time of this rotor", unit="h"),
        RecordLine("airframe_hours", "Airframe hours", "number", "Total time of the aircraft", unit="h"),
    ),
)
_WORK = RecordGroup(
    "work",
    "Work done",
    (
        RecordLine("work", "What was done", "lines", "Steps of the cards, and anything else", needed=True),
        RecordLine("documents", "Documents used, with revision", "lines"),
        RecordLine("parts", "Parts used, with batch", "lines", "New bolts, nuts, pins, threadlocker"),
        RecordLine("tools", "Tools, with calibration due", "lines", "Wrench, dial, scale, protractor"),
    ),
)
_FOUND = RecordGroup(
    "found",
    "Findings",
    (
        RecordLine(
            "defects", "Defects, and what was done about each", "lines", "If there were none, write none"
        ),
        RecordLine("not_done", "Not done", "lines", "Cards or steps left out, and why"),
        RecordLine("limitations", "Limitations until the next work", "lines"),
        RecordLine("next_due", "Next due", "line", "Date or hours"),
    ),
)
_PEOPLE = ("Name", "Signature", "Date")

#: What stands beside the releasing person's name, by whose rules apply.
_RELEASER: Mapping[str, tuple[str, ...]] = {
    "us-amateur-built": ("Kind of certificate", "Certificate number"),
    "uk-permit": ("Organisation or licence", "Approval or licence number"),
    "ca-amateur-built": ("Licence, if any", "Journey log page"),
    "au": ("Authorised by", "Authorisation number"),
    "other": ("Entitled by", "Number"),
}
_EXTRA: Mapping[str, tuple[RecordLine, ...]] = {
    "us-amateur-built": (
        RecordLine(
            "statement",
            "Words of the inspection statement, where one is due",
            "lines",
            "From the operating limitations",
        ),
    ),
    "uk-permit": (RecordLine("log_card", "Rotor log card reference"),),
    "ca-amateur-built": (RecordLine("test_flight", "Result of the test flight, where one is due", "lines"),),
    "au": (RecordLine("manual", "Manual of the administering body, with revision"),),
}


def groups_for(jurisdiction: str, asked: Sequence[str] = ()) -> Records:
    """Give the record lines and the places to sign for one jurisdiction.

    ``asked`` are the lines that local rules ask of a record, as the specification gives them.
    """
    extra = _EXTRA.get(jurisdiction, ())
    local = tuple(RecordLine(f"asked_{at}", line, "lines") for at, line in enumerate(asked, start=1))
    found = RecordGroup(_FOUND.id, _FOUND.title, _FOUND.lines + extra)
    releaser = Signature(
        "Released by, entitled under the rules that apply", ("Name", *_RELEASER[jurisdiction], *_PEOPLE[1:])
    )
    signatures = (
        Signature("Work done by", _PEOPLE),
        Signature("Checked by a second person who did not do the work", _PEOPLE),
        releaser,
    )
    named = (RecordGroup("asked", "What the local rules ask", local),) if local else ()
    return Records((_WHEN, _WORK, *named), (found,), signatures)
