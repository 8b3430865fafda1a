"""The index of a fleet on paper, in the type and sizes of the handout, read back before it is kept."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from cardgen.issuing.fleet.index import HEADS, Index
from cardgen.press.canvas import paint_bare
from cardgen.press.edition import Edition, PaperKind, load_edition
from cardgen.press.marks import Face, LineMark, Mark, Rect, Side, TextMark, outlined
from cardgen.press.type import has_glyph, width

#: Shares of the column for the table's columns.
_SHARES = (0.17, 0.15, 0.1, 0.17, 0.14, 0.27)
_LEADING = 1.35
_PAD = 4.0
_HAIR = 0.5


class _Sheet:
    """Fills pages from the top; a row stands whole on one page."""

    def __init__(self, edition: Edition) -> None:
        self.edition, self.sizes = edition, edition.sizes
        margins, paper = edition.margins, edition.paper
        self.left, self.right = margins.left, paper.width - margins.right
        self.top, self.bottom = paper.height - margins.top, margins.bottom + 2 * edition.sizes.frame
        self.pages: list[list[Mark]] = []
        self.y = self.bottom
        self.heads: tuple[str, ...] = ()

    def room(self, height: float) -> None:
        """Begin a page where this height is not left on the one that is open."""
        if not self.pages or self.y - height < self.bottom:
            self.pages.append([])
            self.y = self.top
            if self.heads:
                self.cells(self.heads, "bold", self.sizes.head)

    def lines(self, text: str, face: Face, size: float, indent: float = 0.0, box: bool = False) -> None:
        """Set a paragraph, at need with a box to tick before it."""
        space = self.right - self.left - indent
        broken = list(_broken(text, face, size, space))
        self.room(len(broken) * size * _LEADING)
        if box:
            low = self.y - size
            self._mark(outlined(Rect(self.left, low, self.left + size * 0.85, low + size * 0.85), 0.8))
        for line in broken:
            self.y -= size * _LEADING
            self._text(self.left + indent, self.y + size * (_LEADING - 1), line, face, size)

    def cells(self, row: Sequence[str], face: Face, size: float) -> None:
        """Set one row of the table, its cells broken to their columns, a line under it."""
        whole = self.right - self.left
        spaces = [share * whole for share in _SHARES]
        parts = [
            list(_broken(cell, "bold" if at == 3 else face, size, space - _PAD))
            for at, (cell, space) in enumerate(zip(row, spaces, strict=True))
        ]
        height = max(map(len, parts)) * size * _LEADING + _PAD
        self.room(height)
        x = self.left
        for at, (part, space) in enumerate(zip(parts, spaces, strict=True)):
            for number, line in enumerate(part, start=1):
                y = self.y - number * size * _LEADING + size * 0.2
                # The code is what is compared: it stands out in every row.
                self._text(x, y, line, "bold" if at == 3 else face, size)
            x += space
        self.y -= height
        self._mark(LineMark(self.left, self.y + _PAD / 2, self.right, self.y + _PAD / 2, _HAIR))

    def gap(self, height: float) -> None:
        self.y -= height

    def _text(self, x: float, y: float, text: str, face: Face, size: float) -> None:
        if text:
            self._mark(TextMark(x, y, text, face, size, width(text, face, size)))

    def _mark(self, mark: Mark) -> None:
        self.pages[-1].append(mark)

    def sides(self, title: str) -> tuple[Side, ...]:
        """Number the pages and give them as sides."""
        paper, size = self.edition.paper, self.sizes.frame
        frame = Rect(self.left, self.edition.margins.bottom, self.right, self.top)
        made = []
        for number, marks in enumerate(self.pages, start=1):
            foot = f"{title}, page {number} of {len(self.pages)}"
            mark = TextMark(
                self.left, self.edition.margins.bottom, foot, "regular", size, width(foot, "regular", size)
            )
            made.append(
                Side("", title, 1, 1, number, len(self.pages), paper.width, paper.height, frame, (*marks, mark))
            )
        return tuple(made)


def lay_out_index(index: Index, paper: PaperKind) -> tuple[Side, ...]:
    """Lay the index out on as many pages as it takes."""
    sheet = _Sheet(replace(load_edition("handout", paper), duplex=False))
    sizes = sheet.sizes
    sheet.lines(_drawable(index.title), "bold", sizes.title)
    for line in index.says:
        sheet.lines(_drawable(line), "regular", sizes.body)
    sheet.gap(sizes.body)
    if index.rows:
        sheet.room(4 * sizes.table * _LEADING)
        sheet.cells(HEADS, "bold", sizes.head)
        sheet.heads = HEADS
        for row in index.rows:
            sheet.cells([_drawable(cell) for cell in row], "regular", sizes.head)
        sheet.heads = ()
    for heading, items, ticked in index.lists():
        sheet.gap(sizes.heading)
        sheet.room((sizes.heading + 2 * sizes.head) * _LEADING)
        sheet.lines(heading, "bold", sizes.heading)
        sheet.gap(sizes.head / 2)
        for item in items:
            sheet.lines(_drawable(item), "regular", sizes.head, 1.5 * sizes.head if ticked else 0.0, ticked)
            sheet.gap(2.0)
    return sheet.sides(index.title)


def to_pdf(index: Index, paper: PaperKind) -> bytes:
    """Print the index and read it back. Raises `ValueError` where the paper does not say what it should."""
    sides = lay_out_index(index, paper)
    pdf = paint_bare(sides, index.title)
    if wrong := next(_differences(pdf, sides), None):
        raise ValueError(wrong)
    return pdf


def _differences(pdf: bytes, sides: Sequence[Side]) -> Iterator[str]:
    """Compare every run with what another library reads at its place."""
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    try:
        for number, side in enumerate(sides):
            page = document[number]
            text = page.get_textpage()
            for mark in side.marks:
                if isinstance(mark, TextMark):
                    right, top = mark.x + mark.width, mark.y + 0.7 * mark.size
                    seen = text.get_text_bounded(mark.x + 0.5, mark.y, right - 0.5, top).strip()
                    if seen != mark.text:
                        yield f'page {number + 1} of the index: "{mark.text}" expected, "{seen}" found'
            text.close()
            page.close()
    finally:
        document.close()


def _broken(text: str, face: Face, size: float, space: float) -> Iterator[str]:
    """Break a text into lines; a word wider than the space, such as a path, is broken where it must be."""
    line = ""
    for word in text.split(" "):
        trial = f"{line} {word}" if line else word
        if width(trial, face, size) <= space:
            line = trial
            continue
        if line:
            yield line
        line = word
        while width(line, face, size) > space:
            count = next(
                n for n in range(len(line) - 1, 0, -1) if n == 1 or width(line[:n], face, size) <= space
            )
            yield line[:count]
            line = line[count:]
    yield line


def _drawable(text: str) -> str:
    """Replace what the type cannot draw: names of files may hold any character."""
    return "".join(each if has_glyph(each) else "?" for each in text)
