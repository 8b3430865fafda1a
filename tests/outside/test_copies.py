"""A card copied twice, to black and white: its warnings, its blades and its numbers are still what they were.

Recognition here is the nearest of all known shapes by correlation, with no training and no dictionary:
what even that tells apart, a reader tells apart.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cache
from string import ascii_uppercase
from typing import NamedTuple

import numpy as np
import pytest
from numpy.lib.stride_tricks import sliding_window_view
from PIL import Image, ImageDraw, ImageFont
from scipy.ndimage import uniform_filter

from cardgen.press.canvas import paint
from cardgen.press.edition import load_edition
from cardgen.press.layout import lay_out
from cardgen.press.marks import Face, Mark, Rect, RectMark, Side, TextMark
from cardgen.press.type import font_file, width
from cardgen.proof.meaning.asked import cautions
from cardgen.register.code import ALPHABET
from tests.outside.damage import Chance, Page
from tests.outside.pages import drawn, sheets
from tests.outside.photocopy import copied
from tests.press.paper_deck import ISSUED, deck
from tests.press.samples import SAMPLES
from tests.press.test_change_bars import bars, changed, sides_of

DPI = 300
SCALE = DPI / 72
#: How far two crooked copies may move a place on the sheet, in pixels.
ASTRAY = 16


def cut(page: Page, side: Side, rect: Rect, more: int = 0) -> Page:
    """Cut a rectangle of the sheet out of a drawn page, with some pixels around it."""
    left, right = round(rect.x1 * SCALE) - more, round(rect.x2 * SCALE) + more
    top, low = round((side.height - rect.y2) * SCALE) - more, round((side.height - rect.y1) * SCALE) + more
    return page[top:low, left:right]


def twice_copied(pdf: bytes, number: int, side: Side, looked_at: Sequence[Rect], chance: Chance) -> Page:
    """Draw a sheet and copy it twice: the strip across it that is looked at, and some of the sheet around."""
    page = drawn(pdf, number, DPI)
    low, high = min(rect.y1 for rect in looked_at), max(rect.y2 for rect in looked_at)
    top = max(0, round((side.height - high) * SCALE) - 4 * ASTRAY)
    strip = slice(top, round((side.height - low) * SCALE) + 4 * ASTRAY)
    page[strip] = copied(page[strip], chance, generations=2)
    return page


def ground(seen: Page, astray: int) -> str:
    """Say what a signal word stands on: by its ground and the lines over and under it, not by its letters.

    A crooked copy has moved the tag by up to so many pixels: it is where most ink is.
    """
    ink = (seen < 0.5).astype(np.float64)
    high, wide = ink.shape[0] - 2 * astray, ink.shape[1] - 2 * astray
    filled = uniform_filter(ink, (high, wide))[high // 2 : -high // 2, wide // 2 : -wide // 2]
    top, left = np.unravel_index(filled.argmax(), filled.shape)
    tag = ink[top : top + high, left : left + wide]
    # Between the frame and the first letter, and between the last letter and the frame.
    if min(tag[high // 4 : -high // 4, part].mean() for part in (slice(6, 12), slice(-12, -6))) > 0.6:
        return "black"
    lines = ink[max(0, top - 3) : top + high + 3, left + wide // 4 : left + 3 * wide // 4].mean(axis=1)
    return "framed" if min(lines[: high // 4].max(), lines[-high // 4 :].max()) > 0.8 else "bare"


def bar(edge: Page) -> str:
    """Say which bar runs down the left of a strip; a hollow one has white between its two lines."""
    down = (edge < 0.5).mean(axis=0)
    (dark,) = np.nonzero(down > 0.8)
    if not dark.size:
        return "none"
    return "solid" if down[dark[0] : dark[-1] + 1].min() > 0.8 else "hollow"


class Signal(NamedTuple):
    """A safety word, where its tag is, and a piece of the edge where the bar is of what it guards."""

    word: str
    tag: Rect
    edge: Rect


def signals(side: Side) -> list[Signal]:
    """The safety words of a side."""
    found = []
    for mark in side.marks:
        if isinstance(mark, TextMark) and mark.face == "bold" and mark.text in GROUNDS:
            pad, low, high = 0.35 * mark.size, mark.y - 0.2 * mark.size, mark.y + 0.85 * mark.size
            left = mark.x - pad
            found.append(
                Signal(
                    mark.text,
                    Rect(left, low, mark.x + mark.width + pad, high),
                    Rect(left - 12, mark.y, left - 1, mark.y + 0.6 * mark.size),
                )
            )
    return found


#: How each signal looks, besides its word and its tint. A note has no bar of its own.
GROUNDS = {"WARNING": "black", "CAUTION": "framed", "NOTE": "bare"}
BARS = {"WARNING": "solid", "CAUTION": "hollow"}


def test_warning_caution_and_note_are_told_apart_on_a_copy_of_a_copy() -> None:
    edition = load_edition("pouch", "iso")
    sides = [side for side in lay_out(deck(), edition) if isinstance(side, Side)]
    assert _told_apart(sides, paint(sides, deck(), edition)) == set(GROUNDS)


def test_the_signals_of_a_sample_s_card_need_no_tint_on_a_copy_of_a_copy() -> None:
    printed = sheets(SAMPLES[1], "pouch")
    sides = [
        replace(side, marks=tuple(map(_untinted, side.marks)))
        for side in printed.sides
        if side.card_id == "track"
    ]
    assert _told_apart(sides, paint(sides, printed.deck, printed.edition)) == set(BARS)


def _told_apart(sides: Sequence[Side], pdf: bytes) -> set[str]:
    """Look at sides on copies of copies, until every signal on them is met; gives those that were met."""
    chance = np.random.default_rng(0)
    said: set[str] = set()
    for number, side in enumerate(sides):
        found = signals(side)
        if said.issuperset(signal.word for signal in found):
            continue
        page = twice_copied(pdf, number, side, [signal.tag for signal in found], chance)
        for signal in found:
            assert ground(cut(page, side, signal.tag, ASTRAY), ASTRAY) == GROUNDS[signal.word]
            if signal.word in BARS:
                assert bar(cut(page, side, signal.edge)) == BARS[signal.word]
            said.add(signal.word)
    return said


def _untinted(mark: Mark) -> Mark:
    return mark._replace(fill=None) if isinstance(mark, RectMark) and mark.fill == "tint" else mark


def likeness(seen: Page, shape: Page) -> float:
    """Best normalised correlation of a shape anywhere in what is seen: 1 is the same, 0 is nothing alike."""
    shape = shape - shape.mean()
    places = sliding_window_view(seen, shape.shape)
    squares = np.einsum("abij,abij->ab", places, places) - places.sum(axis=(2, 3)) ** 2 / shape.size
    spread = np.sqrt(np.maximum(squares, 1e-9) * (shape**2).sum())
    return float((np.einsum("abij,ij->ab", places, shape) / spread).max())


@cache
def letter(text: str, face: Face, size: float) -> Page:
    """One character, or a word, in the cards' type as Pillow draws it, cut to its ink."""
    font = ImageFont.truetype(str(font_file(face)), size * SCALE)
    image = Image.new("L", (int(size * SCALE * (1 + len(text))), int(size * SCALE * 2)), 255)
    ImageDraw.Draw(image).text((size * SCALE / 2, size * SCALE / 4), text, fill=0, font=font)
    page = np.asarray(image, dtype=np.float64) / 255
    ink = np.argwhere(page < 0.5)
    (top, left), (low, right) = ink.min(axis=0), ink.max(axis=0)
    return page[top - 2 : low + 3, left - 2 : right + 3]


