"""Which rotor this is, whose rules it stands under, and which documents its numbers come from."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from cardgen.spec.bound import Bound
from cardgen.spec.model.base import (
    Day,
    Diameter,
    Drawn,
    Group,
    Length,
    Mass,
    Name,
    PaperDay,
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
    rotation: Literal["counter-clockwise", "clockwise"] = Field(
        description="which way it turns, seen from above"
    )
    pitch: Literal["adjustable", "fixed"] = Field(description="whether the hub has pitch adjusters")
    alignment: Literal["self-centring", "set by string"] = Field(
        description="whether the blades find their own line in the hub or are set to a string"
    )
    mark_a: Name = Field(description="how the metal of blade A is marked", examples=["one dot"])
    mark_b: Name = Field(description="how the metal of blade B is marked", examples=["two dots"])
    drawn_a: Drawn | None = Field(default=None, description="how the mark of blade A is drawn; both or none")
    drawn_b: Drawn | None = Field(default=None, description="how the mark of blade B is drawn")
    marks_at: Words | None = Field(default=None, description="where on the metal the marks are")
    hub_serial: Name = Field(description="serial number of the hub bar")
    normal_speed: Speed = Field(description="rotor speed in level flight, of a range the upper end")
    least_speed: Annotated[Speed | None, Bound.AT_LEAST] = Field(
        default=None, description="the maker's least in flight"
    )
    most_speed: Annotated[Speed | None, Bound.AT_MOST] = Field(default=None, description="never exceeded")
    mass: Mass | None = Field(default=None, description="whole rotor")


class Blades(Sourced):
    """The pair of blades."""

    serial_a: Name = Field(description="serial number of blade A")
    serial_b: Name = Field(description="serial number of blade B")
    chord: Length = Field(description="leading edge to trailing edge")
    mass: Mass | None = Field(default=None, description="one blade")
    mass_centre: Length | None = Field(default=None, description="of one blade, from the rotor centre")
    strap_pads: Literal["none", "above", "above and below"] | None = Field(
        default=None, description="pads between blade and strap"
    )
    pad_thickness: Thin | None = Field(default=None, description="of one pad")


class Hub(Sourced):
    """What is looked at on the hub where the blades align themselves."""

    damper: Words = Field(description="what the damper must look like")
    joint_play_max: Annotated[Thin, Bound.AT_MOST] = Field(description="largest play of the joint")


class Aircraft(Group):
    """The aircraft the rotor flies on."""

    registration: Name | None = Field(default=None, description="registration mark")
    mass: Mass | None = Field(default=None, description="loaded mass of the aircraft")


class Authority(Group):
    """Under whose rules the rotor is kept, and until when this card may be used."""

    jurisdiction: Literal["us-amateur-built", "uk-permit", "ca-amateur-built", "au", "other"] = Field(
        description="whose rules for records apply"
    )
    signers: Words = Field(description="who may sign for the work, in the rule's words")
    use_until: Day = Field(description="last day these cards may be used")
    record: Annotated[tuple[Words, ...], Field(strict=False, min_length=1)] | None = Field(
        default=None, description='the lines that local rules ask of a record; with "other"'
    )


class Document(Group):
    """A document that values are taken from."""

    id: Name = Field(description="short name used in every source", examples=["MAKER-1"])
    kind: Literal["maker", "club", "adhesive", "general"] = Field(description="who speaks in it")
    title: Words = Field(description="its title")
    revision: Name = Field(description='its revision, or "none" where it bears none')
    date: PaperDay = Field(description='its date, as far as the paper gives it, or "undated"')


class Override(Group):
    """One flag let pass, for one key and one value, by a named person for a stated reason."""

    rule: Name = Field(description="id of the flag")
    key: Name = Field(description="the key that the flag names", examples=["track.points[1].rule"])
    value: Words = Field(description="that key's value as it was typed; another value is refused again")
    reason: Words = Field(description="why it may pass")
    document: Name = Field(description="id of the document that supports it")
    acknowledged_by: Name = Field(description="role of the person who accepts it")
    date: Day = Field(description="day it was accepted")
