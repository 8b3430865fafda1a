"""Which rotor this is, whose rules it stands under, and which documents its numbers come from."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from cardgen.spec.bound import Bound
from cardgen.spec.model.base import (
    Day,
    Diameter,
    Group,
    Length,
    Mass,
    Name,
    SetId,
    Sourced,
    Speed,
    Thin,
    Words,
)


class Rotor(Sourced):
    """The rotor as a whole."""

    set_id: SetId = Field(
        description="name of this rotor's deck: A-Z, 0-9 and -, at most 16", examples=["RB-2041"]
    )
    diameter: Diameter = Field(description="tip to tip")
    rotation: Literal["counter-clockwise", "clockwise"] = Field(description="seen from above")
    pitch: Literal["adjustable", "fixed"] = Field(description="whether the hub has pitch adjusters")
    alignment: Literal["self-centring", "set by string"] = Field(
        description="whether the blades find their own line in the hub or are set to a string"
    )
    mark_a: Name = Field(description="how the metal of blade A is marked", examples=["one dot"])
    mark_b: Name = Field(description="how the metal of blade B is marked", examples=["two dots"])
    marks_at: Words = Field(description="where on the metal the marks are")
    hub_serial: Name = Field(description="serial number of the hub bar")
    normal_speed: Speed = Field(description="rotor speed in level flight")
    mass: Mass | None = Field(default=None, description="whole rotor")


class Blades(Sourced):
    """The pair of blades."""

    serial_a: Name = Field(description="serial number of blade A")
    serial_b: Name = Field(description="serial number of blade B")
    chord: Length = Field(description="leading edge to trailing edge")
    mass: Mass | None = Field(default=None, description="one blade")
    mass_centre: Length | None = Field(default=None, description="of one blade, from the rotor centre")
    strap_pads: Literal["none", "above", "above and below"] = Field(description="pads between blade and strap")
    pad_thickness: Thin | None = Field(default=None, description="of one pad")


class Hub(Sourced):
    """What is looked at on the hub where the blades align themselves."""

    damper: Words = Field(description="what the damper must look like")
    joint_play_max: Annotated[Thin, Bound.AT_MOST] = Field(description="largest play of the joint")


class Aircraft(Group):
    """The aircraft the rotor flies on."""

    registration: Name = Field(description="registration mark")
    mass: Mass = Field(description="loaded mass of the aircraft")


class Authority(Group):
    """Under whose rules the rotor is kept, and until when this card may be used."""

    jurisdiction: Literal["us-amateur-built", "uk-permit", "ca-amateur-built", "au", "other"] = Field(
        description="whose rules for records apply"
    )
    signers: Words = Field(description="who may sign for the work, in the rule's words")
    use_until: Day = Field(description="last day these cards may be used")


class Document(Group):
    """A document that values are taken from."""

    id: Name = Field(description="short name used in every source", examples=["MAKER-1"])
    kind: Literal["maker", "club", "adhesive", "general"] = Field(description="who speaks in it")
    title: Words = Field(description="its title")
    revision: Name = Field(description="its revision")
    date: Day = Field(description="date of that revision")


class Override(Group):
    """A physics flag let pass by a named person for a stated reason."""

    rule: Name = Field(description="id of the flag")
    reason: Words = Field(description="why it may pass")
    document: Name = Field(description="id of the document that supports it")
    acknowledged_by: Name = Field(description="role of the person who accepts it")
    date: Day = Field(description="day it was accepted")