def nearest(seen: Page, mark: TextMark, among: Iterable[str]) -> str:
    """Which of some characters or words a place on a copy looks most like."""
    seen = 1.0 - seen if mark.tone == "white" else seen
    return max(among, key=lambda each: likeness(seen, letter(each, mark.face, round(mark.size, 2))))


def test_blade_a_and_blade_b_are_told_apart_on_a_copy_of_a_copy() -> None:
    printed = sheets(SAMPLES[0], "pouch")
    chance = np.random.default_rng(1)
    told: list[tuple[str, str]] = []
    for number, side in enumerate(printed.sides):
        letters = [
            mark
            for mark in side.marks
            if isinstance(mark, TextMark) and mark.text in {"A", "B"} and mark.role == "label"
        ]
        if not letters or len(told) >= 4:
            continue
        boxes = [Rect(mark.x, mark.y, mark.x + mark.width, mark.y + 0.7 * mark.size) for mark in letters]
        page = twice_copied(printed.pdf, number, side, boxes, chance)
        for mark, box in zip(letters, boxes, strict=True):
            told.append((mark.text, nearest(cut(page, side, box, ASTRAY), mark, "AB")))
    assert len(told) >= 4
    assert all(was == seen for was, seen in told)


def test_every_digit_of_the_track_table_is_itself_on_a_copy_of_a_copy() -> None:
    printed = sheets(SAMPLES[0], "pouch")
    chance = np.random.default_rng(2)
    wrong, read = [], Counter[str]()
    for number, side in enumerate(printed.sides):
        rows = [
            mark
            for mark in side.marks
            if isinstance(mark, TextMark) and mark.figure.startswith(("track.row.", "track.first."))
        ]
        if not rows:
            continue
        lines = [Rect(mark.x, mark.y, mark.x + mark.width, mark.y + 0.7 * mark.size) for mark in rows]
        page = twice_copied(printed.pdf, number, side, lines, chance)
        for mark in rows:
            for place, character in enumerate(mark.text):
                if not character.isdecimal():
                    continue
                start = mark.x + width(mark.text[:place], mark.face, mark.size)
                wide = width(character, mark.face, mark.size)
                box = Rect(start, mark.y, start + wide, mark.y + 0.7 * mark.size)
                read[character] += 1
                if (seen := nearest(cut(page, side, box, 8), mark, "0123456789")) != character:
                    wrong.append((mark.text, character, seen))
    assert read.total() > 30
    assert set(read) == set("0123456789")
    assert not wrong


