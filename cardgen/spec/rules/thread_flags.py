"""Torques against the bounds of their thread, by a handbook or by stress, and against one another."""

from __future__ import annotations

from fractions import Fraction
from typing import TypeAlias

from cardgen.spec.model.hardware import Fastener
from cardgen.spec.model.track import Track
from cardgen.spec.problem import Path
from cardgen.spec.rules.families import ends
from cardgen.spec.rules.fasteners import Fasteners, yours
from cardgen.spec.rules.rule import Doubt, Doubts, Reads, Rule, rule, typed
from cardgen.spec.rules.thread_stress import LEAST, MOST, THIN_NUT, pulled
from cardgen.spec.rules.thread_table import ROWS, TorqueColumn
from cardgen.spec.threads import Thread
from cardgen.spec.units import Quantity, magnitude
from cardgen.spec.unjudged import Unjudged

#: Handbook windows are at most 1.44 times as high at their top as at their foot (1/2-20, tension nut).
_WIDEST = Fraction(17, 10)
_AGAIN = "the torque again from the maker's document, with its unit, and the thread and nut it belongs to"
_TABLE = "(AC 43.13-1B, table 7-1)"
_BOUNDED = "fasteners[]: thread, nut, torque_min, torque_max"
_ADJUSTER = "track: adjuster_thread, adjuster_torque_min, adjuster_torque_max"
#: The least and the most of a torque, as far as they are given.
_Ends: TypeAlias = tuple[Quantity | None, Quantity | None]


@rule("torque-thread-bounds", _BOUNDED, kind="flag")
def torque_thread_bounds(bolt: Fastener) -> Doubts:
    """A torque is above the most a handbook allows for its thread and nut, or below half the least."""
    if column := _column(bolt):
        window = bolt.torque_min, bolt.torque_max
        yield from _beside(column, column, window, "torque", "this thread and nut")
    elif bolt.thread is not None and bolt.nut is None and (row := ROWS.get(bolt.thread.name)):
        window = bolt.torque_min, bolt.torque_max
        yield from _beside(row["shear"], row["tension"], window, "torque", "this thread and any nut")


@rule("torque-thread-bounds", _ADJUSTER, kind="flag")
def adjuster_thread_bounds(track: Track) -> Doubts:
    """A torque is above the most a handbook allows for its thread and nut, or below half the least."""
    # Which nut the adjuster's lock has is not said: compared with the thinnest and the strongest of its thread.
    if track.adjuster_thread is not None and (row := ROWS.get(track.adjuster_thread.name)):
        yield from _beside(
            row["shear"], row["tension"], _lock(track), "adjuster_torque", "this thread and any nut"
        )


def _lock(track: Track) -> _Ends:
    return track.adjuster_torque_min, track.adjuster_torque_max


def _beside(thin: TorqueColumn, strong: TorqueColumn, window: _Ends, key: str, whose: str) -> Doubts:
    """Compare the ends that are given with half the least of one column, and with the most another allows."""
    low, high = window
    if high is not None and (most := magnitude(high, "in·lbf")) > strong.allowable:
        why = (
            f"that is {_shown(most)} in·lbf, and a general handbook allows no more than "
            f"{strong.allowable} for {whose} {_TABLE}"
        )
        yield Doubt((f"{key}_max",), why, _AGAIN)
    if low is not None and (least := magnitude(low, "in·lbf")) * 2 < thin.least:
        why = (
            f"that is {_shown(least)} in·lbf, less than half of what a general handbook begins with "
            f"for {whose} {_TABLE}"
        )
        yield Doubt((f"{key}_min",), why, _AGAIN)


@rule("torque-stress", _BOUNDED, kind="flag")
def torque_stress(bolt: Fastener) -> Doubts:
    """A torque pulls a thread without a row in the handbook far less or far more than bolts are pulled."""
    unsaid = bolt.nut is None and bolt.thread is not None and bolt.thread.unified
    thin = THIN_NUT if bolt.nut == "shear" or unsaid else Fraction(1)
    strong = THIN_NUT if bolt.nut == "shear" else Fraction(1)
    usual = LEAST * thin, MOST * strong
    yield from _stretched(bolt.thread, usual, (bolt.torque_min, bolt.torque_max), "torque")


