"""What is set and measured on the bench: string, pitch, balance and tips."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from cardgen.spec.bound import Bound
from cardgen.spec.model.base import (
    Angle,
    Group,
    Hours,
    Length,
    Mass,
    Name,
    Sourced,
    Temperature,
    Thin,
    Torque,
    Words,
)


class StringCheck(Group):
    """One reading of the string: sweep from the hub face, or the centre mark."""

    method: Literal["hub face", "centre mark"] = Field(description="what the string is compared with")
    sweep_min: Annotated[Length | None, Bound.AT_LEAST] = Field(
        default=None, description="least sweep of each blade; with hub face"
    )
    sweep_max: Annotated[Length | None, Bound.AT_MOST] = Field(
        default=None, description="most sweep of each blade; with hub face"
    )
    difference: Annotated[Length | None, Bound.AT_MOST] = Field(
        default=None, description="most difference between the blades"
    )
    measured_at: Name | None = Field(default=None, description="where the sweep is read")
    limit: Annotated[Length | None, Bound.AT_MOST] = Field(
        default=None, description="most offset at the centre mark"
    )


class String(Sourced):
    """Straight alignment with a line from tip to tip."""

    mark_spacing: Length | None = Field(default=None, description="from the centre mark to each side mark")
    strap_radius: Length | None = Field(
        default=None, description="rotor centre to the bolt the blade would swing about; for the shake it makes"
    )
    tip_support: Length | None = Field(default=None, description="height both tips are propped above level")
    checks: Annotated[tuple[StringCheck, ...], Field(strict=False, min_length=1)] = Field(
        description="in the order they are done"
    )


class PitchSwap(Group):
    """The maker's change of pitch by swapping shims across the block."""

    corners: Annotated[tuple[Name, ...], Field(strict=False, min_length=2, max_length=2)] = Field(
        description="the two corners that change places"
    )
    change: Angle = Field(description="change of blade angle from one swap")
    bolts: Words = Field(description="what is undone for it, in the maker's words")


class PitchShim(Group):
    """One stack of shims as fitted."""

    blade: Literal["A", "B"] = Field(description="which blade")
    corner: Name = Field(description="which corner of the block")
    thickness: Thin = Field(description="whole stack")


class Pitch(Sourced):
    """Blade angle by protractor."""

    station: Length | None = Field(default=None, description="radius where the protractor sits")
    angle: Angle = Field(description="the maker's angle there")
    tolerance: Annotated[Angle | None, Bound.AT_MOST] = Field(default=None, description="each way")
    max_difference: Annotated[Angle, Bound.AT_MOST] = Field(description="between the blades")
    swap: PitchSwap | None = Field(default=None, description="change by diagonal swap of shims")
    shims: Annotated[tuple[PitchShim, ...], Field(strict=False)] | None = Field(
        default=None, description="stacks as fitted"
    )


class Balance(Sourced):
    """Spanwise balance on level parallels, with lead in the tips."""

    tip_radius: Length = Field(description="rotor centre to the middle of the cavity")
    cavity_diameter: Length = Field(description="of the hole the lead goes in")
    cavity_depth: Length = Field(description="of that hole")
    screw_hole: Length | None = Field(
        default=None, description="hole through the slug for its screw; the slug is then longer"
    )
    max_lead: Annotated[Mass, Bound.AT_MOST] = Field(description="most lead in one tip")
    place: Words = Field(description="where the lead goes")
    retention: Words = Field(description="what holds it")
    height_limit: Annotated[Length | None, Bound.AT_MOST] = Field(
        default=None, description="most difference of tip heights"
    )
    pivot_bolt: Length = Field(description="diameter of the bolt that rolls on the parallels")
    level_point: Words = Field(description="where the water level touches, on both blades")


class Cure(Group):
    """How long the threadlocker takes at one temperature."""

    temperature: Temperature = Field(description="of the blade and the room")
    time: Annotated[Hours, Bound.AT_LEAST] = Field(description="until it may be run")
    source: Words = Field(description="document id and place")


class Tip(Sourced):
    """Tip screws, their locking, and the breather that must stay open."""

    screws: Words = Field(description="how many, which")
    screw_torque: Torque | None = Field(default=None, description="if the maker states one")
    threadlocker: Words = Field(description="which strength or kind")
    breather_at: Words = Field(description="where the blade breathes")
    breather_test: Words = Field(description="how it is shown to be open")
    driver: Words = Field(description="which driver or bit")
    cure: Annotated[tuple[Cure, ...], Field(strict=False)] | None = Field(
        default=None, description="one row a temperature"
    )
