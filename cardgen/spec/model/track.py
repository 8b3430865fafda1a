"""Track: how much adjustment corrects how much split, and which hand does what to which adjuster."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from cardgen.spec.bound import Bound
from cardgen.spec.model.base import (
    Diameter,
    Drawn,
    Group,
    Length,
    Name,
    Rate,
    Sourced,
    Thin,
    ThreadSize,
    Torque,
    Words,
)


class TrackPoint(Group):
    """The maker's rule for one rotor."""

    diameter: Diameter = Field(description="rotor the rule is stated for")
    chord: Length = Field(description="chord of the blades it is stated for")
    rule: Rate = Field(description="adjustment for each unit of split")


class Move(Group):
    """What a hand does to one blade's adjusters: two of them, one screw, or one part of two lengths."""

    loosen: Name | None = Field(default=None, description="mark of the adjuster that is loosened")
    tighten: Name | None = Field(default=None, description="mark of the adjuster that is tightened")
    turn: Literal["clockwise", "counter-clockwise"] | None = Field(
        default=None, description="which way one adjuster is turned"
    )
    seen_from: Words | None = Field(default=None, description="from where that is seen; with turn")
    shorten: Name | None = Field(default=None, description="mark of the part that is made shorter")
    lengthen: Name | None = Field(default=None, description="mark of the part that is made longer")


class Moves(Group):
    """The same for both blades."""

    a: Move = Field(description="on blade A")
    b: Move = Field(description="on blade B")


class TrackWords(Group):
    """The maker's own words for the moves, in any language: printed beside them and never read."""

    lower_a: Words | None = Field(default=None, description="what lowers blade A")
    lower_b: Words | None = Field(default=None, description="what lowers blade B")
    raise_a: Words | None = Field(default=None, description="what raises blade A")
    raise_b: Words | None = Field(default=None, description="what raises blade B")


class Track(Sourced):
    """The rule and every factor that a correction needs.

    A split is measured as ``split`` says wherever it stands in this group: in the rule, in ``max_split``
    and in ``good_enough`` alike.
    """

    method: Literal["adjuster", "none"] = Field(description='how track is adjusted; "none": only read')
    split: Literal["total", "half"] | None = Field(
        default=None, description="total: high tip to low tip; half: tip from the mean of both"
    )
    basis: Literal["one blade", "total of both", "amount on each", "whole bar"] | None = Field(
        default=None, description="what the rule's amount is made on"
    )
    set_by: Literal["dial", "flats"] | None = Field(default=None, description="what the hand goes by")
    rule_reads: Literal["dial", "adjuster"] | None = Field(
        default=None, description="whether the rule is read on the dial or made at the adjuster"
    )
    sides: Annotated[tuple[Name, ...], Field(strict=False, min_length=1, max_length=2)] | None = Field(
        default=None, description="the adjusters of a blade by their marks on the metal"
    )
    sides_a: Annotated[tuple[Name, ...], Field(strict=False, min_length=1, max_length=2)] | None = Field(
        default=None, description="of blade A, where the blades are marked differently"
    )
    sides_b: Annotated[tuple[Name, ...], Field(strict=False, min_length=1, max_length=2)] | None = Field(
        default=None, description="of blade B, where the blades are marked differently"
    )
    sides_drawn: Annotated[tuple[Drawn, ...], Field(strict=False, min_length=1, max_length=2)] | None = Field(
        default=None, description="how the marks in `sides` are drawn"
    )
    adjuster_thread: ThreadSize | None = Field(default=None, description="size and pitch of the adjuster")
    lever: Length | None = Field(default=None, description="pitch pivot line to adjuster")
    dial_lever: Length | None = Field(default=None, description="pitch pivot line to where the dial touches")
    dial_touches: Name | None = Field(default=None, description="what moves under the dial")
    dial_base: Name | None = Field(default=None, description="what the dial's stand is on")
    dial_offset: Length | None = Field(default=None, description="dial tip from the teeter-bolt axis")
    first_move: Literal["loosen", "tighten"] | None = Field(
        default=None, description="which comes first, where a blade has two adjusters"
    )
    counter_hold: Words | None = Field(default=None, description="what is held meanwhile, where")
    adjuster_torque_min: Annotated[Torque | None, Bound.AT_LEAST] = Field(
        default=None, description="of the adjuster's lock"
    )
    adjuster_torque_max: Annotated[Torque | None, Bound.AT_MOST] = Field(
        default=None, description="of the adjuster's lock"
    )
    points: Annotated[tuple[TrackPoint, ...], Field(strict=False, min_length=1)] | None = Field(
        default=None, description="the maker's rules, one a rotor size"
    )
    interpolate: bool | None = Field(
        default=None, description="whether the maker lets values between two points be used"
    )
    max_split: Annotated[Length | None, Bound.AT_MOST] = Field(
        default=None, description="largest split that may be adjusted out"
    )
    max_total: Annotated[Thin | None, Bound.AT_MOST] = Field(
        default=None, description="largest net adjustment from as delivered"
    )
    max_total_reads: Literal["dial", "adjuster"] | None = Field(
        default=None, description="where that total is read; with max_total"
    )
    max_total_of: Literal["one blade", "both, added"] | None = Field(
        default=None, description="what it counts, where both blades move"
    )
    good_enough: Annotated[Length | None, Bound.AT_MOST] = Field(
        default=None, description="the split at which the work is done"
    )
    to_lower: Moves | None = Field(default=None, description="what brings each blade down")
    to_raise: Moves | None = Field(
        default=None, description="what brings each blade up; where both blades move"
    )
    said: TrackWords | None = Field(default=None, description="the maker's own words, never read")
