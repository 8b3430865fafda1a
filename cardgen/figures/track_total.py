"""The largest total of all changes, where and as it is stated, and where the hand reads it.

A maker states it at the dial or at the adjuster, of one blade or of both, added. It is turned once, here, to
what the hand goes by: the pitch block is a lever, so the dial moves as its distance from the pitch pivot line;
a flat is a sixth of a turn, hence a sixth of the thread's pitch.
"""

from __future__ import annotations

from cardgen.figures.figure import Figure, computed, source_and_origin, stated
from cardgen.figures.track_facts import Scale
from cardgen.spec.bound import Bound
from cardgen.spec.model import RotorSpec
from cardgen.spec.model.track import Track
from cardgen.spec.rate import dial_over_adjuster, moved_toward_total
from cardgen.spec.units import Quantity, magnitude, quantity

_PATH = ("track", "max_total")


def max_total_figure(spec: RotorSpec) -> Figure | None:
    """Give the largest total as stated, or nothing where it is not given."""
    return None if spec.track.max_total is None else stated(spec, _PATH)


def max_total_read_figure(spec: RotorSpec, scale: Scale) -> Figure | None:
    """Give the largest total where the hand reads it: under the dial, or in flats of the adjuster.

    It counts one blade or both as it is stated. Raises `ValueError` where no lever leads from where it is
    stated to where it is read; the rules of a specification refuse that.
    """
    track = spec.track
    if track.max_total is None:
        return None
    if track.set_by == "dial" and track.max_total_reads == "dial":
        return max_total_figure(spec)
    total, words, keys = moved_to_hand(track, track.max_total)
    if track.set_by == "dial":
        value, unit = magnitude(total, scale.thin), scale.thin
    elif track.adjuster_thread is not None:
        value, unit = magnitude(total, "in") / magnitude(track.adjuster_thread.pitch, "in") * 6, "flats"
        words, keys = f"{words}, over a sixth of the thread's pitch", (*keys, "track.adjuster_thread")
    else:
        return None
    return computed(
        "track.max_total_read",
        quantity(value, unit),
        unit,
        decimals=1 if unit == "flats" else scale.decimals,
        step=None if unit == "flats" else scale.mark,
        bound=Bound.AT_MOST,
        formula=f"{words}, rounded down",
        inputs=keys,
        reference=source_and_origin(spec, _PATH)[0],
    )


def moved_to_hand(track: Track, total: Quantity) -> tuple[Quantity, str, tuple[str, ...]]:
    """Turn a largest total to the end of the lever that the hand reads, with the words and keys of how.

    Raises `ValueError` where no lever leads there.
    """
    to_dial, words = track.set_by == "dial", "largest total"
    if to_dial == (track.max_total_reads == "dial"):
        return total, words, ("track.max_total",)
    ratio = dial_over_adjuster(track)
    if ratio is None:
        raise ValueError("a largest total that is read where no lever leads")
    levers = "dial lever over adjuster lever" if to_dial else "adjuster lever over dial lever"
    keys = ("track.max_total", "track.dial_lever", "track.lever")
    return (total * ratio if to_dial else total / ratio), f"{words}, times {levers}", keys


def within_total(track: Track, rate: Quantity, split: Quantity) -> bool:
    """Whether a row stays inside the largest total, read where and counted as that total is stated."""
    if track.max_total is None:
        return True
    moved = moved_toward_total(track, rate, split)
    if moved is None:
        raise ValueError("a largest total that is read where no lever leads")
    return magnitude(moved, "thou") <= magnitude(track.max_total, "thou")
