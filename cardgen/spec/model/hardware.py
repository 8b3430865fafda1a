"""What holds the rotor together: fasteners, their order, the wrenches and the straps."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from cardgen.spec.bound import Bound
from cardgen.spec.model.base import (
    Angle,
    Group,
    Length,
    Name,
    Percent,
    Sourced,
    ThreadSize,
    Torque,
    Words,
)


class Fastener(Sourced):
    """One bolt of each blade, or one of the head."""

    where: Literal["strap", "teeter", "adjuster", "head"] = Field(description="which joint it belongs to")
    station: int = Field(ge=1, le=24, description="its number along the joint; 1 is nearest the root")
    abreast_of: int | None = Field(
        default=None, ge=1, le=24, description="station it stands beside, for the drawing"
    )
    name: Name = Field(description="what the hand calls it")
    fitted_by: Literal["you", "maker"] = Field(description="who tightens it; the maker's are never touched")
    thread: ThreadSize = Field(description="size and pitch")
    nut: Literal["tension", "shear"] | None = Field(
        default=None, description="which column of the thread table bounds its torque"
    )
    washer: Words | None = Field(default=None, description="which washers, where")
    locking: Literal["cotter pin", "self-locking nut", "threadlocker", "lock wire"] = Field(
        description="how it is locked"
    )
    pin_head: Words | None = Field(default=None, description="where the pin's head points; with a cotter pin")
    threads: Literal["dry", "oiled"] = Field(description="condition the torque is stated for")
    torque_min: Annotated[Torque | None, Bound.AT_LEAST] = Field(default=None, description="least torque")
    torque_max: Annotated[Torque | None, Bound.AT_MOST] = Field(default=None, description="most torque")
    fit: Words | None = Field(default=None, description="in place of a torque: how tight, in the maker's words")
    drag: Literal["add", "included", "none"] | None = Field(
        default=None, description="whether running drag is added to the torque, part of it, or absent"
    )
    drag_max: Annotated[Torque | None, Bound.AT_MOST] = Field(
        default=None, description="most running drag; with drag = add"
    )
    turned_at: Literal["nut", "head"] = Field(description="which end is turned")
    entered_from: Literal["below", "above", "leading side", "trailing side"] | None = Field(
        default=None, description="side the bolt enters from"
    )


class Tightening(Sourced):
    """The order in which the strap bolts are tightened."""

    pattern: Literal["row", "circle"] = Field(description="a row along the strap, or a circle")
    order: Annotated[tuple[int, ...], Field(strict=False, min_length=1)] = Field(
        description="strap stations in the maker's order"
    )
    stages: Annotated[tuple[int, ...], Field(strict=False, min_length=1)] | None = Field(
        default=None, description="percent of the final torque, stage by stage, the last 100"
    )


class Wrench(Group):
    """A torque wrench on this bench."""

    id: Name = Field(description="its number on the bench")
    kind: Literal["click", "dial", "beam"] = Field(description="a click wrench cannot read drag")
    length: Length = Field(description="square drive to the middle of the grip")
    extension: Length | None = Field(default=None, description="from the drive to the nut")
    angle: Angle | None = Field(default=None, description="between extension and handle; 0 deg in line")
    error: Percent = Field(description="percent, from its calibration sheet")
    range_min: Annotated[Torque, Bound.AT_LEAST] = Field(description="lowest setting it may be used at")
    range_max: Annotated[Torque, Bound.AT_MOST] = Field(description="highest setting it may be used at")
    graduation: Torque = Field(description="one division of its scale")


class Straps(Sourced):
    """What the maker asks for when the blades are laid in the straps."""

    notes: Annotated[tuple[Words, ...], Field(strict=False, min_length=1)] = Field(
        description="one sentence each"
    )
