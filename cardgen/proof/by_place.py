"""Reads every printed run back from its place in the finished PDF.

A search would find "160" wherever it stands; here the rectangle that the layout recorded for a run
is read by another library, and must hold exactly that run. What a figure's run says must also be
what the figure says.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from ctypes import c_ushort
from dataclasses import dataclass
from typing import Any

from cardgen.deck.card import Deck
from cardgen.figures.figure import Figure
from cardgen.press.marks import Side, TextMark

#: A rectangle is drawn in by this much, so that a neighbour's edge is not read with it, in points.
_DRAWN_IN = 0.6
#: A run is read from here to here of its size, from its baseline: every character of the type has ink
#: there, the underscore and the accents too, and no other run has, for no two of them meet.
_FROM, _TO = -0.06, 0.62
#: More characters than any run has.
_LONGEST = 1024
#: Cards on which every character must have a reason.
STRICT = frozenset({"torque", "track"})


@dataclass(frozen=True)
class Mismatch:
    """A place where the paper does not say what it should; ``side`` counts from 1 through the file."""

    card: str
    side: int
    figure: str
    expected: str
    found: str

    def __str__(self) -> str:
        """Say it in one line."""
        what = f"figure {self.figure}" if self.figure else "text"
        return f'card {self.card}, page {self.side}, {what}: "{self.expected}" expected, "{self.found}" found'


def check_places(pdf: bytes, sides: Sequence[Side], deck: Deck) -> tuple[Mismatch, ...]:
    """Compare a finished PDF with the record of its layout and with the deck's figures."""
    import pypdfium2

    try:
        document = pypdfium2.PdfDocument(pdf)
    except pypdfium2.PdfiumError:
        return (Mismatch("", 0, "", "a PDF that can be opened", "a damaged file"),)
    try:
        if len(document) != len(sides):
            return (Mismatch("", 0, "", f"{len(sides)} pages", f"{len(document)} pages"),)
        found: list[Mismatch] = []
        for number, side in enumerate(sides, start=1):
            page = document[number - 1]
            text = page.get_textpage()
            found += _page(page, text, side, number, deck)
            text.close()
            page.close()
        return tuple(found)
    finally:
        document.close()


def _page(page: Any, text: Any, side: Side, number: int, deck: Deck) -> Iterable[Mismatch]:
    figures, old = deck.figures, {change.figure: change.was for change in deck.changes}
    width, height = page.get_size()
    if abs(width - side.width) > 0.01 or abs(height - side.height) > 0.01:
        expected = f"a sheet of {side.width:.1f} x {side.height:.1f} pt"
        yield Mismatch(side.card_id, number, "", expected, f"{width:.1f} x {height:.1f} pt")
    marks = [mark for mark in side.marks if isinstance(mark, TextMark)]
    for mark in marks:
        seen = _read(text, mark)
        if seen != mark.text:
            yield Mismatch(side.card_id, number, mark.figure, mark.text, seen)
        elif mark.role == "was":
            if mark.text != (was := f"({old.get(mark.figure, '')})"):
                yield Mismatch(side.card_id, number, mark.figure, was, mark.text)
        elif mark.figure and not _belongs(mark.text, figures.get(mark.figure)):
            yield Mismatch(side.card_id, number, mark.figure, _said_by(figures.get(mark.figure)), mark.text)
    yield from _unrecorded(text, marks, side, number)


def _read(text: Any, mark: TextMark) -> str:
    """Read the rectangle of one run, its sides drawn in a little."""
    import pypdfium2.raw as raw

    left, right = mark.x + _DRAWN_IN, mark.x + mark.width - _DRAWN_IN
    low, high = mark.y + _FROM * mark.size, mark.y + _TO * mark.size
    units = (c_ushort * _LONGEST)()
    count = raw.FPDFText_GetBoundedText(text, left, high, right, low, units, _LONGEST)
    return bytes(units)[: 2 * count].decode("utf-16-le").rstrip("\0").strip()


def _belongs(text: str, figure: Figure | None) -> bool:
    return figure is not None and text in _words(figure)


def _words(figure: Figure) -> frozenset[str]:
    parts = figure.parts
    return frozenset(
        {
            *(parts.number, parts.unit, f"({parts.second})", str(figure.origin)),
            *(f"{parts.number} {parts.unit}", f"{parts.unit} {figure.origin}"),
            f"({parts.second}) {figure.origin}",
        }
    )


def _said_by(figure: Figure | None) -> str:
    return figure.shown if figure else "a figure of this deck"


def _unrecorded(text: Any, marks: Sequence[TextMark], side: Side, number: int) -> Iterable[Mismatch]:
    """Find characters on the page that no run accounts for."""
    expected = Counter(character for mark in marks for character in mark.text if not character.isspace())
    whole = text.get_text_range()
    seen = Counter(character for character in whole if not character.isspace())
    if seen != expected:
        lost, more = "".join((expected - seen).elements()), "".join((seen - expected).elements())
        yield Mismatch(side.card_id, number, "", lost or "nothing more", more or "nothing there")
    elif side.card_id in STRICT:
        yield from _misplaced(text, whole, marks, side, number)


def _misplaced(text: Any, whole: str, marks: Sequence[TextMark], side: Side, number: int) -> Iterable[Mismatch]:
    """Find characters that stand outside every run they could belong to."""
    last: TextMark | None = None
    for index, character in enumerate(whole):
        if character.isspace():
            continue
        left, bottom, right, top = text.get_charbox(index)
        x, y = (left + right) / 2, (bottom + top) / 2
        # The next character mostly stands in the same run.
        if last is None or character not in last.text or not _holds(last, x, y):
            last = next((mark for mark in marks if character in mark.text and _holds(mark, x, y)), None)
        if last is None:
            yield Mismatch(side.card_id, number, "", "no character here", f"{character} at {x:.0f}, {y:.0f}")


def _holds(mark: TextMark, x: float, y: float) -> bool:
    return mark.x <= x <= mark.x + mark.width and mark.y - 0.3 * mark.size <= y <= mark.y + mark.size
