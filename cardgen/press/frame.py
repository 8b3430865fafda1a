"""What stands on every side: whose card this is, which one, until when, and who has the last word.

A draft and an issued card leave the same room, so that a deck which fits as a draft fits when it is issued.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from typing import ClassVar

from cardgen.deck.card import Card, Deck, Step, WriteIn
from cardgen.deck.walk import walk
from cardgen.press.edition import MM, Edition
from cardgen.press.lines import TypeLine, draw_line, draw_lines, lines_height, set_lines
from cardgen.press.marks import LineMark, Mark, Rect, outlined
from cardgen.press.type import CAP_HEIGHT, width
from cardgen.press.type_runs import Style, TypeRun, plain, tag
from cardgen.press.watermark import watermark
from cardgen.spec.typed_quantity import reading_of

_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)

#: How far the tallest letters rise over the baseline, in ems.
_RISE = 0.72
#: Distance of baselines in a title, as a part of its size.
_TITLE_LEADING = 1.05

#: Height of the bar that proves the scale, its end strokes included, in points.
_BAR = 7.0

#: What tells a draft from a card.
NOT_ISSUED = "DRAFT, not issued"
#: Who is right where two documents differ.
MAKER_WINS = "maker's instructions win"
#: On a wall sheet, whose steps keep their numbers where others are left away.
EXTRACT = "– an extract, not every step"
#: What the boxes before and behind a step are for.
YOU, SECOND = "you", "second"


def day(value: date) -> str:
    """Write a date so that no country misreads it: 30 November 2027."""
    return f"{value.day} {_MONTHS[value.month - 1]} {value.year}"


def _short_day(value: date) -> str:
    """Write a date as shortly as no country misreads it: 30 Nov 2027."""
    return f"{value.day} {_MONTHS[value.month - 1][:3]} {value.year}"


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
    """Header and footer of one card in one edition, or of all where cards run on, and the space between them.

    ``edge`` is the frame on the front of a sheet, and ``most`` has the largest numbers that will stand
    in it. Setting raises `DoesNotFitError` for a diameter that is wider than the sheet.
    """

    deck: Deck
    edition: Edition
    card: Card | None
    edge: Rect
    most: Numbers
    foot: str = ""
    #: Whether two sides make a sheet.
    in_pairs: ClassVar[bool] = False

    def outer(self, _: int) -> Rect:
        """Where print of a side may stand, on the front of a sheet."""
        return self.edge

    def body(self, side: int = 1) -> Rect:
        """Where the boxes of a side stand on the front of a sheet; the first side has the serials too."""
        edge, small = self.edge, self.edition.type.small
        top = self._top_height + self._serials_height * (side == 1 or self.card is None) + 0.45 * small
        return Rect(edge.x1, edge.y1 + self._footer_height, edge.x2, edge.y2 - top)

    def marks(self, numbers: Numbers, shift: float = 0.0) -> Iterable[Mark]:
        """Draw header and footer over a draft's watermark, moved to the right by ``shift``."""
        if self.deck.stamp.is_draft:
            yield from watermark(self.body(numbers.side).moved(shift, 0.0))
        yield from self._header(self.edge.moved(shift, 0.0), numbers)
        yield from self._footer(self.edge.moved(shift, 0.0))

    # Header: the diameter, at the right which card this is, below it on the first side marks and serials.

    @cached_property
    def _wide(self) -> float:
        return self.edge.x2 - self.edge.x1

    @cached_property
    def _diameter(self) -> TypeLine:
        reading = reading_of(self.deck.spec, ("rotor", "diameter"))
        style = Style("bold", self.edition.type.diameter, role="frame")
        whole = TypeRun(f"{reading.number} {reading.unit}", style)
        return set_lines((whole,), self._wide, style.size)[0]

    def _where(self, numbers: Numbers) -> TypeLine:
        small = Style("regular", self.edition.type.small, role="frame")
        if self.card is None:
            text = f"{self.edition.title}, page {numbers.side} of {numbers.sides}"
            return set_lines(plain(text, small), self._wide, small.size)[0]
        text = f"card {numbers.card} of {numbers.cards}"
        text += f", side {numbers.side} of {numbers.sides}" if numbers.sides > 1 else ""
        runs = [*phase_tag(self.card, small.size), TypeRun(text, small)]
        return set_lines(runs, self._wide, small.size)[0]

    @cached_property
    def _title(self) -> tuple[TypeLine, ...]:
        size = self.edition.type.title
        if self.card is None:
            return ()
        return set_lines(
            plain(self.card.title, Style("bold", size, role="frame")), self._wide, size, _TITLE_LEADING
        )

    @cached_property
    def _beside(self) -> bool:
        """Whether title and card number have room beside the diameter, or need lines of their own."""
        widest = max((*self._title, self._where(self.most.widest())), key=lambda line: line.width).width
        room = self._wide - self._diameter.width - self.edition.type.small
        return len(self._title) < 2 and widest <= room

    @cached_property
    def _serials(self) -> tuple[TypeLine, ...]:
        rotor, blades, size = self.deck.spec.rotor, self.deck.spec.blades, self.edition.type.small
        said = [
            *(("Blade A", False), (blades.serial_a, True), (f"{rotor.mark_a},", False)),
            *(("B", False), (blades.serial_b, True), (rotor.mark_b, False)),
        ]
        # Where it is copied from the hub itself, it is not printed; a sheet of its own has no box for it.
        if self.edition.hand != "boxes" or self.foot:
            said += [("– hub", False), (rotor.hub_serial, True)]
        if self.card is None:
            said = [("rotor", False), (rotor.set_id, True), *said]
        runs: list[TypeRun] = []
        for text, strong in said:
            runs += plain(text, Style("bold" if strong else "regular", size, role="frame"))
        return set_anyhow(runs, self._wide, size)

    @cached_property
    def _legend(self) -> float:
        """Width of what tells one person's boxes from another's; none where nobody ticks twice."""
        twos = (place.step for place in walk(self.card.sections if self.card else ()) if place.step)
        if self.edition.hand != "boxes" or not any(_second(step) for step in twos):
            return 0.0
        size = self.edition.type.small
        return width(f"{YOU}{SECOND}", "regular", size) + 4.4 * size

    @cached_property
    def _serials_height(self) -> float:
        size = self.edition.type.small
        return lines_height(self._serials) + (1.3 * size if self._legend_apart else 0.0) + 0.35 * size

    @cached_property
    def _legend_apart(self) -> bool:
        """Whether the legend needs a line below the serials."""
        return bool(self._legend) and (
            self._serials[-1].width + self._legend + self.edition.type.small > self._wide
        )

    @cached_property
    def _top_height(self) -> float:
        """Height of the diameter, the title and the card number together, down to the rule."""
        scale = self.edition.type
        beside = max(0.82 * scale.diameter, lines_height(self._title) + 1.3 * scale.small)
        if self._beside:
            return beside
        return 0.86 * scale.diameter + lines_height(self._title) + 1.5 * scale.small

    def _header(self, edge: Rect, numbers: Numbers) -> Iterable[Mark]:
        scale, where = self.edition.type, self._where(numbers)
        top = edge.y2 - self._top_height
        yield from draw_line(self._diameter, edge.x1, edge.y2 - _RISE * scale.diameter)
        if self._beside:
            for line in self._title:
                yield from draw_line(line, edge.x2 - line.width, edge.y2 - _RISE * scale.title)
        else:
            yield from draw_lines(self._title, edge.x1, edge.y2 - 0.86 * scale.diameter)
        yield from draw_line(where, edge.x2 - where.width, top + 0.55 * scale.small)
        yield LineMark(edge.x1, top, edge.x2, top, max(1.0, 0.045 * scale.title))
        if numbers.side == 1 or self.card is None:
            yield from draw_lines(self._serials, edge.x1, top - 0.25 * scale.small)
            if self._legend:
                last = self._serials[-1]
                low = top - 0.25 * scale.small - lines_height(self._serials)
                low += (last.height - CAP_HEIGHT * scale.small) / 2
                low -= 1.3 * scale.small * self._legend_apart
                yield from self._legend_marks(edge.x2 - self._legend, low)

    def _legend_marks(self, left: float, base: float) -> Iterable[Mark]:
        size = self.edition.type.small
        for place, word in enumerate((YOU, SECOND)):
            box = Rect(left, base - 0.1 * size, left + 0.9 * size, base + 0.8 * size)
            yield outlined(box, 0.8)
            if place:
                yield outlined(Rect(box.x1 + 1.5, box.y1 + 1.5, box.x2 - 1.5, box.y2 - 1.5), 0.5)
            line = set_lines(plain(word, Style("regular", size, role="frame")), self._wide, size)[0]
            yield from draw_line(line, left + 1.25 * size, base)
            left += 1.25 * size + line.width + size

    # Footer: the bar that proves the scale, what must match the register, who wins; on a wall, where it hangs.

    def _identity(self, *, draft: bool) -> list[TypeRun]:
        spec, stamp, size = self.deck.spec, self.deck.stamp, self.edition.type.small
        bold, regular = Style("bold", size, role="frame"), Style("regular", size, role="frame")
        runs = plain(spec.rotor.set_id, bold)
        if draft:
            runs += plain(NOT_ISSUED, bold)
        else:
            runs += plain(f"revision {stamp.revision or 88}, code", regular)
            runs += plain(stamp.code or "8888-8888-8", bold)
        runs += (*plain("until", regular), *plain(_short_day(spec.authority.use_until), bold))
        return [*runs, *plain(self.foot or MAKER_WINS, bold)]

    @cached_property
    def _footer_lines(self) -> tuple[tuple[TypeLine, ...], ...]:
        runs = self._identity(draft=self.deck.stamp.is_draft)
        size = self.edition.type.small
        lines = [set_anyhow(runs, self._wide, size)]
        if self.edition.hand == "none":
            lines.append(set_anyhow(self._places(), self._wide, size))
        return tuple(lines)

    @property
    def _bar(self) -> float:
        """Height of the line that the bar stands on."""
        return max(_BAR, 1.05 * self.edition.type.small)

    def _places(self) -> list[TypeRun]:
        """Say where this copy and the register sheet hang; what is not known is written in."""
        size = self.edition.type.small
        style = Style("regular", size, role="frame")
        copies = self.deck.spec.print.copies if self.deck.spec.print else ()
        places = [copy.place for copy in copies if copy.edition == self.edition.name]
        blank = WriteIn("place", "place", digits=12)
        runs = list(plain("This card hangs:", style))
        runs += plain(places[0], style) if len(places) == 1 else [TypeRun("", style, "space", blank)]
        runs += [*plain("– the register sheet hangs:", style), TypeRun("", style, "space", blank)]
        has_steps = any(place.step for place in walk(self.card.sections if self.card else ()))
        return [*runs, *plain(EXTRACT, style)] if has_steps else runs

    @cached_property
    def _identity_height(self) -> float:
        size = self.edition.type.small
        return max(
            lines_height(set_anyhow(self._identity(draft=draft), self._wide, size)) for draft in (True, False)
        )

    @cached_property
    def _footer_height(self) -> float:
        size, either = self.edition.type.small, self._identity_height
        more = sum(lines_height(lines) for lines in self._footer_lines[1:])
        return either + more + self._bar + 0.25 * size

    def _footer(self, edge: Rect) -> Iterable[Mark]:
        size, long = self.edition.type.small, self.edition.scale_bar
        top = edge.y1 + self._footer_height - 0.25 * size
        style = Style("regular", size, role="frame")
        line = set_lines(plain(f"is {long / MM:.0f} mm", style), self._wide, size)[0]
        yield from _scale_bar(edge.x1, top - (self._bar + _BAR) / 2, long)
        yield from draw_line(line, edge.x1 + long + 0.6 * size, top - self._bar / 2 - 0.33 * size)
        top -= self._bar
        for lines in self._footer_lines:
            yield from draw_lines(lines, edge.x1, top)
            top -= lines_height(lines)


