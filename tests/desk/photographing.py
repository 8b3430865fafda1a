"""A photograph of a printed sheet, made here: slanted, uneven in light, a little blurred, pressed small."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import cache
from io import BytesIO

from PIL import Image, ImageChops, ImageFilter

from cardgen.deck.build import build_deck
from cardgen.deck.card import Stamp
from cardgen.figures import compute
from cardgen.press.canvas import paint
from cardgen.press.edition import editions_of
from cardgen.press.layout import lay_out
from cardgen.press.marks import QrMark, Side
from cardgen.proof.finished import opened
from tests.logbook.logs import sample

#: Dots an inch: what a telephone sees of a sheet that fills its picture.
DOTS = 150
TABLE = 96


@cache
def printed(code: str, on: date, card: str = "torque") -> Image.Image:
    """The side of an issued card that has its square mark, as the printer gives it."""
    spec = sample()
    deck = build_deck(spec, compute(spec), (), Stamp(1, code, on), only=(card,))
    edition = next(each for each in editions_of(spec) if each.name == "pouch")
    sides = [each for each in lay_out(deck, edition) if isinstance(each, Side)]
    marked = [each for each in sides if any(isinstance(mark, QrMark) for mark in each.marks)]
    with opened(paint(marked[:1], deck, edition)) as file:
        image: Image.Image = file.page(1).render(scale=DOTS / 72).to_pil().convert("L")
        return image


def photographed(sheets: Sequence[Image.Image], turn: float = 7) -> bytes:
    """Lay sheets side by side on a grey table and take a picture of them with a hand that is not still."""
    height, edge = max(each.height for each in sheets), 60
    table = Image.new("L", (sum(each.width + edge for each in sheets) + edge, height + 2 * edge), TABLE)
    at = edge
    for each in sheets:
        table.paste(each, (at, edge))
        at += each.width + edge
    turned = table.rotate(turn, Image.Resampling.BICUBIC, expand=True, fillcolor=TABLE)
    width, height = turned.size
    # Seen from the lower left: the upper edge and the right one look shorter.
    corners = (-0.05 * width, -0.06 * height, 0, height, width, 1.04 * height, 1.07 * width, -0.01 * height)
    slanted = turned.transform(
        turned.size, Image.Transform.QUAD, corners, Image.Resampling.BICUBIC, fillcolor=TABLE
    )
    light = (
        Image.linear_gradient("L")
        .rotate(90)
        .resize(slanted.size)
        .point([90 + at * 165 // 255 for at in range(256)])
    )
    seen = ImageChops.multiply(slanted, light).filter(ImageFilter.GaussianBlur(1))
    out = BytesIO()
    seen.convert("RGB").save(out, "JPEG", quality=60)
    return out.getvalue()
