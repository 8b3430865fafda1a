"""The rotor on the aircraft: head, reflectors, track, run-up, shake, care, log and print."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal, TypeAlias

from pydantic import Field

from cardgen.layouts_root import edition_names
from cardgen.spec.bound import Bound
from cardgen.spec.model.base import (
    Angle,
    Diameter,
    Group,
    Hours,
    Length,
    Mass,
    Name,
    Radius,
    Rate,
    Sourced,
    Speed,
    Thin,
    ThreadSize,
    Torque,
    Wind,
    Words,
    words,
)
from cardgen.spec.text import Text


class Teeter(Sourced):
    """Play of the hub block along the teeter bolt, and the angle it may teeter."""

    thrust: Literal["bearing", "washer", "adjustable"] = Field(description="what takes the thrust")
    play_max: Annotated[Thin | None, Bound.AT_MOST] = Field(
        default=None, description="most play along the bolt"
    )
    contact: Words | None = Field(default=None, description="which sides must touch")
    teeter_angle: Angle = Field(description="each way, to the stop")


class Head(Sourced):
    """Play of the mast bearing."""

    radial_play: Annotated[Thin, Bound.AT_MOST] = Field(description="most radial play")
    bearing_spacing: Length = Field(description="between the bearings")


class Reflectors(Sourced):
    """Tip reflectors that tell the blades apart."""

    pattern_a: Name = Field(description="on blade A")
    pattern_b: Name = Field(description="on blade B, told apart without colour")
    height: Length = Field(description="of one reflector: the ruler for the split")
    mass: Mass | None = Field(default=None, description="of one, with its holder")
    place: Words = Field(description="where it sits")
    holder: Words = Field(description="how it is held")
    view_from: Words = Field(description="from where the track is watched")


class TrackPoint(Group):
    """The maker's rule for one rotor."""

    diameter: Diameter = Field(description="rotor the rule is stated for")
    chord: Length = Field(description="chord of the blades it is stated for")
    rule: Rate = Field(description="adjustment for each unit of split")


class Track(Sourced):
    """How much adjustment corrects how much split, and every word needed to do it the right way round.

    A split is measured as ``split`` says wherever it stands in this group: in the rule and in
    ``max_split`` alike.
    """

    method: Literal["adjuster", "none"] = Field(description='"none": read, do not adjust')
    split: Literal["total", "half"] | None = Field(
        default=None, description="total: high tip to low tip; half: tip from the mean of both"
    )
    basis: Literal["one blade", "total of both", "amount on each", "whole bar"] | None = Field(
        default=None, description="what the rule's thousandths are made on"
    )
    rule_reads: Literal["dial", "adjuster"] | None = Field(
        default=None, description="whether the rule is read on the dial or made at the adjuster"
    )
    sides: Annotated[tuple[Name, ...], Field(strict=False, min_length=1, max_length=2)] | None = Field(
        default=None, description="the adjusters of a blade as marked on the metal"
    )
    adjuster_thread: ThreadSize | None = Field(default=None, description="size and pitch of the adjuster")
    lever: Length | None = Field(default=None, description="pitch pivot line to adjuster")
    dial_lever: Length | None = Field(default=None, description="pitch pivot line to where the dial touches")
    dial_offset: Length | None = Field(default=None, description="dial tip from the teeter-bolt axis")
    dial_base: Name | None = Field(default=None, description="what the dial's stand sits on")
    first_move: Literal["loosen", "tighten"] | None = Field(default=None, description="which comes first")
    counter_hold: Words | None = Field(default=None, description="what is held meanwhile, where")
    adjuster_torque_min: Annotated[Torque | None, Bound.AT_LEAST] = Field(
        default=None, description="of the adjuster's lock"
    )
    adjuster_torque_max: Annotated[Torque | None, Bound.AT_MOST] = Field(
        default=None, description="of the adjuster's lock"
    )
    to_lower_a: Words | None = Field(default=None, description="what lowers blade A, in the marks on the metal")
    to_lower_b: Words | None = Field(default=None, description="what lowers blade B")
    to_raise_a: Words | None = Field(default=None, description="what raises blade A; where both blades move")
    to_raise_b: Words | None = Field(default=None, description="what raises blade B; where both blades move")
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


class Run(Sourced):
    """Where and how the rotor is turned on the ground."""

    wind_limit: Annotated[Wind, Bound.AT_MOST] = Field(description="most wind")
    clear_radius: Annotated[Radius, Bound.AT_LEAST] = Field(description="nobody nearer than this")
    ground_speeds: Annotated[tuple[Speed, ...], Field(strict=False, min_length=1)] = Field(
        description="speeds of the first run-up"
    )
    track_speeds: Annotated[tuple[Speed, ...], Field(strict=False, min_length=1)] = Field(
        description="speeds the track is read at"
    )


class Shake(Sourced):
    """A once-per-rev instrument, and a retained place for the trial mass."""

    instrument: Words = Field(description="what reads the shake, once per rev")
    trial_mass: Mass = Field(description="one trial mass")
    trial_place: Words = Field(description="where it goes")
    trial_retention: Words = Field(description="what holds it")


class Care(Sourced):
    """Washing, waxing and what to keep away."""

    wash: Words = Field(description="with what")
    wax: Words = Field(description="with what")
    avoid: Annotated[tuple[Words, ...], Field(strict=False, min_length=1)] = Field(description="what harms it")
    interval: Annotated[Hours, Bound.AT_MOST] = Field(description="how often")


class Log(Group):
    """Where the log-entry form is."""

    form_url: Annotated[Text, words(120)] = Field(
        description="https address of the form", examples=["https://log.example.org/rb-2041/"]
    )


if TYPE_CHECKING:
    EditionName: TypeAlias = str
else:
    # The words a specification may say are the files that there are.
    EditionName = Literal[edition_names()]


class Copy(Group):
    """One printed copy and where it hangs."""

    edition: EditionName = Field(description="which edition")
    place: Words = Field(description="where it hangs or is carried")


class Print(Group):
    """Paper, editions and copies."""

    paper: Literal["iso", "ansi"] = Field(description="A sizes or letter sizes")
    editions: Annotated[tuple[EditionName, ...], Field(strict=False, min_length=1)] = Field(
        description="which editions are made"
    )
    copies: Annotated[tuple[Copy, ...], Field(strict=False)] = Field(
        description="every copy, so it can be recalled"
    )
