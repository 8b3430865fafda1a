"""A rotor's track rule in the terms that runs are judged in: inches of total split, thou of the rule.

A dial shows what one blade's pitch block moves where the dial touches. The rule counts its own
thousandths, at its own end of the lever and on one blade or on both. Everything is turned into the
rule's thousandths once, here, so that a rate of this rotor and the maker's rate can be compared.

The numbers are the figures that the deck was issued with: those of the card that was worked with.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from cardgen.figures import Figure
from cardgen.figures.rounding import on_grid
from cardgen.figures.track_facts import INCH, METRIC, Scale
from cardgen.figures.track_table import MOVES, Moves, TrackRow, rows_among
from cardgen.register.kept import KeptDeck
from cardgen.spec.bound import Bound
from cardgen.spec.rate import WhyNot, measures
from cardgen.spec.units import magnitude, quantity


@dataclass(frozen=True)
class CardRow:
    """A row of the card's table: the split in inches, the change in thou of the rule, as printed."""

    split: Fraction
    change: Fraction


@dataclass(frozen=True)
class TrackRule:
    """What a rotor's runs are judged by; lengths in inches, adjustments in thou of the rule.

    ``dial`` and ``adjuster`` turn the rule's thousandths into what the dial shows and the adjuster
    moves on one blade; None where a lever is not stated. ``flat`` is what the adjuster moves for a
    sixth of a turn, in thou, where its thread is stated and tells it; ``by_flats`` says that the hand
    counts them. ``touching`` says that adjustable stops hold the hub block, looked at after every change.
    ``added`` says that the rule counts the changes of both blades together. ``rows`` and ``first_rows``
    are the card's own, the first ones where a first change has a table to itself. ``good_enough`` and
    ``max_total`` are None where not given; ``speeds`` is how many rotor speeds the track is read at.
    """

    moves: Moves
    added: bool
    scale: Scale
    rate: Fraction
    first_rate: Fraction
    max_split: Fraction
    max_total: Fraction | None
    good_enough: Fraction | None
    speeds: int
    rows: tuple[CardRow, ...]
    first_rows: tuple[CardRow, ...]
    finest: Fraction
    dial: Fraction | None
    adjuster: Fraction | None
    flat: Fraction | None
    by_flats: bool = False
    touching: bool = False

    def row_for(self, split: Fraction, first: bool) -> CardRow | None:
        """Find the card's row at a split or the next smaller one; nothing below the smallest."""
        rows = self.first_rows if first and self.first_rows else self.rows
        return max((row for row in rows if row.split <= abs(split)), key=lambda row: row.split, default=None)

    def of_dial(self, shown: Fraction) -> Fraction | None:
        """Turn a dial reading on one blade, in thou, into the rule's thousandths."""
        return None if self.dial is None else shown / self.dial

    def of_flats(self, turned: Fraction) -> Fraction | None:
        """Turn flats of one blade's adjuster into the rule's thousandths."""
        return None if self.flat is None or self.adjuster is None else turned * self.flat / self.adjuster

    def flats(self, amount: Fraction) -> Fraction | None:
        """Turn the rule's thousandths into flats of one blade's adjuster, where the hand counts them."""
        one = self.of_flats(Fraction(1)) if self.by_flats else None
        return None if one is None else amount / one

    @property
    def repeats_within(self) -> Fraction:
        """As near as a hand sets it again, in the rule's thousandths: two marks of the dial, or half a flat."""
        half = self.of_flats(Fraction(1, 2)) if self.by_flats else None
        if half is not None:
            return half
        return (
            2
            * magnitude(quantity(self.scale.mark, self.scale.thin), "thou")
            / (self.dial or self.adjuster or 1)
        )

    def thin(self, thou: Fraction) -> Fraction:
        """Give thousandths of an inch in the unit this rotor's dial is read in."""
        return magnitude(quantity(thou, "thou"), self.scale.thin)

    def made(self, amount: Fraction) -> Fraction:
        """Hold an adjustment back to a mark of the dial or a tenth of a flat, in the rule's thousandths."""
        turned = self.flats(amount)
        if turned is not None:
            size = on_grid(abs(turned), Fraction(1, 10), Bound.AT_MOST)
            return self.of_flats(size if amount >= 0 else -size) or Fraction(0)
        end = self.dial if self.dial is not None else self.adjuster
        if end is None:
            return amount
        return magnitude(quantity(self.on_mark(amount * end), self.scale.thin), "thou") / end

    def on_mark(self, thou: Fraction) -> Fraction:
        """Round an adjustment down to a mark of the dial, toward nothing; in the dial's unit."""
        size = on_grid(abs(self.thin(thou)), self.scale.mark, Bound.AT_MOST)
        return size if thou >= 0 else -size


@dataclass(frozen=True)
class NoRule:
    """Why this rotor's runs are not fitted."""

    why: str


