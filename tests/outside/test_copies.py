"""A card copied twice, to black and white: its warnings, its blades and its numbers are still what they were.

Recognition here is the nearest of all known shapes by correlation, with no training and no dictionary:
what even that tells apart, a reader tells apart.
"""

from __future__ import annotations

from collections import Counter
from functools import cache

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont
from scipy.signal import fftconvolve

from cardgen.press.canvas import paint
from cardgen.press.edition import load_edition
from cardgen.press.layout import lay_out
from cardgen.press.marks import Face, LineMark, Rect, RectMark, Side, TextMark
from cardgen.press.type import font_file, width
from tests.outside.damage import Page
from tests.outside.pages import drawn, sheets
from tests.outside.photocopy import copied
from tests.press.paper_deck import deck
from tests.press.samples import SAMPLES

DPI = 300
SCALE = DPI / 72
#: How far two crooked copies may move a place on the sheet, in pixels.
ASTRAY = 16


def cut(page: Page, side: Side, rect: Rect, more: int = 0) -> Page:
    """Cut a rectangle of the sheet out of a drawn page, with some pixels around it."""
    left, right = round(rect.x1 * SCALE) - more, round(rect.x2 * SCALE) + more
    top, low = round((side.height - rect.y2) * SCALE) - more, round((side.height - rect.y1) * SCALE) + more
    return page[top:low, left:right]


def look(region: Page, astray: int) -> str:
    """Say which signal a region looks like: by its ground and the lines at its edges, not by its words."""
    ink = region < 0.5
    if ink[2 * astray : -2 * astray, 2 * astray : -2 * astray].mean() > 0.55:
        return "WARNING"
    edges: dict[str, NDArray[np.bool_]] = {
        "left": np.atleast_1d(ink[:, : 2 * astray].any(axis=1)),
        "right": np.atleast_1d(ink[:, -2 * astray :].any(axis=1)),
        "top": np.atleast_1d(ink[: 2 * astray].any(axis=0)),
        "bottom": np.atleast_1d(ink[-2 * astray :].any(axis=0)),
    }
    ruled = {name for name, edge in edges.items() if edge[2 * astray : -2 * astray].mean() > 0.95}
    if ruled == set(edges):
        return "CAUTION"
    return "NOTE" if ruled == {"left"} else "nothing"


def signals(side: Side) -> list[tuple[str, Rect]]:
    """The safety words of a side, each with its band."""
    found = []
    for mark in side.marks:
        if isinstance(mark, TextMark) and mark.face == "bold" and mark.text in {"WARNING", "CAUTION", "NOTE"}:
            rects = [each.rect for each in side.marks if isinstance(each, RectMark) and _holds(each.rect, mark)]
            rules = [
                Rect(each.x1 - 1.25, each.y1, side.frame.x2, each.y2)
                for each in side.marks
                if isinstance(each, LineMark) and each.x1 == each.x2 and each.weight == 2.5
            ]
            near = [
                Rect(r.x1, min(r.y1, r.y2), r.x2, max(r.y1, r.y2))
                for r in rules
                if min(r.y1, r.y2) < mark.y < max(r.y1, r.y2)
            ]
            found.append((mark.text, (rects or near)[0]))
    return found


def _holds(rect: Rect, mark: TextMark) -> bool:
    return rect.x1 < mark.x < rect.x2 and rect.y1 < mark.y < rect.y2


def test_warning_caution_and_note_are_told_apart_on_a_copy_of_a_copy() -> None:
    edition = load_edition("pouch", "iso")
    sides = [side for side in lay_out(deck(), edition) if isinstance(side, Side)]
    pdf = paint(sides, deck(), edition)
    chance = np.random.default_rng(0)
    said: set[str] = set()
    for number, side in enumerate(sides):
        found = signals(side)
        if said.issuperset(signal for signal, _ in found):
            continue
        page = copied(drawn(pdf, number, DPI), chance, generations=2)
        for signal, band in found:
            assert look(cut(page, side, band, more=ASTRAY), ASTRAY) == signal
            said.add(signal)
    assert said == {"WARNING", "CAUTION", "NOTE"}


def likeness(seen: Page, shape: Page) -> float:
    """Best normalised correlation of a shape anywhere in what is seen: 1 is the same, 0 is nothing alike."""
    shape = shape - shape.mean()
    ones = np.ones_like(shape)
    total = fftconvolve(seen, ones, mode="valid")
    squares = fftconvolve(seen**2, ones, mode="valid")
    spread = np.sqrt(np.maximum(squares - total**2 / shape.size, 1e-9)) * np.sqrt((shape**2).sum())
    return float((fftconvolve(seen, shape[::-1, ::-1], mode="valid") / spread).max())


@cache
def letter(text: str, face: Face, size: float) -> Page:
    """One character in the cards' type as Pillow draws it, cut to its ink."""
    font = ImageFont.truetype(str(font_file(face)), size * SCALE)
    image = Image.new("L", (int(size * SCALE * 2), int(size * SCALE * 2)), 255)
    ImageDraw.Draw(image).text((size * SCALE / 2, size * SCALE / 4), text, fill=0, font=font)
    page = np.asarray(image, dtype=np.float64) / 255
    ink = np.argwhere(page < 0.5)
    (top, left), (low, right) = ink.min(axis=0), ink.max(axis=0)
    return page[top - 2 : low + 3, left - 2 : right + 3]


def nearest(seen: Page, mark: TextMark, among: str) -> str:
    """Which of some characters a place on a copy looks most like."""
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
        page = copied(drawn(printed.pdf, number, DPI), chance, generations=2)
        for mark in letters:
            box = Rect(mark.x, mark.y, mark.x + mark.width, mark.y + 0.7 * mark.size)
            told.append((mark.text, nearest(cut(page, side, box, ASTRAY), mark, "AB")))
    assert len(told) >= 4
    assert all(was == seen for was, seen in told)


def test_every_digit_of_the_track_table_is_itself_on_a_copy_of_a_copy() -> None:
    printed = sheets(SAMPLES[0], "pouch")
    chance = np.random.default_rng(2)
    wrong, read = [], Counter[str]()
    for number, side in enumerate(printed.sides):
        rows = [
            mark for mark in side.marks if isinstance(mark, TextMark) and mark.figure.startswith("track.row.")
        ]
        if not rows:
            continue
        page = copied(drawn(printed.pdf, number, DPI), chance, generations=2)
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
