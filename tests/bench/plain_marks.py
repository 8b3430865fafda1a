"""A deck's marks as plain tuples, for the bare canvas to draw.

Run as a module with a specification, a day and the file to write; prints the number of pages.
"""

from __future__ import annotations

import marshal
import sys
from collections.abc import Iterator
from datetime import date
from itertools import groupby
from pathlib import Path
from typing import Any

from cardgen.deck.build import build_deck
from cardgen.deck.card import Stamp
from cardgen.figures import compute
from cardgen.press.edition import editions_of
from cardgen.press.marks import ArcMark, LineMark, Mark, PolygonMark, QrMark, RectMark, TextMark
from cardgen.press.publish import Printed, publish
from cardgen.press.type import NAMES, font_file
from cardgen.spec.load import Loaded, load

_GREYS = {"black": 0.0, "white": 1.0, "tint": 0.9, "watermark": 0.9}


def write_marks(spec: Path, today: date, out: Path) -> int:
    """Save the marks of every page that a draft of all editions has; gives the number of pages."""
    loaded = load(spec, today)
    assert isinstance(loaded, Loaded)
    assert loaded.spec is not None
    deck = build_deck(loaded.spec, compute(loaded.spec), loaded.warnings, Stamp())
    printed = publish(deck, editions_of(loaded.spec))
    assert isinstance(printed, Printed)
    pages = [
        (side.width, side.height, [plain for mark in side.marks for plain in _plain(mark)])
        for sides in printed.layouts.values()
        for side in sides
    ]
    fonts = {NAMES[face]: str(font_file(face)) for face in NAMES}
    out.write_bytes(marshal.dumps((pages, fonts)))
    return len(pages)


def _plain(mark: Mark) -> Iterator[tuple[Any, ...]]:
    match mark:
        case TextMark():
            yield "text", mark.x, mark.y, str(mark.text), NAMES[mark.face], mark.size, _GREYS[mark.tone]
        case LineMark():
            yield "line", mark.x1, mark.y1, mark.x2, mark.y2, mark.weight
        case RectMark():
            rect = mark.rect
            grey = _GREYS[mark.fill] if mark.fill else None
            yield "rectangle", rect.x1, rect.y1, rect.x2 - rect.x1, rect.y2 - rect.y1, mark.weight, grey
        case PolygonMark():
            yield "outline", [tuple(point) for point in mark.points]
        case ArcMark():
            yield "arc", mark.x, mark.y, mark.radius, mark.start, mark.end - mark.start
        case QrMark():
            yield from _modules(mark)


def _modules(mark: QrMark) -> Iterator[tuple[Any, ...]]:
    for index, row in enumerate(mark.matrix):
        at, y = 0, mark.y + (len(mark.matrix) - 1 - index) * mark.module
        for dark, cells in groupby(row):
            count = len(list(cells))
            if dark:
                yield "rectangle", mark.x + at * mark.module, y, count * mark.module, mark.module, 0.0, 0.0
            at += count


if __name__ == "__main__":
    print(write_marks(Path(sys.argv[1]), date.fromisoformat(sys.argv[2]), Path(sys.argv[3])))
