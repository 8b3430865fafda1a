"""The rotor on the aircraft: head, lift, reflectors, run-up, shake, care, log and print."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Literal, TypeAlias

from pydantic import Field

from cardgen.layouts_root import edition_names, usual_editions
from cardgen.spec.bound import Bound
from cardgen.spec.model.base import (
    Angle,
    Force,
    Group,
    Hours,
    Length,
    Mass,
    Name,
    Radius,
    Sourced,
    Speed,
    Thin,
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
    push: Force | None = Field(default=None, description="force at the head while the play is read")


class Install(Sourced):
    """Lifting the rotor onto the head, and the room it must have there."""

    tail_gap_min: Annotated[Length | None, Bound.AT_LEAST] = Field(
        default=None, description="blade to tail, propeller and mast, stick at its worst"
    )
    lift_at: Words = Field(description="where the rotor is held when it is lifted")


class Reflectors(Sourced):
    """Tip reflectors that tell the blades apart."""

    pattern_a: Name = Field(description="on blade A")
    pattern_b: Name = Field(description="on blade B, told apart without colour")
    height: Length = Field(description="of one reflector: the ruler for the split")
    mass: Mass | None = Field(default=None, description="of one, with its holder")
    place: Words = Field(description="where it sits")
    faces: Words = Field(description="toward whom the pattern looks")
    holder: Words = Field(description="how it is held")
    view_from: Words = Field(description="from where the track is watched")


class Run(Sourced):
    """Where and how the rotor is turned, and where its track is read."""

    wind_limit: Annotated[Wind | None, Bound.AT_MOST] = Field(default=None, description="most wind")
    clear_radius: Annotated[Radius | None, Bound.AT_LEAST] = Field(
        default=None, description="nobody nearer than this"
    )
    ground_speeds: Annotated[tuple[Speed, ...], Field(strict=False, min_length=1)] | None = Field(
        default=None, description="speeds of the first run-up"
    )
    track_speeds: Annotated[tuple[Speed, ...], Field(strict=False, min_length=1)] | None = Field(
        default=None, description="speeds the track is read at"
    )
    track_read_in: Literal["flight", "ground"] | None = Field(
        default=None, description="where those speeds are reached; with track_speeds"
    )


class Shake(Sourced):
    """A once-per-rev instrument, and a retained place for the trial mass."""

    instrument: Words = Field(description="what reads the shake, once per rev")
    trial_mass: Mass = Field(description="one trial mass")
    trial_place: Words = Field(description="where it goes")
    trial_retention: Words = Field(description="what holds it")


class Care(Sourced):
    """Washing, waxing and what to keep away; each key may be left out."""

    wash: Words | None = Field(default=None, description="with what")
    wax: Words | None = Field(default=None, description="with what")
    avoid: Annotated[tuple[Words, ...], Field(strict=False, min_length=1)] | None = Field(
        default=None, description="what harms it"
    )
    interval: Annotated[Hours | None, Bound.AT_MOST] = Field(default=None, description="how often")
    retorque_after: Hours | None = Field(
        default=None, description="the first hours, then the hold point and new pins"
    )


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

    paper: Literal["iso", "ansi"] = Field(default="iso", description="A sizes or letter sizes")
    editions: Annotated[tuple[EditionName, ...], Field(strict=False, min_length=1)] = Field(
        default=usual_editions(), description="which editions are made"
    )
    copies: Annotated[tuple[Copy, ...], Field(strict=False)] = Field(
        default=(), description="every copy, so it can be recalled"
    )
