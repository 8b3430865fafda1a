"""A wall sheet read at its true size, from the bench and from the door: no letter is taken for another.

Distances are those of the sheets' design; `tests.bench.wall_reading` tells how the eye and the reader are made.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bench.wall_reading import BENCH, DOOR, NUMBERS, TITLE, large_texts, misread
from tests.outside.pages import sheets
from tests.press.samples import SAMPLES

#: What is seen from three times as far as a door is no longer read: the eye that is simulated is one.
TOO_FAR = 3 * DOOR

each_sample = pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)


def _page(path: Path, card: str) -> int:
    return next(page for page, side in enumerate(sheets(path, "wall").sides) if side.card_id == card)


@each_sample
def test_numbers_halts_and_diameter_of_track_are_read_from_the_bench(path: Path) -> None:
    printed, page = sheets(path, "wall"), _page(path, "track")
    texts = list(large_texts(printed.sides[page], NUMBERS))
    assert any(mark.figure.startswith("track.row.") for mark in texts)
    assert any("STOP" in mark.text for mark in texts)
    count, wrong = misread(printed, [page], BENCH, NUMBERS)
    assert count > 60
    assert not wrong


@each_sample
def test_title_and_diameter_are_read_from_the_door(path: Path) -> None:
    printed, page = sheets(path, "wall"), _page(path, "torque")
    assert {"Torque"} < {mark.text for mark in large_texts(printed.sides[page], TITLE)}
    count, wrong = misread(printed, [page], DOOR, TITLE)
    assert count > 8
    assert not wrong


def test_from_too_far_away_letters_are_misread() -> None:
    count, wrong = misread(sheets(SAMPLES[0], "wall"), [_page(SAMPLES[0], "track")], TOO_FAR, NUMBERS)
    assert len(wrong) > count / 5