def rule_of(kept: KeptDeck) -> TrackRule | NoRule:
    """Take a deck's track rule in the terms that runs are judged in.

    Raises `LookupError` or `ValueError` for a deck that no version here has written.
    """
    figures, rows = kept.figures, rows_among(kept.figures, "row")
    if "track.rate" not in figures:
        return NoRule(WhyNot.NOT_ADJUSTED)
    if not rows or "track.max_split" not in figures:
        return NoRule("the largest split is not stated")
    added = kept.typed("track", "basis") == "total of both"
    rate = _rate(figures, "track.rate", rows, added)
    if rate is None:
        return NoRule("flats of a part that may have two threads tell no length")
    first_rows = rows_among(figures, "first")
    adjuster, dial = (_share(rows[0], end, rate) for end in (rows[0].adjust, rows[0].dial))
    scale = INCH if rows[0].split.parts.unit == INCH.split else METRIC
    flat = (
        None
        if _two_threads(kept) or "track.per_flat" not in figures
        else _in(figures["track.per_flat"], "thou")
    )
    by_flats = kept.typed("track", "set_by") == "flats"
    in_flats = flat / adjuster if by_flats and flat is not None and adjuster else None
    card_rows = _card_rows(rows, adjuster, dial, in_flats)
    good = figures.get("track.good_enough_total", figures.get("track.good_enough"))
    return TrackRule(
        moves=MOVES[kept.typed("track", "basis")],
        added=added,
        scale=scale,
        rate=rate,
        first_rate=_rate(figures, "track.rate_first_step", first_rows, added) or rate,
        max_split=_in(figures["track.max_split"], "in"),
        max_total=_most(kept, adjuster, dial),
        good_enough=None if good is None else _in(good, "in"),
        speeds=min(2, sum(name.startswith("run.track_speeds[") for name in figures)) or 1,
        rows=card_rows,
        first_rows=_card_rows(first_rows, adjuster, dial, in_flats),
        # What the card has a row for can be made.
        finest=min(_finest(scale, adjuster, dial, flat), card_rows[0].change),
        dial=dial,
        adjuster=adjuster,
        flat=flat,
        by_flats=by_flats,
        touching=kept.typed("teeter", "thrust") == "adjustable",
    )


def _rate(figures: Mapping[str, Figure], name: str, rows: tuple[TrackRow, ...], added: bool) -> Fraction | None:
    """Give a rate in thou an inch: as stated, or where it is an angle or flats, as a row's hand reads it.

    The hand reads one blade; a rule that counts both is twice that. Nothing where no row tells a length.
    """
    figure = figures.get(name)
    if figure is None or measures(figure.quantity) == "a length":
        return None if figure is None else _in(figure, "thou/in")
    shown = (rows[0].dial or rows[0].adjust) if rows else None
    return None if shown is None else _in(shown, "thou") / _in(rows[0].split, "in") * (2 if added else 1)


def _two_threads(kept: KeptDeck) -> bool:
    """Whether an adjuster is made longer or shorter as a whole: a flat of it may move it by two pitches."""
    return any(
        kept.typed("track", way, blade, part)
        for way in ("to_lower", "to_raise")
        for blade in "ab"
        for part in ("shorten", "lengthen")
    )


def _most(kept: KeptDeck, adjuster: Fraction | None, dial: Fraction | None) -> Fraction | None:
    """Turn the largest total into the rule's thousandths, at either end where none is said."""
    stated = kept.figures.get("track.max_total")
    if stated is None:
        return None
    read_at = {"dial": dial, "adjuster": adjuster}.get(kept.typed("track", "max_total_reads"))
    ends = [end for end in ((read_at,) if read_at is not None else (adjuster, dial)) if end is not None]
    said = kept.typed("track", "max_total_of")
    # Decks from before this was asked counted both blades where the rule does.
    both = said == "both, added" if said else kept.typed("track", "basis") == "total of both"
    return _in(stated, "thou") / (max(ends) * (2 if both else 1))


def _card_rows(
    rows: tuple[TrackRow, ...], adjuster: Fraction | None, dial: Fraction | None, in_flats: Fraction | None
) -> tuple[CardRow, ...]:
    """Take the rows as they are printed: what the dial shows, else the flats, else what the adjuster moves.

    ``in_flats`` is what a flat is in the rule's thousandths, where the hand counts them.
    """
    found = []
    for row in rows:
        if in_flats is not None and row.flats is not None:
            found.append(CardRow(_in(row.split, "in"), Fraction(row.flats.parts.number) * in_flats))
            continue
        shown, end = (row.dial, dial) if row.dial is not None else (row.adjust, adjuster)
        if shown is not None and end:
            printed = magnitude(quantity(Fraction(shown.parts.number), shown.parts.unit), "thou")
            found.append(CardRow(_in(row.split, "in"), printed / end))
    return tuple(found)


def _in(figure: Figure, unit: str) -> Fraction:
    return magnitude(figure.quantity, unit)


def _share(row: TrackRow, end: Figure | None, rate: Fraction) -> Fraction | None:
    """Tell what one end of the lever moves on one blade for each thou of the rule; any row tells it."""
    return None if end is None else _in(end, "thou") / (rate * _in(row.split, "in"))


def _finest(scale: Scale, adjuster: Fraction | None, dial: Fraction | None, flat: Fraction | None) -> Fraction:
    """Smallest adjustment that can be repeated: half a flat, or two marks of the dial, the larger."""
    found = [Fraction(0)]
    if dial is not None:
        found.append(2 * magnitude(quantity(scale.mark, scale.thin), "thou") / dial)
    if adjuster is not None and flat is not None:
        found.append(flat / 2 / adjuster)
    return max(found)


def same_rotor(one: KeptDeck, other: KeptDeck) -> bool:
    """Whether two decks of a set are about the same metal under the same track rule.

    The rule is compared by its numbers: a specification may be put into other words or another shape.
    """
    size, other_size = (magnitude(each.figures["rotor.diameter"].quantity, "in") for each in (one, other))
    same_blades = all(one.typed("blades", each) == other.typed("blades", each) for each in _SERIALS)
    return size == other_size and same_blades and same_hub(one, other) and rule_of(one) == rule_of(other)


_SERIALS = ("serial_a", "serial_b")


def same_hub(one: KeptDeck, other: KeptDeck) -> bool:
    """Whether two decks are about the same hub, whose adjusters the total is counted on."""
    return one.typed("rotor", "hub_serial") == other.typed("rotor", "hub_serial")
