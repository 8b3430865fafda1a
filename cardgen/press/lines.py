"""Runs of type as lines.

Runs that are glued together, such as a number and its unit, never part at a line's end. A word
too long for the line is refused; only words quoted from the specification may be broken, and
then at any character, because a serial has no syllables.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import takewhile
from math import ceil
from typing import NamedTuple

from cardgen.deck.card import WriteIn
from cardgen.press.marks import LineMark, Mark, Rect, RectMark, TextMark, outlined
from cardgen.press.type import CAP_HEIGHT
from cardgen.press.type_runs import Style, Tag, TypeRun

#: Distance of baselines as a part of the size, where an edition does not say another.
LEADING = 1.22


class DoesNotFitError(Exception):
    """Something is wider or higher than its place. ``by`` is how much, in points."""

    def __init__(self, what: str, by: float) -> None:
        super().__init__(f"{what}: {ceil(by)} pt too large")
        self.what, self.by = what, by


class Piece(NamedTuple):
    """A run in its place on a line, measured from the line's start."""

    x: float
    text: str
    style: Style
    width: float
    box: WriteIn | None
    tall: float = 0.0
    tag: Tag = ""


@dataclass(frozen=True)
class TypeLine:
    """A set line. Its pieces are placed when they are asked for: most lines are only measured."""

    runs: tuple[TypeRun, ...]
    width: float
    height: float
    size: float

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """Its runs in their places; neighbours of one style are one piece."""
        pieces: list[Piece] = []
        x, gap = 0.0, 0.0
        for run in self.runs:
            last, wide = pieces[-1] if pieces else None, run.width
            if last and not (last.box or run.box or last.tag or run.tag) and last.style == run.style:
                text = f"{last.text} {run.text}" if gap else last.text + run.text
                pieces[-1] = last._replace(text=text, width=x + gap + wide - last.x)
            else:
                pieces.append(Piece(x + gap, run.text, run.style, wide, run.box, run.tall, run.tag))
            x += gap + wide
            gap = 0.0 if run.gap == "none" else run.space
        return tuple(pieces)


class _Group(NamedTuple):
    """Runs that never part, how wide they are, and the space after them."""

    runs: tuple[TypeRun, ...]
    width: float
    space: float

    @property
    def is_said(self) -> bool:
        return any(run.style.role == "said" for run in self.runs)


def _groups(runs: Sequence[TypeRun]) -> Iterable[_Group]:
    group: list[TypeRun] = []
    for run in runs:
        group.append(run)
        if run.gap == "space":
            yield _group(group)
            group = []
    if group:
        yield _group(group)


def _group(runs: Sequence[TypeRun]) -> _Group:
    return _Group(tuple(runs), _group_width(runs), runs[-1].space)


def _group_width(group: Sequence[TypeRun]) -> float:
    if len(group) == 1:
        return group[0].width
    inner = sum(run.space for run in group[:-1] if run.gap == "fixed")
    return inner + sum(run.width for run in group)


def natural_widths(runs: Sequence[TypeRun]) -> tuple[float, float]:
    """Measure the width below which something would break, and the width of all on one line."""
    least, whole, gap = 0.0, 0.0, 0.0
    for group in _groups(runs):
        least = max(least, 0.0 if group.is_said else group.width)
        whole += gap + group.width
        gap = group.space
    return least, whole


def set_lines(
    runs: Sequence[TypeRun], measure: float, size: float, leading: float = LEADING
) -> tuple[TypeLine, ...]:
    """Fill lines no longer than ``measure`` points; a run that is larger makes its line higher.

    Raises `DoesNotFitError` for a word of the card's own, or a figure with its unit, that is too long.
    """
    lines: list[TypeLine] = []
    current: list[TypeRun] = []
    used, gap = 0.0, 0.0
    for group in _fitting(_groups(runs), measure):
        if current and used + gap + group.width > measure + 1e-6:
            lines.append(_line(current, used, size, leading))
            current, used, gap = [], 0.0, 0.0
        current += group.runs
        used += gap + group.width
        gap = group.space
    if current:
        lines.append(_line(current, used, size, leading))
    return tuple(lines)


def _fitting(groups: Iterable[_Group], measure: float) -> Iterable[_Group]:
    for group in groups:
        if (over := group.width - measure) <= 1e-6:
            yield group
        elif group.is_said:
            yield from map(_group, _broken(group.runs, measure))
        else:
            text = " ".join(run.text for run in group.runs)
            raise DoesNotFitError(f'"{text}" is wider than its line', over)


def _broken(group: Sequence[TypeRun], measure: float) -> Iterable[tuple[TypeRun, ...]]:
    """Break quoted words at any character; what is glued to them stays with their end or start."""
    head: list[TypeRun] = []
    for place, run in enumerate(group, start=1):
        rest = run.text
        tail = [*takewhile(lambda glued: glued.style.role != "said", group[place:])]
        while run.style.role == "said" and len(rest) > 1:
            if _group_width([*head, run._replace(text=rest), *tail]) <= measure:
                break
            cut = len(rest) - 1
            while cut > 1 and _group_width([*head, run._replace(text=rest[:cut])]) > measure:
                cut -= 1
            if (over := _group_width([*head, run._replace(text=rest[:cut])]) - measure) > 1e-6:
                raise DoesNotFitError(f'"{rest}" has no room on its line', over)
            yield (*head, run._replace(text=rest[:cut], gap="space"))
            head, rest = [], rest[cut:]
        head.append(run._replace(text=rest))
    if (over := _group_width(head) - measure) > 1e-6:
        raise DoesNotFitError(f'"{" ".join(run.text for run in head)}" is wider than its line', over)
    yield tuple(head)


def _line(runs: Sequence[TypeRun], wide: float, size: float, leading: float) -> TypeLine:
    tall = 0.0
    for run in runs:
        size = max(size, run.style.size)
        if run.box:
            tall = max(tall, run.tall + 0.3 * size)
    return TypeLine(tuple(runs), wide, max(tall, leading * size), size)


def lines_height(lines: Iterable[TypeLine]) -> float:
    """Sum up the heights of lines."""
    return sum(line.height for line in lines)


def draw_lines(lines: Iterable[TypeLine], x: float, top: float) -> Iterable[Mark]:
    """Draw lines from a left edge and a top, capitals centred in the height of each line."""
    for line in lines:
        yield from draw_line(line, x, top - (line.height + CAP_HEIGHT * line.size) / 2)
        top -= line.height


def draw_line(line: TypeLine, x: float, base: float) -> Iterable[Mark]:
    """Draw one line from a left edge on a baseline."""
    for piece in line.pieces:
        left, right = x + piece.x, x + piece.x + piece.width
        if piece.box:
            low = base + (CAP_HEIGHT * line.size - piece.tall) / 2 if piece.tall else base - 1
            yield from draw_box(left, right, low, piece.tall)
            continue
        face, size, tone, role, figure = piece.style
        pad = 0.0
        if piece.tag:
            pad = 0.35 * size
            frame = Rect(left, base - 0.2 * size, right, base + (CAP_HEIGHT + 0.18) * size)
            yield RectMark(frame, fill="black") if piece.tag == "black" else outlined(frame, 1.0)
        yield TextMark(left + pad, base, piece.text, face, size, piece.width - 2 * pad, tone, role, figure)


def draw_box(left: float, right: float, low: float, tall: float) -> Iterable[Mark]:
    """Draw a box to write in, or a dotted line where it is not tall."""
    if tall:
        yield outlined(Rect(left, low, right, low + tall), 1.0)
    else:
        yield LineMark(left, low, right, low, 0.75, dashed=True)
