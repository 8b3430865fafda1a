"""What a change undoes: which checks are done again after something was touched.

Common practice, no source. A maker may ask for more; nothing here lets anybody do less.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import Literal, TypeAlias

Again: TypeAlias = Literal["yes", "check", "no"]


class Check(StrEnum):
    """A check that a change may undo; words for a table's head."""

    STRING = "string"
    PITCH = "pitch"
    BALANCE = "balance"
    TIPS = "tips and breather"
    FASTENERS = "torque and pins"
    TEETER = "play along the teeter bolt"
    STOPS = "stops, clearance, controls"
    TRACK = "track"
    SECOND = "second person"


@dataclass(frozen=True)
class Disturbance:
    """Something that was touched, and for each check whether it is done again.

    ``fasteners`` says which fasteners are meant where only some are.
    """

    what: str
    again: Mapping[Check, Again]
    fasteners: str = ""


_NOTHING: Mapping[Check, Again] = dict.fromkeys(Check, "no")


def _undoes(**again: Again) -> Mapping[Check, Again]:
    named = {Check[name.upper()]: answer for name, answer in again.items()}
    return MappingProxyType({**_NOTHING, **named})


#: One row a change, from the root outward, then the rotor as a whole.
CHANGES = (
    Disturbance(
        "a strap bolt loosened",
        _undoes(
            string="yes", pitch="yes", balance="yes", fasteners="yes", track="yes", second="yes", teeter="check"
        ),
        "all strap bolts of that blade",
    ),
    Disturbance(
        "a pitch block or its shims",
        _undoes(pitch="yes", track="yes", fasteners="yes", teeter="check", second="yes"),
        "block bolts; lock nut read again",
    ),
    Disturbance(
        "an adjuster moved for track",
        _undoes(track="yes", fasteners="yes", teeter="yes", second="yes"),
        "adjuster lock nut",
    ),
    Disturbance(
        "lead or a screw in a tip",
        _undoes(balance="yes", tips="yes", track="check", fasteners="yes", second="yes"),
        "tip screws",
    ),
    Disturbance(
        "hub block moved or its shims",
        _undoes(string="check", teeter="yes", stops="yes", track="check", fasteners="yes", second="yes"),
        "teeter bolt",
    ),
    Disturbance(
        "anything glued to a tip",
        _undoes(balance="yes", tips="check", track="check", second="yes"),
    ),
    Disturbance(
        "paint, tape or wax on one blade",
        _undoes(balance="yes", tips="check", track="check"),
    ),
    Disturbance(
        "whole rotor off and on",
        _undoes(string="check", teeter="yes", stops="yes", track="check", fasteners="yes", second="yes"),
        "teeter bolt",
    ),
)

#: The change that the track runs themselves tell of.
ADJUSTED = "an adjuster moved for track"
#: Measured values on these cards show that something was touched which the track depends on.
TOUCHED_BY_CARD = {
    "assembly": "a strap bolt loosened",
    "string": "a strap bolt loosened",
    "torque": "a strap bolt loosened",
    "pitch": "a pitch block or its shims",
    "balance": "lead or a screw in a tip",
    "sealing": "lead or a screw in a tip",
    "install": "whole rotor off and on",
    "reflectors": "anything glued to a tip",
    "shake": "lead or a screw in a tip",
}
