"""What holds the rotor together: fasteners, their order, the wrenches and the straps."""

from __future__ import annotations

from typing import Annotated, Literal, TypeAlias

from pydantic import Field

from cardgen.spec.bound import Bound
from cardgen.spec.model.base import (
    Angle,
    Day,
    Group,
    Length,
    Name,
    Percent,
    Sourced,
    ThreadSize,
    Torque,
    Words,
)

Locking: TypeAlias = Literal["cotter pin", "self-locking nut", "threadlocker", "lock wire", "tab washer"]
#: Two stations side by side, the one at the leading edge first.
Abreast: TypeAlias = Annotated[tuple[int, int], Field(strict=False)]
Station: TypeAlias = Annotated[int, Field(ge=1, le=24)]


class Fastener(Sourced):
    """Bolts that are alike in everything but their place; of the maker's own, little more than a name."""

    where: Literal["strap", "teeter", "adjuster", "head"] = Field(description="which joint they belong to")
    #: Empty only for the maker's own that no paper numbers: they are named in words and stand on no map.
    stations: Annotated[tuple[Station, ...], Field(strict=False, min_length=1)] = Field(
        default=(),
        description="their numbers along the joint, 1 nearest the root; left out only for bolts of the maker's "
        "own that no paper numbers",
        examples=[[1, 2]],
    )
    places: Annotated[tuple[Name, ...], Field(strict=False, min_length=1)] | None = Field(
        default=None, description="one for each station", examples=[["inner", "outer"]]
    )
    name: Name = Field(description="what the hand calls them")
    fitted_by: Literal["you", "maker"] = Field(description="who tightens them; the maker's are never touched")
    thread: ThreadSize | None = Field(default=None, description="size and pitch; if you fit them")
    nut: Literal["tension", "shear"] | None = Field(
        default=None, description="which column of the thread table bounds the torque"
    )
    washer: Words | None = Field(default=None, description="which washers, where")
    locking: Locking | None = Field(default=None, description="how they are locked; if you fit them")
    pin_head: Words | None = Field(default=None, description="where the pin's head points; with a cotter pin")
    threads: Literal["dry", "oiled", "greased"] | None = Field(
        default=None, description="condition the torque is stated for; if you fit them"
    )
    torque_min: Annotated[Torque | None, Bound.AT_LEAST] = Field(default=None, description="least torque")
    torque_max: Annotated[Torque | None, Bound.AT_MOST] = Field(default=None, description="most torque")
    fit: Words | None = Field(
        default=None, description="in place of a torque: how tight, in the maker's words, without a number"
    )
    drag: Literal["add", "included", "none"] | None = Field(
        default=None, description="whether running drag is added to the torque, part of it, or absent"
    )
    drag_max: Annotated[Torque | None, Bound.AT_MOST] = Field(
        default=None, description="most running drag; with drag = add"
    )
    turned_at: Literal["nut", "head"] | None = Field(
        default=None, description="which end is turned; if you fit them"
    )
    entered_from: Literal["below", "above", "leading side of blade A", "trailing side of blade A"] | None = (
        Field(default=None, description="side the bolts enter from")
    )


class Tightening(Sourced):
    """The order in which the strap bolts are tightened; left out where the maker fits them all."""

    pattern: Literal["row", "circle"] = Field(description="a row along the strap, or a circle")
    counted: Literal["clockwise", "counter-clockwise"] | None = Field(
        default=None, description="which way the stations of a circle are counted"
    )
    seen_from: Literal["above", "below"] | None = Field(
        default=None, description="from where that is seen; with a circle"
    )
    order: Annotated[tuple[int, ...], Field(strict=False, min_length=1)] = Field(
        description="strap stations in the maker's order"
    )
    abreast: Annotated[tuple[Abreast, ...], Field(strict=False, min_length=1)] | None = Field(
        default=None,
        description="stations side by side, the one at the leading edge first",
        examples=[[[2, 3]]],
    )
    stages: Annotated[tuple[int, ...], Field(strict=False, min_length=1)] | None = Field(
        default=None, description="percent of the final window, without the drag, the last 100"
    )


class Wrench(Group):
    """A torque wrench on this bench; a preset one has one setting in place of a scale."""

    id: Name = Field(description="its number on the bench")
    kind: Literal["click", "dial", "beam", "preset"] = Field(
        description="click and preset wrenches cannot read drag"
    )
    length: Length | None = Field(
        default=None, description="square drive to the middle of the grip; with an extension"
    )
    extension: Length | None = Field(default=None, description="from the drive to the nut")
    angle: Angle | None = Field(default=None, description="between extension and handle; 0 deg in line")
    error: Percent = Field(description="percent, from its calibration sheet")
    range_min: Annotated[Torque | None, Bound.AT_LEAST] = Field(
        default=None, description="lowest setting it may be used at; not with preset"
    )
    range_max: Annotated[Torque | None, Bound.AT_MOST] = Field(
        default=None, description="highest setting it may be used at; not with preset"
    )
    graduation: Torque | None = Field(default=None, description="one division of its scale; not with preset")
    preset: Torque | None = Field(default=None, description="its one setting; with preset alone")
    calibrated_until: Day | None = Field(default=None, description="last day its calibration holds")


class Straps(Sourced):
    """What the maker asks for when the blades are laid in the straps."""

    notes: Annotated[tuple[Words, ...], Field(strict=False, min_length=1)] = Field(
        description="one sentence each"
    )
