"""The type's digits are the digits that they are named for, by a picture of each that was made by eye."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from functools import cache
from io import BytesIO
from itertools import pairwise

import pypdfium2
import pytest
from reportlab.pdfgen.canvas import Canvas

from cardgen.press.marks import Face
from cardgen.press.type import NAMES, register

#: The digits of this type on five by seven dots, drawn by hand after a print: its 1 is a stem at the right
#: with a flag, its 8 narrower above, a stroke crosses its 0.
PICTURES = {
    "0": ".###. ##..# ##..# #.#.# #..## #..## .###.",
    "1": "..### ##### #..## ...## ...## ...## ...##",
    "2": ".###. #...# ....# ...#. ..#.. .#... #####",
    "3": ".###. #...# ....# ..##. ....# #...# .###.",
    "4": "...#. ..##. .#.#. #..#. ##### ...#. ...#.",
    "5": "##### #.... ####. ....# ....# #...# .###.",
    "6": "..##. .#... #.... ####. #...# #...# .###.",
    "7": "##### ....# ...#. ..#.. ..#.. .#... .#...",
    "8": ".###. .#.#. .#.#. .###. #...# #...# .###.",
    "9": ".###. #...# #...# .#### ....# ...#. .##..",
}
#: White that is closed in, counted by eye on the same print.
HOLES = {"0": 2, "1": 0, "2": 0, "3": 0, "4": 1, "5": 0, "6": 1, "7": 0, "8": 2, "9": 1}


@cache
def drawn(digit: str, face: Face) -> list[bytes]:
    """Draw a digit large: rows of shades from the top."""
    register()
    out = BytesIO()
    canvas = Canvas(out, pagesize=(100, 100))
    canvas.setFont(NAMES[face], 100)
    canvas.drawString(20, 15, digit)
    canvas.save()
    with closing(pypdfium2.PdfDocument(out.getvalue())) as pdf:
        bitmap = pdf[0].render(scale=2, grayscale=True)
        shades = bytes(bitmap.buffer)
        return [shades[at * bitmap.stride :][: bitmap.width] for at in range(bitmap.height)]


def dots(rows: list[bytes]) -> Iterator[float]:
    """Give the share of ink in each of five by seven parts of a digit's rectangle."""
    high = [y for y, row in enumerate(rows) if min(row) < 128]
    wide = [x for row in rows for x, shade in enumerate(row) if shade < 128]
    left, right, top, low = min(wide), max(wide) + 1, high[0], high[-1] + 1
    xs = [left + (right - left) * at // 5 for at in range(6)]
    ys = [top + (low - top) * at // 7 for at in range(8)]
    for up, down in pairwise(ys):
        for one, other in pairwise(xs):
            ink = [255 - shade for row in rows[up:down] for shade in row[one:other]]
            yield sum(ink) / len(ink) / 255


def whites(rows: list[bytes]) -> int:
    """Count the areas of white that do not touch one another, the one around the digit too."""
    left = {(x, y) for y, row in enumerate(rows) for x, shade in enumerate(row) if shade > 128}
    count = 0
    while left:
        count += 1
        edge = [left.pop()]
        while edge:
            x, y = edge.pop()
            near = {(x - 1, y), (x + 1, y), (x, y - 1), (x, y + 1)} & left
            left -= near
            edge += near
    return count


@pytest.mark.parametrize("face", NAMES)
@pytest.mark.parametrize("digit", PICTURES)
def test_a_digit_looks_most_like_its_own_picture(digit: str, face: Face) -> None:
    seen = list(dots(drawn(digit, face)))
    apart = {
        name: sum(abs(dot - (sign == "#")) for dot, sign in zip(seen, picture.replace(" ", ""), strict=True))
        for name, picture in PICTURES.items()
    }
    assert min(apart, key=lambda name: apart[name]) == digit, apart


@pytest.mark.parametrize("face", NAMES)
@pytest.mark.parametrize("digit", HOLES)
def test_a_digit_has_as_many_holes_as_its_own(digit: str, face: Face) -> None:
    assert whites(drawn(digit, face)) == HOLES[digit] + 1
