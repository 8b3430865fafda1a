"""Three sums for the newcomer, taken from this rotor's own tables so that the answers can be looked up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice

from cardgen.deck.library import library
from cardgen.deck.limits import bound_words
from cardgen.figures import Figures
from cardgen.figures.figure import Figure
from cardgen.figures.setting_rows import WrenchSettings


@dataclass(frozen=True)
class Practice:
    """One sum: what is asked about, the figure given, what is wanted, and the figure that answers."""

    asks: str
    given: Figure
    wants: str
    answer: Figure


def practice(figures: Figures) -> tuple[Practice, ...]:
    """Choose three sums among those this rotor has numbers for."""
    return tuple(islice(_sums(figures), 3))


def _sums(figures: Figures) -> Iterator[Practice]:
    if figures.track and figures.track.rows:
        rows = figures.track.first_rows or figures.track.rows
        row = rows[len(rows) // 2]
        if row.dial:
            yield Practice(
                "Before any change, blade A is high by", row.split, "What must the dial read?", row.dial
            )
        if row.flats:
            yield Practice("The split is", row.split, "How many flats is the first move?", row.flats)
    if bolt := next((bolt for bolt in figures.fastening if bolt.low and bolt.high), None):
        yield from _on_wrench(next((each for each in bolt.wrenches if isinstance(each, WrenchSettings)), None))
    if figures.balance and figures.balance.rows:
        lead = figures.balance.rows[0]
        yield Practice("A tip lacks", lead.mass, "How long is the slug?", lead.length)
    if figures.teeter.tip_travel:
        angle = figures.all["teeter.teeter_angle"]
        yield Practice(
            "The rotor teeters each way by", angle, "How far does a tip move?", figures.teeter.tip_travel
        )
    speed = figures.all["rotor.normal_speed"]
    yield Practice("The rotor turns at", speed, "How fast is a tip?", figures.loads.tip_speed)


def _on_wrench(settings: WrenchSettings | None) -> Iterator[Practice]:
    if settings is None:
        return
    row = settings.rows[-1]
    least = bound_words(row.low, library().terms)
    wants = f"What must the wrench show {least}?"
    if row.drag:
        yield Practice("The drag read is", row.drag, wants, row.low)
    else:
        yield Practice(f"The nut needs {least}", row.nut_low, wants, row.low)
