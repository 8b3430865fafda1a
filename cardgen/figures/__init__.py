"""Every number a deck may show, computed from one specification, each with its source.

Pure computation: nothing here reads a file, knows the time or draws anything.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from types import MappingProxyType

from cardgen.figures.balance import BalanceFigures, balance_figures
from cardgen.figures.castle import CastleNut, castle_figures
from cardgen.figures.fastening import FastenerFigures, fastening_figures
from cardgen.figures.figure import Figure, Origin, Parts
from cardgen.figures.loads import Loads, load_figures
from cardgen.figures.lock_torque import LockTorque, lock_torques
from cardgen.figures.pitch import PitchFigures, pitch_figures
from cardgen.figures.stated import stated_figures
from cardgen.figures.string_line import StringFigures, string_figures
from cardgen.figures.teeter import TeeterFigures, teeter_figures
from cardgen.figures.track_table import TrackTable, track_table
from cardgen.spec.model import RotorSpec
from cardgen.spec.rate import NoRate


@dataclass(frozen=True)
class Figures:
    """All figures of one rotor, by subject and, in ``all``, by id.

    ``track`` is missing where the maker has the track read and not adjusted; ``string``, ``pitch``
    and ``balance`` are missing where their group is.
    """

    fastening: tuple[FastenerFigures, ...]
    castle: tuple[CastleNut, ...]
    string: StringFigures | None
    pitch: PitchFigures | None
    balance: BalanceFigures | None
    teeter: TeeterFigures
    loads: Loads
    locks: tuple[LockTorque, ...]
    track: TrackTable | None
    all: Mapping[str, Figure]


def compute(spec: RotorSpec) -> Figures:
    """Compute every figure of a complete specification.

    Raises `ValueError` for a specification that its rules would have refused, such as a track rule
    without its basis.
    """
    fastening = fastening_figures(spec)
    castle = castle_figures(spec)
    string = string_figures(spec)
    pitch = pitch_figures(spec)
    balance = balance_figures(spec)
    teeter = teeter_figures(spec)
    loads = load_figures(spec)
    locks = lock_torques(spec)
    track = _track(spec)
    known = {figure.id: figure for figure in stated_figures(spec)}
    subjects = (fastening, castle, string, pitch, balance, teeter, loads, locks, track)
    known |= {figure.id: figure for figure in figures_in(subjects)}
    return Figures(
        fastening, castle, string, pitch, balance, teeter, loads, locks, track, MappingProxyType(known)
    )


def _track(spec: RotorSpec) -> TrackTable | None:
    if spec.track.method == "none":
        return None
    table = track_table(spec)
    if isinstance(table, NoRate):
        raise ValueError(table.reason)
    return table


def figures_in(value: object) -> Iterator[Figure]:
    """Find every figure inside a nest of tuples and records."""
    if isinstance(value, Figure):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from figures_in(item)
    elif is_dataclass(value):
        for field in fields(value):
            yield from figures_in(getattr(value, field.name))


__all__ = ["Figure", "Figures", "Origin", "Parts", "compute", "figures_in"]