def parts_of(mark: TextMark, parts: Iterable[str]) -> Iterator[tuple[str, Rect]]:
    """Parts of a line, one after the other, each with its place."""
    end = 0
    for part in parts:
        start = mark.text.index(part, end)
        end = start + len(part)
        left = mark.x + width(mark.text[:start], mark.face, mark.size)
        wide = width(part, mark.face, mark.size)
        yield part, Rect(left, mark.y - 0.2 * mark.size, left + wide, mark.y + 0.75 * mark.size)


def _line(rect: TextMark) -> Rect:
    return Rect(rect.x, rect.y - 0.2 * rect.size, rect.x + rect.width, rect.y + 0.75 * rect.size)


@pytest.mark.parametrize("word", ["STOP", "HOLD"])
def test_stop_and_hold_are_read_letter_by_letter_on_a_copy_of_a_copy(word: str) -> None:
    printed = sheets(SAMPLES[1], "pouch")
    number, side, mark = next(
        (number, side, mark)
        for number, side in enumerate(printed.sides)
        for mark in side.marks
        if isinstance(mark, TextMark) and mark.text == word
    )
    page = twice_copied(printed.pdf, number, side, [_line(mark)], np.random.default_rng(3))
    read = [nearest(cut(page, side, box, ASTRAY), mark, ascii_uppercase) for _, box in parts_of(mark, word)]
    assert "".join(read) == word


def test_the_words_of_the_cautions_are_read_on_a_copy_of_a_copy() -> None:
    """Each word against every word of all cautions that is as long, on the side with the smallest of them."""
    texts = [caution["text"] for caution in cautions().values()]
    known = sorted({word for text in texts for word in text.split()})
    printed = sheets(SAMPLES[1], "pouch")
    found = [
        (number, side, mark)
        for number, side in enumerate(printed.sides)
        for mark in side.marks
        if isinstance(mark, TextMark) and len(mark.text) > 8 and any(mark.text in text for text in texts)
    ]
    least = min(found, key=lambda each: each[2].size)[0]
    lines = [(side, mark) for number, side, mark in found if number == least]
    page = twice_copied(
        printed.pdf, least, lines[0][0], [_line(mark) for _, mark in lines], np.random.default_rng(4)
    )
    wrong, count = [], 0
    for side, mark in lines:
        for word, box in parts_of(mark, mark.text.split()):
            alike = [
                each for each in known if 0.93 < width(each, mark.face, mark.size) / (box.x2 - box.x1) < 1.07
            ]
            count += 1
            if (seen := nearest(cut(page, side, box, 8), mark, alike)) != word:
                wrong.append((word, seen))
    assert count >= 15
    assert not wrong


def test_the_deck_s_code_is_read_on_a_copy_of_a_copy() -> None:
    made, edition = deck(stamp=ISSUED), load_edition("pouch", "iso")
    sides = [side for side in lay_out(made, edition) if isinstance(side, Side)]
    assert made.stamp.code
    mark = next(mark for mark in sides[0].marks if isinstance(mark, TextMark) and made.stamp.code in mark.text)
    page = twice_copied(paint(sides, made, edition), 0, sides[0], [_line(mark)], np.random.default_rng(5))
    ((_, whole),) = parts_of(mark, [made.stamp.code])
    code = mark._replace(text=made.stamp.code, x=whole.x1, width=whole.x2 - whole.x1)
    signs = [sign for sign in code.text if sign != "-"]
    read = [nearest(cut(page, sides[0], box, ASTRAY), code, ALPHABET) for _, box in parts_of(code, signs)]
    assert read == signs


def test_change_bars_are_still_bars_on_a_copy_of_a_copy() -> None:
    sides = sides_of(changed(), "pouch")
    pdf, seen = paint(sides, changed(), load_edition("pouch", "iso")), 0
    for number, side in enumerate(sides):
        drawn_bars = bars(side)
        if not drawn_bars:
            continue
        rects = [Rect(line.x1 - 4, line.y1 + 2, line.x1 + 0.8, line.y2 - 2) for line in drawn_bars]
        page = twice_copied(pdf, number, side, rects, np.random.default_rng(6))
        assert all(bar(cut(page, side, rect, 3)) == "solid" for rect in rects)
        assert all(bar(cut(page, side, rect.moved(0.0, 60.0))) != "solid" for rect in rects[:1])
        seen += len(rects)
    assert seen >= 2
