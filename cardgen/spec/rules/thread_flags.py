"""Torques against the handbook's bounds for their thread, and against one another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from cardgen.spec.model.hardware import Fastener
from cardgen.spec.model.running import Track
from cardgen.spec.problem import Path
from cardgen.spec.rules.fasteners import Fasteners, yours
from cardgen.spec.rules.rule import Doubt, Doubts, rule, typed
from cardgen.spec.rules.thread_table import ROWS, TorqueColumn
from cardgen.spec.units import Quantity, magnitude
from cardgen.spec.unjudged import Unjudged

#: Handbook windows are at most 1.44 times as high at their top as at their foot (1/2-20, tension nut).
_WIDEST = Fraction(17, 10)
_AGAIN = "the torque again from the maker's document, with its unit, and the thread and nut it belongs to"


@dataclass(frozen=True)
class _Bolt:
    path: Path
    least: Fraction
    most: Fraction
    column: TorqueColumn


@rule("torque-thread-bounds", "fasteners", optional=("track",), kind="flag")
def torque_thread_bounds(fasteners: Fasteners, track: Track | None) -> Doubts:
    """A torque is above the most a handbook allows for its thread and nut, or below half the least."""
    for bolt in _bounded(fasteners):
        column = bolt.column
        if bolt.most > column.allowable:
            why = (
                f"that is {_shown(bolt.most)} in·lbf, and a general handbook allows no more than "
                f"{column.allowable} "
                "for this thread and nut (AC 43.13-1B, table 7-1)"
            )
            yield Doubt((*bolt.path, "torque_max"), why, _AGAIN)
        if bolt.least * 2 < column.least:
            why = (
                f"that is {_shown(bolt.least)} in·lbf, less than half of what a general handbook begins with "
                "for this thread and nut (AC 43.13-1B, table 7-1)"
            )
            yield Doubt((*bolt.path, "torque_min"), why, _AGAIN)
    yield from _adjuster(track)


@rule("torque-unlike-handbook", "fasteners", kind="warning")
def torque_unlike_handbook(fasteners: Fasteners) -> Doubts:
    """A torque is allowed by the handbook for its thread and nut, but far from what it recommends."""
    for bolt in _bounded(fasteners):
        column = bolt.column
        high = column.allowable >= bolt.most > column.most * Fraction(5, 4)
        low = column.least > bolt.least * Fraction(5, 4) and bolt.least * 2 >= column.least
        if high or low:
            side = "above" if high else "below"
            why = f"this lies well {side} the range that a general handbook recommends for this thread and nut"
            yield Doubt(
                (*bolt.path, "torque_max" if high else "torque_min"),
                why,
                "nothing, if the maker's document says so",
            )


@rule("torque-not-compared", "fasteners", kind="warning")
def torque_not_compared(fasteners: Fasteners) -> Doubts:
    """A torque cannot be compared with the handbook, which has no row for its thread."""
    for place, bolt in yours(fasteners):
        if bolt.torque_max is not None and bolt.thread.name not in ROWS:
            why = "no plausibility check: the general handbook has no torque for this thread"
            yield Doubt(
                ("fasteners", place, "thread"),
                why,
                "nothing, if the thread is right; compare this torque by eye",
            )


@rule("torque-window-wide", "fasteners", optional=("track",), kind="flag")
def torque_window_wide(fasteners: Fasteners, track: Track | None) -> Doubts:
    """A torque window is wider than any that handbooks give."""
    windows: list[tuple[Path, Quantity | None, Quantity | None]] = [
        (("fasteners", place, "torque_max"), bolt.torque_min, bolt.torque_max)
        for place, bolt in enumerate(fasteners)
    ]
    if track is not None:
        windows.append((("track", "adjuster_torque_max"), track.adjuster_torque_min, track.adjuster_torque_max))
    for path, low, high in windows:
        if low is not None and high is not None and high > low * _WIDEST:
            ratio = float((high / low).to("").magnitude)
            why = (
                f"it is {ratio:.2g} times the least torque, and windows in handbooks reach about one "
                "and a half times"
            )
            yield Doubt(path, why, "both ends of the window again from the maker's document")


@rule("drag-large", "fasteners", "draft", kind="flag")
def drag_large(fasteners: Fasteners, draft: Unjudged) -> Doubts:
    """The running drag allowed is as large as the torque itself."""
    for place, bolt in enumerate(fasteners):
        if (
            bolt.drag_max is not None
            and bolt.torque_min is not None
            and bolt.drag_max * 3 > bolt.torque_min * 2
        ):
            least = typed(draft, "fasteners", place, "torque_min")
            why = f"the least torque is {least}, and a nut that drags so hard is seized or spoilt"
            yield Doubt(
                ("fasteners", place, "drag_max"), why, "the most running drag from the maker's document"
            )


@rule("bolts-unlike", "fasteners", "draft", kind="warning")
def bolts_unlike(fasteners: Fasteners, draft: Unjudged) -> Doubts:
    """Strap bolts of one thread and nut have different torques."""
    first: dict[tuple[str, str | None, str], int] = {}
    for place, bolt in yours(fasteners):
        if bolt.where == "strap" and bolt.torque_max is not None:
            other = first.setdefault((bolt.thread.name, bolt.nut, bolt.threads), place)
            for key in ("torque_min", "torque_max", "drag_max"):
                if getattr(bolt, key) != getattr(fasteners[other], key):
                    has = typed(draft, "fasteners", other, key)
                    why = f"the {fasteners[other].name} has the same thread and nut, and there this is {has}"
                    yield Doubt(
                        ("fasteners", place, key), why, "nothing, if the maker's document makes that difference"
                    )


def _adjuster(track: Track | None) -> Doubts:
    """Compare the adjuster's lock with the strongest nut of its thread; which nut it has is not said."""
    if track is not None and track.adjuster_thread is not None and track.adjuster_torque_max is not None:
        row = ROWS.get(track.adjuster_thread.name)
        most = magnitude(track.adjuster_torque_max, "in·lbf")
        if row is not None and most > row["tension"].allowable:
            why = (
                f"that is {_shown(most)} in·lbf, and a general handbook allows no more than "
                f"{row['tension'].allowable} for this thread and any nut (AC 43.13-1B, table 7-1)"
            )
            yield Doubt(("track", "adjuster_torque_max"), why, _AGAIN)


def _bounded(fasteners: Fasteners) -> Iterator[_Bolt]:
    """Give the bolts that the table has a column for, with their torques in in·lbf."""
    for place, bolt in enumerate(fasteners):
        column = _column(bolt)
        if column is not None and bolt.torque_min is not None and bolt.torque_max is not None:
            least, most = magnitude(bolt.torque_min, "in·lbf"), magnitude(bolt.torque_max, "in·lbf")
            yield _Bolt(("fasteners", place), least, most, column)


def _column(bolt: Fastener) -> TorqueColumn | None:
    row = ROWS.get(bolt.thread.name)
    return None if row is None or bolt.nut is None else row[bolt.nut]


def _shown(value: Fraction) -> str:
    return f"{float(value):.4g}"


RULES = (
    torque_thread_bounds,
    torque_unlike_handbook,
    torque_not_compared,
    torque_window_wide,
    drag_large,
    bolts_unlike,
)
