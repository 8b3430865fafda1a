"""Reads every printed run back from its place in the finished PDF.

A search would find "160" wherever it stands; here the rectangle that the layout recorded for a run
is read by another library, and must hold exactly that run. What a figure's run says must also be
what the figure says.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from ctypes import POINTER, byref, c_double, c_ushort, cast, create_string_buffer, string_at
from dataclasses import dataclass
from typing import Any

from cardgen.deck.card import Deck
from cardgen.figures.figure import Figure
from cardgen.press.marks import Side, TextMark
from cardgen.proof.finished import Finished, opened

#: A rectangle is drawn in by this much, so that a neighbour's edge is not read with it, in points.
_DRAWN_IN = 0.6
#: A run is read from here to here of its size, from its baseline: every character of the type has ink
#: there, the underscore and the accents too, and no other run has, for no two of them meet.
_FROM, _TO = -0.06, 0.62
#: The other library takes a hyphen that ends a line for one that joins two halves of a word, and says so.
_HYPHEN = {0x02: "-", 0xFFFE: "-"}
_HYPHENS = frozenset(map(chr, _HYPHEN))
#: What the other library puts round a text: its end as C writes it, and white space.
_AROUND = "\0 \r\n\t"
#: A file writes a place to a hundredth of a point, and the places of a run's letters add up, in points.
_NEAR = 0.1
#: More characters than any run has.
_LONGEST = 1024
#: Cards on which every character must have a reason.
STRICT = frozenset({"torque", "track", "next-step"})


@dataclass(frozen=True)
class Misread:
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


def check_places(pdf: bytes | Finished, sides: Sequence[Side], deck: Deck | None = None) -> tuple[Misread, ...]:
    """Compare a finished PDF with the record of its layout and with the deck's figures.

    A print that belongs to no deck shows no figures.
    """
    with opened(pdf) as file:
        if file.is_damaged:
            return (Misread("", 0, "", "a PDF that can be opened", "a damaged file"),)
        if len(file) != len(sides):
            return (Misread("", 0, "", f"{len(sides)} pages", f"{len(file)} pages"),)
        found: list[Misread] = []
        for number, side in enumerate(sides, start=1):
            found += _page(file.page(number), _PlaceReader(file.text(number)), side, number, deck)
        return tuple(found)


def _page(page: Any, text: _PlaceReader, side: Side, number: int, deck: Deck | None) -> Iterable[Misread]:
    figures = deck.figures if deck else {}
    old = {change.figure: change.was for change in (deck.changes if deck else ())}
    width, height = page.get_size()
    if abs(width - side.width) > 0.01 or abs(height - side.height) > 0.01:
        expected = f"a sheet of {side.width:.1f} x {side.height:.1f} pt"
        yield Misread(side.card_id, number, "", expected, f"{width:.1f} x {height:.1f} pt")
    marks = [mark for mark in side.marks if isinstance(mark, TextMark)]
    for mark in marks:
        seen = text.run(mark)
        if seen != mark.text:
            yield Misread(side.card_id, number, mark.figure, mark.text, seen)
        elif mark.role == "was":
            if mark.text != (was := f"({old.get(mark.figure, '')})"):
                yield Misread(side.card_id, number, mark.figure, was, mark.text)
        elif mark.figure and not _belongs(mark.text, figures.get(mark.figure)):
            yield Misread(side.card_id, number, mark.figure, _said_by(figures.get(mark.figure)), mark.text)
    yield from _unrecorded(text, marks, side, number)


class _PlaceReader:
    """Reads the text of one page, always through the same memory: a deck is asked 50,000 times."""

    def __init__(self, text: Any) -> None:
        import pypdfium2.raw as raw

        self.whole: str = text.get_text_range().translate(_HYPHEN)
        self._text = text.raw
        self._bounded: Any = raw.FPDFText_GetBoundedText
        self._origin: Any = raw.FPDFText_GetCharOrigin
        self._memory = create_string_buffer(2 * _LONGEST)
        self._units = cast(self._memory, POINTER(c_ushort))
        self._x, self._y = c_double(), c_double()
        self._at = byref(self._x), byref(self._y)

    def run(self, mark: TextMark) -> str:
        """Read the rectangle of one run, its sides drawn in a little."""
        left, right = mark.x + _DRAWN_IN, mark.x + mark.width - _DRAWN_IN
        low, high = mark.y + _FROM * mark.size, mark.y + _TO * mark.size
        count = self._bounded(self._text, left, high, right, low, self._units, _LONGEST)
        read = string_at(self._memory, 2 * count).decode("utf-16-le").strip(_AROUND)
        # Hyphens are few, and looking is quicker than translating.
        return read if _HYPHENS.isdisjoint(read) else read.translate(_HYPHEN)

    def origin(self, index: int) -> tuple[float, float]:
        """Find where a character of ``whole`` begins, on its baseline."""
        if not self._origin(self._text, index, *self._at):
            return -1.0, -1.0  # no place on the sheet
        return self._x.value, self._y.value


def _belongs(text: str, figure: Figure | None) -> bool:
    return figure is not None and text in _words(figure)


def _words(figure: Figure) -> frozenset[str]:
    parts = figure.parts
    return frozenset(
        {
            *(parts.number, parts.unit, f"({parts.second})", str(figure.origin)),
            *(f"{parts.number} {parts.unit}", f"{parts.unit} {figure.origin}"),
            f"({parts.second}) {figure.origin}",
            # Where the words are as small as what stands in brackets, they are one run.
            *(f"{parts.unit} ({parts.second})", f"{parts.unit} ({parts.second}) {figure.origin}"),
        }
    )


def _said_by(figure: Figure | None) -> str:
    return figure.shown if figure else "a figure of this deck"


def _unrecorded(text: _PlaceReader, marks: Sequence[TextMark], side: Side, number: int) -> Iterable[Misread]:
    """Find characters on the page that no run accounts for."""
    expected, seen = _characters(" ".join(mark.text for mark in marks)), _characters(text.whole)
    if seen != expected:
        lost, more = "".join((expected - seen).elements()), "".join((seen - expected).elements())
        yield Misread(side.card_id, number, "", lost or "nothing more", more or "nothing there")
    elif not STRICT.isdisjoint((side.card_id, *side.cards)):
        yield from _misplaced(text, marks, side, number)


def _characters(text: str) -> Counter[str]:
    """Count a text's characters, all but its white space."""
    return Counter("".join(text.split()))


def _misplaced(text: _PlaceReader, marks: Sequence[TextMark], side: Side, number: int) -> Iterable[Misread]:
    """Find characters that stand outside every run they could belong to."""
    last: TextMark | None = None
    for index, character in enumerate(text.whole):
        if character.isspace():
            continue
        x, y = text.origin(index)
        # The next character mostly stands in the same run.
        if last is None or character not in last.text or not _holds(last, x, y):
            last = next((mark for mark in marks if character in mark.text and _holds(mark, x, y)), None)
        if last is None:
            yield Misread(side.card_id, number, "", "no character here", f"{character} at {x:.0f}, {y:.0f}")


def _holds(mark: TextMark, x: float, y: float) -> bool:
    """Whether a character begins inside a run and on its baseline, as near as a file writes its places."""
    return mark.x - _NEAR <= x <= mark.x + mark.width and abs(y - mark.y) <= _NEAR
