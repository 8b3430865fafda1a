"""The track-to-adjustment table of one rotor: split in, movement of one blade's adjuster out.

    amount the rule asks for = rate x total split
    one blade, whole bar     all of it at the one adjuster
    total of both            half of it on each blade, the two moves opposite
    amount on each           all of it on each blade, the two moves opposite

The rule is read where ``rule_reads`` says. The pitch block is a lever, so the dial and the adjuster
move as their distances from the pitch pivot line. One flat of a hexagon is a sixth of a turn, hence
a sixth of the thread's pitch (ASME B1.1 threads advance one pitch a turn).

Nothing printed here ever passes the rule: everything is rounded down.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from cardgen.figures.figure import Figure, computed
from cardgen.figures.rounding import decimals_of
from cardgen.figures.track_facts import (
    INCH,
    METRIC,
    Scale,
    differs_figure,
    false_reading,
    first_rate_figure,
    good_enough_figure,
    judged_figure,
    max_split_as_stated,
    max_split_figure,
    rate_figure,
    rule_sources,
)
from cardgen.figures.track_flats import flats_of_movement, flats_of_rule, per_flat_figure
from cardgen.figures.track_total import max_total_figure, max_total_read_figure, within_total
from cardgen.spec.bound import Bound
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.track import Track
from cardgen.spec.rate import NoRate, is_turnbuckle, measures, rate_at, total_of, track_rate
from cardgen.spec.units import Quantity, magnitude, quantity, unit_of

Moves = Literal["one blade", "both blades, opposite", "whole bar"]

#: What the hand moves, by the basis of the rule.
MOVES: Mapping[str, Moves] = {
    "one blade": "one blade",
    "total of both": "both blades, opposite",
    "amount on each": "both blades, opposite",
    "whole bar": "whole bar",
}
_SHARE_WORDS = {
    "one blade": "all of it on one blade",
    "total of both": "half of it on each blade",
    "amount on each": "all of it on each blade",
    "whole bar": "all of it at the one adjuster",
}


@dataclass(frozen=True)
class TrackRow:
    """One row: a total split, and what the hand does on one blade. What cannot be known is left out."""

    split: Figure
    adjust: Figure | None
    flats: Figure | None
    dial: Figure | None

    def as_json(self) -> dict[str, float | None]:
        """Give the row's exact values in both systems, None where one is not known."""
        return {
            "split_in": _float(self.split, "in"),
            "split_mm": _float(self.split, "mm"),
            "adjust_thou": _float(self.adjust, "thou"),
            "adjust_mm": _float(self.adjust, "mm"),
            "flats": _float(self.flats, "flats"),
            "dial_thou": _float(self.dial, "thou"),
        }


@dataclass(frozen=True)
class TrackTable:
    """The table, and everything the cards say about it.

    ``first_rows`` are for the first step only, from the smaller end value of an interpolation; they
    are empty where the rate is a stated point. ``stopped_by`` names the limit that ends the table.
    ``max_total_read`` is the largest total where the hand reads it; two readings further apart than
    ``differs_by_eye`` or ``differs_on_video`` differ beyond chance.
    """

    rate: Figure
    rate_first_step: Figure | None
    rows: tuple[TrackRow, ...]
    first_rows: tuple[TrackRow, ...]
    stopped_by: Literal["max_split", "max_total"]
    max_split: Figure
    max_split_stated: Figure | None
    max_total: Figure | None
    max_total_read: Figure | None
    good_enough: Figure | None
    per_flat: Figure | None
    false_half_degree: Figure | None
    false_one_degree: Figure | None
    judged_by_eye: Figure
    judged_on_video: Figure
    differs_by_eye: Figure
    differs_on_video: Figure
    moves: Moves
    unit: str
    source: str

    @property
    def eye_judges(self) -> bool:
        """Whether the table reaches a split after which a second reading by eye tells anything."""
        return self._reaches(self.judged_by_eye)

    @property
    def video_judges(self) -> bool:
        """The same for a second reading on video."""
        return self._reaches(self.judged_on_video)

    @property
    def eye_shows_limit(self) -> bool:
        """Whether a reading by eye can show that the split is good enough; a finer one shows it on video."""
        return self.good_enough is not None and self.good_enough.quantity >= self.differs_by_eye.quantity

    @property
    def video_shows_limit(self) -> bool:
        """The same for a reading on video."""
        return self.good_enough is not None and self.good_enough.quantity >= self.differs_on_video.quantity

    def _reaches(self, split: Figure) -> bool:
        return bool(self.rows) and self.rows[-1].split.quantity >= split.quantity

    @property
    def interpolated(self) -> bool:
        """Whether the rate lies between two stated points."""
        return self.rate_first_step is not None


def rows_among(figures: Mapping[str, Figure], table: Literal["row", "first"]) -> tuple[TrackRow, ...]:
    """Find the rows of a table among a deck's figures: every change's, or only the first one's."""
    rows: list[TrackRow] = []
    while key := figures.get(f"track.{table}.{len(rows) + 1}.split"):
        name = f"track.{table}.{len(rows) + 1}"
        rest = (figures.get(f"{name}.{column}") for column in ("adjust", "flats", "dial"))
        rows.append(TrackRow(key, *rest))
    return tuple(rows)


