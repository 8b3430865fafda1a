"""What stands on every side: whose card this is, which one, until when, and who has the last word.

A draft and an issued card have the same lines in the same places, so that a deck which fits as a
draft fits when it is issued.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from cardgen.deck.card import Card, Deck
from cardgen.press.edition import MM, Edition
from cardgen.press.lines import LEADING, TypeLine, draw_line, draw_lines, lines_height, set_lines
from cardgen.press.marks import LineMark, Mark, Rect, RectMark, outlined
from cardgen.press.type import CAP_HEIGHT
from cardgen.press.type_runs import Style, TypeRun, plain
from cardgen.press.watermark import watermark
from cardgen.spec.typed_quantity import reading_of

_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)

#: How far the tallest letters rise over the baseline, in ems.
_RISE = 0.72

#: Height of the bar that proves the scale, its end strokes included, in points.
_BAR = 8.0

#: The line that tells a draft from a card.
NOT_ISSUED = "DRAFT – not issued – do not use at the bench"
#: Who is right where two documents differ.
MAKER_WINS = "The maker's instructions win over this card. Where they differ, stop and ask."


def day(value: date) -> str:
    """Write a date so that no country misreads it: 30 November 2027."""
    return f"{value.day} {_MONTHS[value.month - 1]} {value.year}"


@dataclass(frozen=True)
class Numbers:
    """Which card and which side of it this is, counted from 1."""

    card: int
    cards: int
    side: int = 1
    sides: int = 1

    def widest(self) -> Numbers:
        """Give the widest numbers with as many digits as the counts."""
        card, side = (int("8" * len(str(count))) for count in (self.cards, self.sides))
        return Numbers(card, card, side, side)


@dataclass(frozen=True)
class Frame:
    """Header and footer of one card in one edition, and the space they leave between them.

    ``edge`` is the frame on the front of a sheet, and ``most`` has the largest numbers that will stand
    in it: with few cards and sides there is more room beside the diameter. ``copy`` says whose copy this
    is; where it ends in a colon, the place is written in. Setting raises `DoesNotFitError` for a diameter
    that is wider than the column.
    """

    deck: Deck
    edition: Edition
    card: Card
    edge: Rect
    most: Numbers
    copy: str

    @cached_property
    def body(self) -> Rect:
        """Where the card's own boxes stand on the front of a sheet."""
        edge = self.edge
        return Rect(edge.x1, edge.y1 + self._footer_height, edge.x2, edge.y2 - self._header_height)

    def marks(self, numbers: Numbers, shift: float = 0.0) -> Iterable[Mark]:
        """Draw header and footer over a draft's watermark, moved to the right by ``shift``."""
        if self.deck.stamp.is_draft:
            yield from watermark(self.body.moved(shift, 0.0))
        yield from self._header(self.edge.moved(shift, 0.0), numbers)
        yield from self._footer(self.edge.moved(shift, 0.0))

    # Header: the diameter, and beside it which card this is; the serials; the issue.

    @cached_property
    def _wide(self) -> float:
        return self.edge.x2 - self.edge.x1

    @cached_property
    def _diameter(self) -> TypeLine:
        reading = reading_of(self.deck.spec, ("rotor", "diameter"))
        style = Style("bold", self.edition.sizes.diameter, role="frame")
        whole = TypeRun(f"{reading.number} {reading.unit}", style)
        return set_lines((whole,), self._wide, style.size)[0]

    def _where(self, numbers: Numbers) -> TypeLine:
        text = f"card {numbers.card} of {numbers.cards}, side {numbers.side} of {numbers.sides}"
        style = Style("regular", self.edition.sizes.small, role="frame")
        return set_lines((TypeRun(text, style),), self._wide, style.size)[0]

    @cached_property
    def _phase(self) -> TypeLine | None:
        style = Style("bold", self.edition.sizes.small, "white", "frame")
        lines = set_lines(plain(self.card.phase, style), self._wide / 2, style.size)
        return lines[0] if lines else None

    @cached_property
    def _title(self) -> tuple[TypeLine, ...]:
        size = self.edition.sizes.title
        lines = set_lines(plain(self.card.title, Style("bold", size, role="frame")), self._wide, size)
        return tuple(line._replace(height=size * 1.15) for line in lines)

    @cached_property
    def _beside(self) -> bool:
        """Whether title and card number have room beside the diameter, or need lines of their own."""
        tag = self._phase.width + 2 * self._phase.size if self._phase else 0.0
        widest = max(self._title[0].width, self._where(self.most.widest()).width + tag)
        room = self._wide - self._diameter.width - self.edition.sizes.body
        return len(self._title) == 1 and widest <= room

    @cached_property
    def _serials(self) -> tuple[TypeLine, ...]:
        rotor, blades, size = self.deck.spec.rotor, self.deck.spec.blades, self.edition.sizes.small
        said = [
            ("Blade A", False),
            (blades.serial_a, True),
            (f"({rotor.mark_a})", False),
            ("– blade B", False),
            (blades.serial_b, True),
            (f"({rotor.mark_b})", False),
        ]
        runs: list[TypeRun] = []
        for text, strong in said:
            runs += plain(text, Style("bold" if strong else "regular", size, role="frame"))
        return _set_anyhow(runs, self._wide, size)

    @cached_property
    def _issue(self) -> tuple[TypeLine, ...]:
        stamp, size = self.deck.stamp, self.edition.sizes.small
        text = NOT_ISSUED
        if not stamp.is_draft:
            on = f", issued {day(stamp.issued)}" if stamp.issued else ""
            text = f"Revision {stamp.revision}{on}, code {stamp.code}"
        text = f"{self.deck.spec.rotor.set_id} – {text}"
        return set_lines(plain(text, Style("bold", size, role="frame")), self._wide - 12, size)

    @cached_property
    def _top_height(self) -> float:
        """Height of the diameter, the title and the card number together."""
        sizes = self.edition.sizes
        under = 0.0 if self._beside else lines_height(self._title) + sizes.small * LEADING
        return sizes.diameter + under

    @cached_property
    def _header_height(self) -> float:
        lines = lines_height(self._serials) + lines_height(self._issue)
        return self._top_height + lines + 8 + self.edition.sizes.body * 0.4

    def _header(self, edge: Rect, numbers: Numbers) -> Iterable[Mark]:
        left, right = edge.x1, edge.x2
        yield from draw_line(self._diameter, left, edge.y2 - _RISE * self.edition.sizes.diameter)
        yield from self._title_marks(edge, numbers)
        top = edge.y2 - self._top_height
        yield from draw_lines(self._serials, left, top)
        top -= lines_height(self._serials) + 3
        high = lines_height(self._issue) + 3
        yield outlined(Rect(left, top - high, right, top), 1.5)
        yield from draw_lines(self._issue, left + 6, top - 1.5)

    def _title_marks(self, edge: Rect, numbers: Numbers) -> Iterable[Mark]:
        """Draw title, phase and card number: at the right of the diameter, or below it."""
        sizes, where = self.edition.sizes, self._where(numbers)
        base = edge.y2 - sizes.diameter * 0.88
        if self._beside:
            title = self._title[0]
            yield from draw_line(title, edge.x2 - title.width, edge.y2 - _RISE * sizes.title)
        else:
            yield from draw_lines(self._title, edge.x1, edge.y2 - sizes.diameter)
            base = edge.y2 - self._top_height + sizes.small * 0.35
        yield from draw_line(where, edge.x2 - where.width, base)
        yield from self._phase_marks(edge.x2 - where.width - sizes.small * 0.6, base)

    def _phase_marks(self, right: float, base: float) -> Iterable[Mark]:
        if self._phase:
            size = self._phase.size
            left, middle = right - self._phase.width - size, base + CAP_HEIGHT * size / 2
            yield RectMark(Rect(left, middle - size * 0.66, right, middle + size * 0.66), fill="black")
            yield from draw_line(self._phase, left + size / 2, base)

    # Footer: what must match the register, who wins, whose copy this is, and the bar that proves the scale.

    @cached_property
    def _footer_lines(self) -> tuple[tuple[TypeLine, ...], ...]:
        spec, stamp, size = self.deck.spec, self.deck.stamp, self.edition.sizes.frame
        revision = "draft" if stamp.is_draft else f"revision {stamp.revision}"
        code = "DRAFT" if stamp.is_draft else stamp.code
        bold, regular = Style("bold", size, role="frame"), Style("regular", size, role="frame")
        identity = [
            *plain(f"{spec.rotor.set_id}, hub {spec.rotor.hub_serial}, {revision}, code", regular),
            *plain(code, bold),
            *plain("– use until", regular),
            *plain(day(spec.authority.use_until), bold),
        ]
        texts = [identity, list(plain(MAKER_WINS, bold)), list(plain(self.copy, regular))]
        return tuple(_set_anyhow(runs, self._wide, size) for runs in texts)

    @cached_property
    def _scale_words(self) -> TypeLine:
        size, long = self.edition.sizes.frame, self.edition.scale_bar
        words = f"This bar is {long / MM:.0f} mm long. If yours is not, print again at full size."
        return set_lines((TypeRun(words, Style("regular", size, role="frame")),), self._wide, size)[0]

    @cached_property
    def _footer_height(self) -> float:
        lines = sum(lines_height(lines) for lines in self._footer_lines)
        return lines + self.edition.sizes.frame * LEADING + 16

    def _footer(self, edge: Rect) -> Iterable[Mark]:
        top = edge.y1 + self._footer_height - 4
        yield LineMark(edge.x1, top, edge.x2, top, 1.0)
        top -= 2
        for lines in self._footer_lines:
            yield from draw_lines(lines, edge.x1, top)
            top -= lines_height(lines)
        if self.copy.endswith(":"):
            last, size = self._footer_lines[-1][-1], self.edition.sizes.frame
            start, low = edge.x1 + last.width + size / 2, top + size * 0.2
            yield LineMark(start, low, min(edge.x2, start + 40 * MM), low, 0.5)
        # The descenders of the words stay clear of the bar's end strokes.
        yield from draw_line(self._scale_words, edge.x1, edge.y1 + _BAR + 0.3 * self.edition.sizes.frame)
        yield from _scale_bar(edge.x1, edge.y1, self.edition.scale_bar)


