"""Screw threads by name."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardgen.proof.recheck_input import thread_pitch
from cardgen.spec.grammar import Unread
from cardgen.spec.thread_series import METRIC, UNIFIED
from cardgen.spec.threads import Thread, read_thread
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
    assert isinstance(thread, Thread)
    assert thread.unified
    assert magnitude(thread.pitch, "in") == Fraction(1, per_inch)


@pytest.mark.parametrize(("name", "pitch"), _METRIC)
def test_metric_threads_are_read_with_their_pitch(name: str, pitch: str) -> None:
    thread = read_thread(name)
    assert isinstance(thread, Thread)
    assert not thread.unified
    assert magnitude(thread.pitch, "mm") == Fraction(pitch)


# The same thread as drawings and catalogues write it: with number sign, inch mark, series, class of fit.
_WRITTEN = [
    ("#10-32", "10-32"), ("No. 10-32", "10-32"), ("no 10-32", "10-32"), ('3/8"-24', "3/8-24"),
    ("3/8″-24", "3/8-24"),
    ("3/8 in-24", "3/8-24"), ("3/8-24 UNF", "3/8-24"), ("3/8-24UNF", "3/8-24"), ("3/8-24 UNF-3A", "3/8-24"),
    ("3/8-24 UNJF-3A", "3/8-24"), ("3/8–24", "3/8-24"), ("3/8 - 24", "3/8-24"), ("3⁄8-24", "3/8-24"),
    ("½-20", "1/2-20"), ("3/8-16 UNC", "3/8-16"), ("3/8-32 UNEF", "3/8-32"),
    ("M8 x 1", "M8x1"), ("M8×1.25", "M8x1.25"), ("M8 × 1", "M8x1"), ("M8X1", "M8x1"), ("M 8x1", "M8x1"),
    ("M8x1.0", "M8x1"), ("M2.5x.45", "M2.5x0.45"), (" M8x1 ", "M8x1"),
]  # fmt: skip


@pytest.mark.parametrize(("written", "name"), _WRITTEN)
def test_a_thread_is_read_as_it_is_written_and_has_one_name(written: str, name: str) -> None:
    thread = read_thread(written)
    assert isinstance(thread, Thread)
    assert thread == read_thread(name)
    assert thread.name == name
    assert thread_pitch(written) == pytest.approx(float(magnitude(thread.pitch, "m")), rel=1e-12)


@pytest.mark.parametrize(
    "name",
    [
        "3/8-", "-24", "3/8x24", "M8x", "M8-1", "m8x1", "M8x1,25", "M8x8", "M80x1", "M1x0.2", "M8x0", "3/8-240",
        "3/8-2", "0/8-24", "8/0-24", "9/8-12", "13-24", "99-24", "10-9", "٣/8-24", "", "AN6", "1/2-20\n",
        "3/8-24 UNC", "3/8-16 UNF", "3/8-24 BSF", "1 1/2-12",
    ],
)  # fmt: skip
def test_what_names_no_thread_is_not_read(name: str) -> None:
    assert isinstance(read_thread(name), Unread)


@pytest.mark.parametrize(
    ("name", "offered"),
    [
        # ISO 261: coarse pitches, and ISO 262: the fine ones in use (both from memory).
        ("M6", ["M6x1", "M6x0.75"]),
        ("M8", ["M8x1.25", "M8x1"]),
        ("M10", ["M10x1.5", "M10x1.25", "M10x1"]),
        # ASME B1.1 table 1 (from memory).
        ("3/8", ["3/8-16", "3/8-24"]),
        ("#10", ["10-24", "10-32"]),
        ("3/8 UNF", ["3/8-24"]),
        ("3/8-24 UNC", ["3/8-16", "3/8-24"]),
        ("m8x1", ["M8x1"]),
        ("M8-1.25", ["M8x1.25"]),
        ("M8x1,25", ["M8x1.25"]),
        ("AN6", ["3/8-24", "10-32", "M8x1"]),
    ],
)
def test_a_thread_without_its_pitch_is_answered_with_the_coarse_and_the_fine_one(
    name: str, offered: list[str]
) -> None:
    refused = read_thread(name)
    assert isinstance(refused, Unread)
    assert re.findall('"([^"]*)"', refused.write) == offered


def test_every_thread_named_in_a_message_is_one() -> None:
    for size, (coarse, fine) in UNIFIED.items():
        assert isinstance(read_thread(f"{size}-{coarse} UNC"), Thread)
        assert isinstance(read_thread(f"{size}-{fine} UNF"), Thread)
    for size, pitches in METRIC.items():
        assert all(isinstance(read_thread(f"M{size}x{pitch}"), Thread) for pitch in pitches)


_pieces = st.sampled_from(
    [*'0123456789/-–Mx×X. #",', "3/8", "10", "-24", "-32", "M8", "x1", " UNF", "UNC", "-3A", "in"]
)


@given(st.one_of(st.lists(_pieces, max_size=6).map("".join), st.text(max_size=20)))
def test_any_name_is_read_alike_on_both_paths_or_refused_with_a_cure(name: str) -> None:
    thread = read_thread(name)
    if isinstance(thread, Unread):
        offered = re.findall('"([^"]*)"', thread.write)
        assert thread.why and offered
        assert all(isinstance(read_thread(each), Thread) for each in offered), (name, thread)
        return
    assert read_thread(thread.name) == thread
    for each in (name, thread.name):
        assert thread_pitch(each) == pytest.approx(float(magnitude(thread.pitch, "m")), rel=1e-12)