@rule("torque-stress", _ADJUSTER, kind="flag")
def adjuster_stress(track: Track) -> Doubts:
    """A torque pulls a thread without a row in the handbook far less or far more than bolts are pulled."""
    yield from _stretched(track.adjuster_thread, (LEAST * THIN_NUT, MOST), _lock(track), "adjuster_torque")


def _stretched(thread: Thread | None, usual: tuple[Fraction, Fraction], window: _Ends, key: str) -> Doubts:
    """Compare the stress that each end makes in a thread with what is usual."""
    if thread is None or thread.name in ROWS:
        return
    least, most = usual
    low, high = (None if torque is None else pulled(torque, thread) for torque in window)
    said = f"bolts are pulled to between about {_shown(least)} and {_shown(most)}"
    if low is not None and low < least:
        why = f"by a rule of thumb it pulls this thread to {_shown(low)} N/mm2, and {said}"
        yield Doubt((f"{key}_min",), why, _AGAIN)
    if high is not None and high > most:
        why = f"by a rule of thumb it pulls this thread to {_shown(high)} N/mm2, and {said}"
        yield Doubt((f"{key}_max",), why, _AGAIN)


@rule("torque-unlike-handbook", f"{_BOUNDED}, threads", kind="warning")
def torque_unlike_handbook(bolt: Fastener) -> Doubts:
    """A torque is allowed by the handbook for its thread and nut, but far from what it recommends."""
    if (column := _column(bolt)) and bolt.torque_min is not None and bolt.torque_max is not None:
        least, most = magnitude(bolt.torque_min, "in·lbf"), magnitude(bolt.torque_max, "in·lbf")
        high = column.allowable >= most > column.most * Fraction(5, 4)
        # The table is for dry threads, and slippery ones take less.
        low = bolt.threads == "dry" and column.least > least * Fraction(5, 4) and least * 2 >= column.least
        if high or low:
            side = "above" if high else "below"
            why = f"this lies well {side} the range that a general handbook recommends for this thread and nut"
            key = "torque_max" if high else "torque_min"
            yield Doubt((key,), why, "nothing, if the maker's document says so")


@rule("nut-missing", "fasteners[]: fitted_by, thread, nut, threads, torque_min, torque_max", kind="warning")
def nut_missing(bolt: Fastener) -> Doubts:
    """A Unified thread has a torque but no kind of nut, and the torque does not suit both kinds."""
    unsaid = bolt.fitted_by == "you" and bolt.nut is None and bolt.thread is not None and bolt.thread.unified
    if unsaid and bolt.torque_min is not None and bolt.torque_max is not None and (doubt := _nut_doubt(bolt)):
        write = (
            '"tension" or "shear", by the nut in the maker\'s parts list; leave the key out, if no paper says'
        )
        yield Doubt(("nut",), doubt, write)


def _nut_doubt(bolt: Fastener) -> str:
    """Say what to look for on the bolt; nothing where the torque is usual for the thin and for the full nut."""
    row = ROWS.get(bolt.thread.name) if bolt.thread else None
    unsaid = "no paper says which nut this is"
    if row is None:
        return f"{unsaid}: if a thin shear nut is on the bolt, stop, and ask the maker about its torque"
    if _unusual(bolt, row["shear"]):
        return (
            f"{unsaid}, and this torque is not usual for the thin shear nut: if one is on the bolt, stop, "
            "and ask the maker"
        )
    if _unusual(bolt, row["tension"]):
        return (
            f"{unsaid}, and this torque is not usual for the full tension nut: if one is on the bolt, stop, "
            "and ask the maker"
        )
    return ""