def _scale_bar(left: float, low: float, long: float) -> Iterable[Mark]:
    """Draw a bar whose ends are the outer edges of its end strokes, and whose own line is as long."""
    half = 0.25
    yield LineMark(left, low + 4.5, left + long, low + 4.5, 1.0)
    for x in (left + half, left + long - half):
        yield LineMark(x, low + 1, x, low + _BAR, 2 * half)


def _set_anyhow(runs: list[TypeRun], measure: float, size: float) -> tuple[TypeLine, ...]:
    """Set runs in lines, breaking a serial that is longer than a line at any character."""
    said = [run._replace(style=run.style._replace(role="said")) for run in runs]
    lines = set_lines(said, measure, size)
    return tuple(
        line._replace(pieces=tuple(p._replace(style=p.style._replace(role="frame")) for p in line.pieces))
        for line in lines
    )


def frame_of(deck: Deck, edition: Edition, card: Card, most: Numbers, copy: str = "") -> Frame:
    """Make the frame of a card's sides, as it stands on the front of a sheet."""
    return Frame(deck, edition, card, edge_of(edition), most, copy or _copy(deck, edition))


def edge_of(edition: Edition) -> Rect:
    """Give the outer edge of everything on the front of a sheet."""
    paper, margins = edition.paper, edition.margins
    return Rect(margins.left, margins.bottom, paper.width - margins.right, paper.height - margins.top)


def _copy(deck: Deck, edition: Edition) -> str:
    copies = deck.spec.print.copies if deck.spec.print else ()
    places = [copy.place for copy in copies if copy.edition == edition.name]
    if len(places) == 1:
        return f"{edition.title}, the only copy: {places[0]}"
    count = f"one of {len(places)} copies" if places else "copy"
    return f"{edition.title}, {count}; this one hangs at:"


def shift_on(edition: Edition, page: int) -> float:
    """How far a frame moves on the back of a sheet, where the punched side changes over; pages count from 0."""
    if edition.duplex and edition.holes and edition.holes.edge == "left" and page % 2:
        return edition.margins.right - edition.margins.left
    return 0.0
