"""Flats of the adjuster: what one of them moves, and how many a row of the track table asks for.

A flat is a sixth of a turn, hence a sixth of the thread's pitch. A turnbuckle with a left-hand thread at one
end and a right-hand one at the other moves two pitches a turn, so of a part that is made longer or shorter
only a rule in flats tells any.
"""

from __future__ import annotations

from cardgen.figures.figure import Figure, computed
from cardgen.figures.track_facts import Scale
from cardgen.spec.bound import Bound
from cardgen.spec.model.track import Track
from cardgen.spec.rate import is_turnbuckle
from cardgen.spec.units import Quantity, magnitude, quantity


def per_flat_figure(track: Track, scale: Scale) -> Figure | None:
    """Give what the adjuster moves for one flat, a sixth of a turn; nothing of a turnbuckle."""
    if track.adjuster_thread is None or is_turnbuckle(track):
        return None
    sixth: Quantity = track.adjuster_thread.pitch / 6
    return computed(
        "track.per_flat",
        quantity(magnitude(sixth, scale.thin), scale.thin),
        scale.thin,
        decimals=2 if scale.thin == "thou" else 3,
        formula="pitch of the adjuster's thread over six",
        inputs=("track.adjuster_thread",),
    )


def flats_of_movement(track: Track, name: str, adjust: Quantity | None) -> Figure | None:
    """Give the flats that move the adjuster so far, for the row of this name; never of a turnbuckle."""
    if adjust is None or track.adjuster_thread is None or is_turnbuckle(track):
        return None
    turns = magnitude(adjust, "in") / magnitude(track.adjuster_thread.pitch, "in")
    formula = "movement of the adjuster over a sixth of the thread's pitch, rounded down"
    return _flats(name, quantity(turns * 6, "flats"), formula, (f"{name}.adjust", "track.adjuster_thread"))


def flats_of_rule(name: str, asked: Quantity, formula: str, rate: str) -> Figure:
    """Give the flats that a rule in flats asks for by itself, for the row of this name."""
    return _flats(name, asked, f"{formula}, rounded down", (rate, f"{name}.split"))


def _flats(name: str, turned: Quantity, formula: str, inputs: tuple[str, ...]) -> Figure:
    return computed(
        f"{name}.flats", turned, "flats", decimals=1, bound=Bound.AT_MOST, formula=formula, inputs=inputs
    )