def _unusual(bolt: Fastener, column: TorqueColumn) -> bool:
    """Whether a torque lies well outside what the handbook recommends for a thread and nut."""
    if bolt.torque_min is None or bolt.torque_max is None:
        return False
    least, most = magnitude(bolt.torque_min, "in·lbf"), magnitude(bolt.torque_max, "in·lbf")
    # The table is for dry threads, and slippery ones take less.
    low = bolt.threads == "dry" and column.least > least * Fraction(5, 4)
    return low or most > column.most * Fraction(5, 4)


@rule("threads-slippery", "fasteners[]: fitted_by, thread, nut, threads, torque_max", kind="warning")
def threads_slippery(bolt: Fastener) -> Doubts:
    """Oiled or greased threads have a torque that a handbook gives for dry ones."""
    # The table is for threads free of oil; on slippery ones the same torque pulls harder.
    column = _column(bolt) if bolt.fitted_by == "you" else None
    if column and bolt.threads in {"oiled", "greased"} and bolt.torque_max is not None:
        most = magnitude(bolt.torque_max, "in·lbf")
        if most > column.least:
            why = (
                f"a general handbook gives {column.least} to {column.most} in·lbf for this thread and nut dry "
                f"{_TABLE}, and on {bolt.threads} threads as much torque pulls harder"
            )
            yield Doubt(("threads",), why, "nothing, if the maker's torque is meant for such threads")


def _window_wide(pair: str) -> Rule:
    owner, least, most = ends(pair)

    def test(group: Fastener | Track) -> Doubts:
        low: Quantity | None = getattr(group, least)
        high: Quantity | None = getattr(group, most)
        if low is not None and high is not None and high > low * _WIDEST:
            ratio = float((high / low).to("").magnitude)
            why = (
                f"it is {ratio:.2g} times the least torque, and windows in handbooks reach about one "
                "and a half times"
            )
            yield Doubt((most,), why, "both ends of the window again from the maker's document")

    meaning = "A torque window is wider than any that handbooks give."
    reads = (Reads.of(f"{owner}: {least}, {most}"),)
    return Rule("torque-window-wide", meaning, test, reads, kind="flag", plausible=True)


WINDOWS = (_window_wide("fasteners[].torque"), _window_wide("track.adjuster_torque"))


@rule("drag-large", "fasteners[]: drag_max, torque_min", "draft", "here", kind="flag")
def drag_large(bolt: Fastener, draft: Unjudged, here: Path) -> Doubts:
    """The running drag allowed is as large as the torque itself."""
    if bolt.drag_max is not None and bolt.torque_min is not None and bolt.drag_max * 3 > bolt.torque_min * 2:
        least = typed(draft, *here, "torque_min")
        why = f"the least torque is {least}, and a nut that drags so hard is seized or spoilt"
        yield Doubt(("drag_max",), why, "the most running drag from the maker's document")


@rule(
    "bolts-unlike",
    "fasteners: fitted_by, where, name, thread, nut, threads, torque_min, torque_max, drag_max",
    "draft",
    kind="warning",
)
def bolts_unlike(fasteners: Fasteners, draft: Unjudged) -> Doubts:
    """Strap bolts of one thread and nut have different torques."""
    first: dict[tuple[str, str | None, str | None], int] = {}
    for place, bolt in yours(fasteners):
        if bolt.where == "strap" and bolt.thread is not None and bolt.torque_max is not None:
            other = first.setdefault((bolt.thread.name, bolt.nut, bolt.threads), place)
            for key in ("torque_min", "torque_max", "drag_max"):
                if getattr(bolt, key) != getattr(fasteners[other], key):
                    has = typed(draft, "fasteners", other, key)
                    why = f"the {fasteners[other].name} has the same thread and nut, and there this is {has}"
                    yield Doubt((place, key), why, "nothing, if the maker's document makes that difference")


def _column(bolt: Fastener) -> TorqueColumn | None:
    row = ROWS.get(bolt.thread.name) if bolt.thread else None
    return None if row is None or bolt.nut is None else row[bolt.nut]


def _shown(value: Fraction) -> str:
    return f"{float(value):.4g}"
