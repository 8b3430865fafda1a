"""Screw threads by name."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.spec.threads import read_thread
from cardgen.spec.units import magnitude

# Threads to the inch of the fine and coarse series, ASME B1.1 table 1 (from memory).
_UNIFIED = [
    ("6-32", 32), ("8-32", 32), ("10-24", 24), ("10-32", 32), ("12-28", 28), ("1/4-20", 20), ("1/4-28", 28),
    ("5/16-18", 18), ("5/16-24", 24), ("3/8-16", 16), ("3/8-24", 24), ("7/16-20", 20), ("1/2-13", 13),
    ("1/2-20", 20), ("9/16-18", 18), ("5/8-18", 18), ("3/4-16", 16), ("7/8-14", 14),
]  # fmt: skip
# Coarse and fine pitches in millimetres, ISO 261 (from memory).
_METRIC = [("M4x0.7", "0.7"), ("M5x0.8", "0.8"), ("M6x1", "1"), ("M8x1.25", "1.25"), ("M8x1", "1"),
           ("M10x1.5", "1.5"), ("M10x1", "1"), ("M12x1.75", "1.75"), ("M2.5x0.45", "0.45")]  # fmt: skip


@pytest.mark.parametrize(("name", "per_inch"), _UNIFIED)
def test_unified_threads_are_read_with_their_pitch(name: str, per_inch: int) -> None:
    thread = read_thread(name)
    assert thread is not None
    assert thread.unified
    assert magnitude(thread.pitch, "in") == Fraction(1, per_inch)


@pytest.mark.parametrize(("name", "pitch"), _METRIC)
def test_metric_threads_are_read_with_their_pitch(name: str, pitch: str) -> None:
    thread = read_thread(name)
    assert thread is not None
    assert not thread.unified
    assert magnitude(thread.pitch, "mm") == Fraction(pitch)


@pytest.mark.parametrize(
    "name",
    [
        "3/8", "M8", "3/8-", "-24", "3/8 -24", "3/8-24 UNF", "3/8x24", "M8x", "M8-1", "m8x1", "M8X1",
        "M8x1,25", "M8x8",
        "M80x1", "M1x0.2", "M8x0", "3/8-240", "3/8-2", "0/8-24", "8/0-24", "9/8-12", "13-24", "99-24", "10-9",
        "٣/8-24", "", "AN6", "1/2-20\n",
    ],
)  # fmt: skip
def test_what_names_no_thread_is_not_read(name: str) -> None:
    assert read_thread(name) is None


@given(st.text(st.sampled_from("0123456789/-Mx. "), max_size=9))
def test_any_name_is_read_or_not_and_never_raises(name: str) -> None:
    thread = read_thread(name)
    assert thread is None or (thread.name == name and thread.pitch.magnitude > 0)