def track_table(spec: RotorSpec) -> TrackTable | NoRate:
    """Compute the table for this rotor's diameter, or say why there is none.

    Raises `ValueError` for a track group that lacks its basis or its largest split; the rules of a
    specification refuse such a group before it gets here.
    """
    track = spec.track
    found = track_rate(track, spec.rotor.diameter)
    if isinstance(found, NoRate):
        return found
    if track.basis is None or track.max_split is None:
        raise ValueError("a track rule without basis or largest split")
    scale = INCH if unit_of(found.rate).shown.endswith("/in") else METRIC
    most = total_of(track, track.max_split)
    splits = tuple(_splits(magnitude(most, scale.split), scale.row))
    kept = tuple(split for split in splits if within_total(track, found.rate, quantity(split, scale.split)))
    make = _RowMaker(spec, scale)
    interpolated = found.interpolated
    return TrackTable(
        rate=rate_figure(spec, found),
        rate_first_step=first_rate_figure(spec, found) if interpolated else None,
        rows=tuple(make.row("row", at, split, found.rate) for at, split in enumerate(kept, 1)),
        first_rows=tuple(make.row("first", at, split, found.first_step) for at, split in enumerate(kept, 1))
        if interpolated
        else (),
        stopped_by="max_split" if len(kept) == len(splits) else "max_total",
        max_split=max_split_figure(spec, most),
        max_split_stated=max_split_as_stated(spec),
        max_total=max_total_figure(spec),
        max_total_read=max_total_read_figure(spec, scale),
        good_enough=good_enough_figure(spec),
        per_flat=per_flat_figure(track, scale),
        false_half_degree=false_reading(track, scale, "half_degree", Fraction(1, 2)),
        false_one_degree=false_reading(track, scale, "one_degree", Fraction(1)),
        judged_by_eye=judged_figure(scale, "by eye", "by_eye", found),
        judged_on_video=judged_figure(scale, "video", "on_video", found),
        differs_by_eye=differs_figure(scale, "by eye", "by_eye"),
        differs_on_video=differs_figure(scale, "video", "on_video"),
        moves=MOVES[track.basis],
        unit=scale.thin,
        source=rule_sources(spec, found),
    )


def amount_to_read(track: Track, rate: Quantity, split: Quantity) -> tuple[Quantity | None, Quantity | None]:
    """Give what one blade's adjuster moves and what its dial shows for a total split.

    One of the two is None where a lever is not stated; the dial where the hand goes by flats.
    """
    at = rate_at(track, rate)
    adjust, dial = (None if each is None else each * split * _share(track) for each in (at.adjuster, at.dial))
    return adjust, (dial if track.set_by == "dial" else None)


def _share(track: Track) -> Fraction:
    """How much of what the rule asks for one blade gets."""
    return Fraction(1, 2) if track.basis == "total of both" else Fraction(1)


def _splits(most: Fraction, row: Fraction) -> Iterator[Fraction]:
    whole = most // row
    for count in range(1, whole + 1):
        yield count * row
    if whole * row < most:
        yield most


@dataclass(frozen=True)
class _RowMaker:
    spec: RotorSpec
    scale: Scale

    def row(self, table: str, at: int, split: Fraction, rate: Quantity) -> TrackRow:
        name = f"track.{table}.{at}"
        track = self.spec.track
        key = self._split(name, split)
        adjust, dial = amount_to_read(track, rate, key.quantity)
        return TrackRow(
            split=key,
            adjust=self._thin(name, "adjust", adjust, "adjuster"),
            flats=self._flats(name, adjust, rate, key.quantity),
            dial=self._thin(name, "dial", dial, "dial"),
        )

    def _flats(self, name: str, adjust: Quantity | None, rate: Quantity, split: Quantity) -> Figure | None:
        track = self.spec.track
        if not is_turnbuckle(track):
            return flats_of_movement(track, name, adjust)
        if measures(rate) != "flats":
            return None
        turned = quantity(magnitude(rate, "flats/in") * magnitude(split, "in") * _share(track), "flats")
        return flats_of_rule(name, turned, _formula(track), _rate_of(name))

    def _split(self, name: str, split: Fraction) -> Figure:
        fewest = 0 if self.scale is METRIC else 2
        return computed(
            f"{name}.split",
            quantity(split, self.scale.split),
            self.scale.split,
            decimals=max(fewest, decimals_of(split, 4) or 0),
            formula="total split, high tip to low tip, on even steps up to the largest",
            inputs=("track.max_split",),
        )

    def _thin(self, name: str, what: str, moved: Quantity | None, at: str) -> Figure | None:
        if moved is None:
            return None
        track = self.spec.track
        formula = _formula(track)
        inputs: tuple[str, ...] = (_rate_of(name), f"{name}.split")
        if track.rule_reads != at:
            levers = "adjuster lever over dial lever" if at == "adjuster" else "dial lever over adjuster lever"
            formula += f", times {levers}"
            inputs += ("track.lever", "track.dial_lever")
        return computed(
            f"{name}.{what}",
            quantity(magnitude(moved, self.scale.thin), self.scale.thin),
            self.scale.thin,
            decimals=self.scale.decimals,
            step=self.scale.mark,
            bound=Bound.AT_MOST,
            formula=f"{formula}; rounded down to the dial's mark",
            inputs=inputs,
        )


def _formula(track: Track) -> str:
    return f"rate times split, {_SHARE_WORDS[str(track.basis)]}"


def _rate_of(name: str) -> str:
    """Name the rate that a row is made by; first rows, where there are such, have their own."""
    return "track.rate" if name.startswith("track.row.") else "track.rate_first_step"


def _float(figure: Figure | None, unit: str) -> float | None:
    return None if figure is None else float(magnitude(figure.quantity, unit))