def _second(step: Step) -> bool:
    return 2 in (step.ticks, *(check.ticks for check in step.checks))


def phase_tag(card: Card, size: float) -> list[TypeRun]:
    """Set a card's phase white on black."""
    if not card.phase:
        return []
    run = tag(card.phase, "black", max(11.0, size))
    return [run._replace(style=run.style._replace(role="frame"))]


def _scale_bar(left: float, low: float, long: float) -> Iterable[Mark]:
    """Draw a bar whose ends are the outer edges of its end strokes, and whose own line is as long."""
    half = 0.25
    yield LineMark(left, low + _BAR / 2, left + long, low + _BAR / 2, 1.0)
    for x in (left + half, left + long - half):
        yield LineMark(x, low, x, low + _BAR, 2 * half)


def set_anyhow(runs: list[TypeRun], measure: float, size: float) -> tuple[TypeLine, ...]:
    """Set runs in lines, breaking a serial that is longer than a line at any character."""
    said = [run._replace(style=run.style._replace(role="said")) for run in runs]
    return tuple(
        replace(line, runs=tuple(run._replace(style=run.style._replace(role="frame")) for run in line.runs))
        for line in set_lines(said, measure, size)
    )


def edge_of(edition: Edition) -> Rect:
    """Give the outer edge of everything on the front of a sheet."""
    paper, margins = edition.paper, edition.margins
    return Rect(margins.left, margins.bottom, paper.width - margins.right, paper.height - margins.top)


def shift_on(edition: Edition, page: int) -> float:
    """How far a frame moves on the back of a sheet, where the punched side changes over; pages count from 0."""
    if edition.duplex and edition.holes and edition.holes.edge == "left" and page % 2:
        return edition.margins.right - edition.margins.left
    return 0.0
