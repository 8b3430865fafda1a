"""A rotor's track rule in the terms that runs are judged in: inches of total split, thou of the rule.

A dial shows what one blade's pitch block moves where the dial touches. The rule counts its own
thousandths, at its own end of the lever and on one blade or on both. Everything is turned into the
rule's thousandths once, here, so that a rate of this rotor and the maker's rate can be compared.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cardgen.figures.rounding import on_grid
from cardgen.figures.track_facts import INCH, METRIC, Scale
from cardgen.figures.track_table import TrackTable, amount_to_read, track_table
from cardgen.spec.bound import Bound
from cardgen.spec.model import RotorSpec
from cardgen.spec.rate import NoRate, total_of, track_rate
from cardgen.spec.units import magnitude, quantity, unit_of


@dataclass(frozen=True)
class TrackRule:
    """What a rotor's runs are judged by; lengths in inches, adjustments in thou of the rule.

    ``dial`` and ``adjuster`` turn the rule's thousandths into what the dial shows and the adjuster
    moves on one blade; None where a lever is not stated.
    """

    spec: RotorSpec
    table: TrackTable
    scale: Scale
    rate: Fraction
    first_rate: Fraction
    max_split: Fraction
    max_total: Fraction
    max_step: Fraction
    finest: Fraction
    dial: Fraction | None
    adjuster: Fraction | None

    def of_dial(self, shown: Fraction) -> Fraction | None:
        """Turn a dial reading on one blade, in thou, into the rule's thousandths."""
        return None if self.dial is None else shown / self.dial

    def thin(self, thou: Fraction) -> Fraction:
        """Give thousandths of an inch in the unit this rotor's dial is read in."""
        return magnitude(quantity(thou, "thou"), self.scale.thin)

    def made(self, amount: Fraction) -> Fraction:
        """Hold an adjustment back to what a mark of the dial shows, and give it in the rule's thousandths."""
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


def rule_of(spec: RotorSpec) -> TrackRule | NoRule:
    """Take a rotor's track rule in the terms that runs are judged in."""
    track = spec.track
    found = track_rate(track, spec.rotor.diameter)
    if isinstance(found, NoRate):
        return NoRule(found.reason)
    table = track_table(spec)
    if isinstance(table, NoRate) or track.max_split is None or track.max_total is None or not table.rows:
        return NoRule("the largest split or the largest total is not stated")
    rate = magnitude(found.rate, "thou/in")
    one = quantity(1, "in")
    adjuster, dial = (
        None if part is None else magnitude(part, "thou") / rate
        for part in amount_to_read(track, found.rate, one)
    )
    ends = [end for end in (adjuster, dial) if end is not None]
    blades = 2 if track.basis == "total of both" else 1
    # The largest total holds at either end of the lever, and for the sum of two halves.
    most = magnitude(track.max_total, "thou") / (max(ends) * blades)
    scale = INCH if unit_of(found.rate).shown == "thou/in" else METRIC
    return TrackRule(
        spec=spec,
        table=table,
        scale=scale,
        rate=rate,
        first_rate=magnitude(found.first_step, "thou/in"),
        max_split=magnitude(total_of(track, track.max_split), "in"),
        max_total=most,
        max_step=rate * magnitude(table.rows[-1].split.quantity, "in"),
        finest=_finest(spec, scale, adjuster, dial),
        dial=dial,
        adjuster=adjuster,
    )


def _finest(spec: RotorSpec, scale: Scale, adjuster: Fraction | None, dial: Fraction | None) -> Fraction:
    """Smallest adjustment that can be repeated: half a flat, or two marks of the dial, the larger."""
    found = [Fraction(0)]
    if dial is not None:
        found.append(2 * magnitude(quantity(scale.mark, scale.thin), "thou") / dial)
    if adjuster is not None and spec.track.adjuster_thread is not None:
        found.append(magnitude(spec.track.adjuster_thread.pitch, "thou") / 12 / adjuster)
    return max(found)


def same_rotor(one: RotorSpec, other: RotorSpec) -> bool:
    """Whether two specifications of a set are about the same metal under the same track rule."""
    return (
        one.rotor.diameter == other.rotor.diameter
        and one.blades.serial_a == other.blades.serial_a
        and one.blades.serial_b == other.blades.serial_b
        and same_hub(one, other)
        and one.track == other.track
    )


def same_hub(one: RotorSpec, other: RotorSpec) -> bool:
    """Whether two specifications are about the same hub, whose adjusters the total is counted on."""
    return one.rotor.hub_serial == other.rotor.hub_serial
