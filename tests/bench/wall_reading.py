"""How far off a wall sheet can be read: by an eye that resolves one minute of arc, letter by letter.

The eye is a Gaussian whose width at half its height is one minute of arc, what visual acuity 6/6 resolves
(ISO 8596, from memory), with noise on top. The reader compares each letter with every shape of the font,
seen by the same eye, and takes the nearest: no dictionary, no training. Where a letter stands is told by the
record of the sheet; what stands there is read from the finished file alone.

``python -m tests.bench.wall_reading`` prints how many letters are misread at each distance.
"""

from __future__ import annotations

import string
import sys
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from math import pi
from typing import NamedTuple

import numpy as np
from PIL import Image, ImageDraw, ImageFont
from scipy.ndimage import gaussian_filter

from cardgen.press.marks import Face, Side, TextMark
from cardgen.press.type import font_file, width
from tests.outside.damage import Page
from tests.outside.pages import Sheets, drawn, sheets
from tests.press.samples import SAMPLES

#: Metres: where main numbers, halts and diameter must be read from, and where title and diameter.
BENCH, DOOR = 1.5, 3.0
#: Points of the smallest type of each, as the wall edition's floors have it.
NUMBERS, TITLE = 31.8, 50.0
#: What a letter may be taken for.
LETTERS = string.ascii_letters + string.digits + ".,:;-/+"
_ARC = pi / 180 / 60
_PIXELS = 2  # a minute of arc, twice what the eye resolves
_NOISE = 0.05


class Misread(NamedTuple):
    """A letter that was taken for another one: the text it stands in, what it is and what was seen."""

    text: str
    letter: str
    seen: str


def resolution(metres: float) -> float:
    """Dots an inch at which a minute of arc, seen from so far, is a fixed number of dots."""
    return _PIXELS * 0.0254 / (metres * _ARC)


def seen(page: Page) -> Page:
    """What an eye makes of what it looks at; a minute of arc is a fixed number of dots."""
    return np.asarray(gaussian_filter(page, _PIXELS / 2.355), dtype=np.float64)


def large_texts(side: Side, least: float) -> Iterator[TextMark]:
    """Texts of a side that are set at least so large, in points."""
    for mark in side.marks:
        if isinstance(mark, TextMark) and mark.size >= least - 0.01:
            yield mark


def misread(printed: Sheets, pages: Iterable[int], metres: float, least: float) -> tuple[int, list[Misread]]:
    """Read every text of at least a size on some pages; gives how many letters were read, and which wrongly."""
    chance = np.random.default_rng(0)
    count, wrong = 0, list[Misread]()
    for number in pages:
        side = printed.sides[number]
        page = seen(drawn(printed.pdf, number, resolution(metres)))
        page = page + chance.normal(0, _NOISE, page.shape)
        for mark in large_texts(side, least):
            for letter, found in read(page, side, mark, resolution(metres) / 72):
                count += 1
                if letter != found:
                    wrong.append(Misread(mark.text, letter, found))
    return count, wrong


def read(page: Page, side: Side, mark: TextMark, scale: float) -> Iterator[tuple[str, str]]:
    """Read a text letter by letter: what each is, and what it looks most like."""
    size = mark.size * scale
    top = round((side.height - mark.y - mark.size) * scale)
    for place, letter in enumerate(mark.text):
        if letter not in LETTERS:
            continue
        start = (mark.x + width(mark.text[:place], mark.face, mark.size)) * scale
        wide = max(2, round(width(letter, mark.face, mark.size) * scale))
        cell = page[top : top + round(1.3 * size), round(start) : round(start) + wide]
        cell = 1.0 - cell if mark.tone == "white" else cell
        yield letter, nearest(cell, mark.face, round(size, 2))


def nearest(cell: Page, face: Face, size: float) -> str:
    """Which letter a cell looks most like, wherever within a dot it stands."""
    high, wide = cell.shape
    shapes = shapes_of(face, size, high)
    left = (shapes.shape[2] - wide) // 2 - 1
    unlike = [
        ((cell - shapes[:, y : y + high, left + x : left + x + wide]) ** 2).mean(axis=(1, 2))
        for y in range(3)
        for x in range(3)
    ]
    return LETTERS[int(np.min(unlike, axis=0).argmin())]


@cache
def shapes_of(face: Face, size: float, high: int) -> Page:
    """Every letter in the middle of a cell, with white around, as the same eye sees it."""
    font = ImageFont.truetype(str(font_file(face)), size)
    wide = int(1.6 * size) + 4
    shapes = []
    for letter in LETTERS:
        image = Image.new("L", (wide, high + 2), 255)
        left = (wide - font.getlength(letter)) / 2
        ImageDraw.Draw(image).text((left, 1 + size), letter, fill=0, font=font, anchor="ls")
        shapes.append(seen(np.asarray(image, dtype=np.float64) / 255))
    return np.array(shapes)


def report(printed: Sheets, distances: Sequence[float]) -> Iterator[str]:
    """Say for each distance how many letters of numbers and halts, and of title and diameter, are misread."""
    for metres in distances:
        for what, least in (("numbers, halts, diameter", NUMBERS), ("title, diameter", TITLE)):
            count, wrong = misread(printed, range(len(printed.sides)), metres, least)
            some = ", ".join(f"{each.letter} as {each.seen} in {each.text!r}" for each in wrong[:4])
            yield f"{metres:5.1f} m  {what:26} {len(wrong):4} of {count:4}  {some}"


def main() -> None:
    """Print the table of both samples."""
    for path in SAMPLES:
        printed = sheets(path, "wall")
        sys.stdout.write(f"{path.stem}\n" + "\n".join(report(printed, (BENCH, DOOR, 6.0, 9.0))) + "\n")


if __name__ == "__main__":
    main()
