"""What the track card asks about the track group, answered once, in words and figures."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from cardgen.deck.moves import move_words
from cardgen.deck.templates import quoted
from cardgen.figures.figure import Figure
from cardgen.figures.track_table import TrackRow, TrackTable
from cardgen.spec.model import RotorSpec
from cardgen.spec.units import magnitude, unit_of


@dataclass(frozen=True)
class TrackWords:
    """The track table as the card needs it; without one, the card says to read and not to adjust."""

    spec: RotorSpec
    table: TrackTable | None

    @property
    def adjusts(self) -> bool:
        """Whether this rotor's track is adjusted at all."""
        return self.table is not None and bool(self.table.rows)

    @property
    def both_move(self) -> bool:
        """Whether both blades are moved, in opposite senses."""
        return self.table is not None and self.table.moves == "both blades, opposite"

    @property
    def by_dial(self) -> bool:
        """Whether the hand goes by a dial; else it counts flats."""
        return self.spec.track.set_by == "dial"

    @property
    def two_sides(self) -> bool:
        """Whether a blade has two adjusters that work against each other."""
        lower = self.spec.track.to_lower
        return lower is not None and lower.a.loosen is not None

    @property
    def other_move(self) -> str:
        """What is done to the second of two adjusters."""
        return "loosen" if self.spec.track.first_move == "tighten" else "tighten"

    @property
    def first_side(self) -> Markup | None:
        """The adjuster that is moved first by its mark, where it is the same on both blades."""
        return self._side(str(self.spec.track.first_move))

    @property
    def other_side(self) -> Markup | None:
        """The other one by its mark."""
        return self._side(self.other_move)

    def _side(self, verb: str) -> Markup | None:
        lower = self.spec.track.to_lower
        if lower is None or lower.a != lower.b:
            return None
        return Markup("the one marked {}").format(quoted(getattr(lower.a, verb), f"track.to_lower.a.{verb}"))

    @property
    def counts_both(self) -> bool:
        """Whether the largest total counts the changes of both blades, added."""
        return self.spec.track.max_total_of == "both, added"

    @property
    def total(self) -> Figure | None:
        """The largest total where the hand reads it, else as it is stated; nothing where it is not given."""
        return (self.table.max_total_read or self.table.max_total) if self.table else None

    @property
    def total_at(self) -> str:
        """Where that total is read."""
        if self.table and self.table.max_total_read:
            return "at the dial" if self.by_dial else "of the adjuster"
        return "at the dial" if self.spec.track.max_total_reads == "dial" else "at the adjuster"

    @property
    def needs_video(self) -> bool:
        """Whether the limit at which the work is done is too small to be shown by eye."""
        return self.table is not None and self.table.good_enough is not None and not self.table.eye_shows_limit

    @property
    def judged(self) -> str:
        """By what a second reading can be judged: both ways, video alone, or nothing."""
        if self.table is None or not self.table.video_judges:
            return "nothing"
        return "both" if self.table.eye_judges else "video"

    @property
    def lower_a(self) -> Markup:
        """What brings blade A down."""
        return move_words(self.spec, "to_lower", "a")

    @property
    def lower_b(self) -> Markup:
        """What brings blade B down."""
        return move_words(self.spec, "to_lower", "b")

    @property
    def raise_a(self) -> Markup:
        """What brings blade A up."""
        return move_words(self.spec, "to_raise", "a")

    @property
    def raise_b(self) -> Markup:
        """What brings blade B up."""
        return move_words(self.spec, "to_raise", "b")

    @property
    def has_flats(self) -> bool:
        """Whether the table gives the first move in flats."""
        return self.table is not None and all(row.flats for row in self.table.rows)

    @property
    def split_unit(self) -> str:
        """The unit a split is measured in: the table's, or one that goes with the stated diameter."""
        if self.table and self.table.rows:
            return self.table.rows[0].split.parts.unit
        return "mm" if self._metric else "in"

    @property
    def dial_unit(self) -> str:
        """The unit a dial shows: the table's, or one that goes with the stated diameter."""
        if self.table:
            return self.table.unit
        return "mm" if self._metric else "thou"

    @property
    def _metric(self) -> bool:
        return unit_of(self.spec.rotor.diameter).system == "metric"

    @property
    def tables(self) -> tuple[tuple[str, str, tuple[TrackRow, ...]], ...]:
        """Each table's id, caption and rows; two where the rate lies between two of the maker's."""
        if self.table is None:
            return ()
        what = self.amount
        if not self.table.interpolated:
            return (("track-rows", what, self.table.rows),)
        return (
            ("track-first", f"{what}: the first change", self.table.first_rows),
            ("track-rows", f"{what}: every change after it", self.table.rows),
        )

    @property
    def beside(self) -> bool:
        """Whether the first change and those after it stand in one table: one number a row is read for each."""
        return self.table is not None and self.table.interpolated and not (self.by_dial and self.has_flats)

    @property
    def rows_beside(self) -> tuple[tuple[TrackRow, TrackRow], ...]:
        """The rows of both tables by their split, which is the same in both."""
        return tuple(zip(self.table.first_rows, self.table.rows, strict=True)) if self.table else ()

    @property
    def amount(self) -> str:
        """What a table's numbers are for: one blade, each of two, or the whole bar."""
        words = {
            "one blade": "On one blade only",
            "both blades, opposite": "On each blade, opposite ways",
            "whole bar": "At the one adjuster",
        }
        return words[self.table.moves] if self.table else ""

    @property
    def off_axis(self) -> bool:
        """Whether the dial touches away from the axis of the teeter bolt."""
        offset = self.spec.track.dial_offset
        return offset is not None and magnitude(offset, "in") != 0

    @property
    def false_reading(self) -> Figure | None:
        """What half a degree of teeter shows on the dial where it touches off the axis."""
        return self.table.false_half_degree if self.table and self.off_axis else None
