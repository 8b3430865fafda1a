"""Words and figures as runs of type, and runs as lines.

Runs that are glued together, such as a number and its unit, never part at a line's end. A word
too long for the line is refused; only words quoted from the specification may be broken, and
then at any character, because a serial has no syllables.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil
from typing import Literal, NamedTuple, TypeAlias

from cardgen.deck.card import Inline, Said, Value, Was, Words, WriteIn
from cardgen.press.edition import LEAST_TYPE, MM
from cardgen.press.marks import Face, Mark, Rect, Role, TextMark, Tone, outlined
from cardgen.press.type import CAP_HEIGHT, width

#: Distance of baselines as a part of the size: 25 to 33 % between lines (NASA CR-177605, 1992).
LEADING = 1.26
#: A box to write four digits in with a grease pencil: common practice, no source.
BOX_WIDTH, BOX_HEIGHT = 25 * MM, 10 * MM

#: What follows a run: nothing, a space that never becomes a line's end, or a space that may.
Gap: TypeAlias = Literal["none", "fixed", "space"]


class DoesNotFitError(Exception):
    """Something is wider or higher than its place. ``by`` is how much, in points."""

    def __init__(self, what: str, by: float) -> None:
        super().__init__(f"{what}: {ceil(by)} pt too large")
        self.what, self.by = what, by


class Style(NamedTuple):
    """How a run is set, and what it belongs to."""

    face: Face
    size: float
    tone: Tone = "black"
    role: Role = "words"
    figure: str = ""


class Run(NamedTuple):
    """One run of type on its way to a line; ``box`` makes it a box to write in instead.

    ``around`` is the size of the type around it, whose space follows a run set smaller.
    """

    text: str
    style: Style
    gap: Gap = "none"
    box: WriteIn | None = None
    around: float = 0.0

    @property
    def space(self) -> float:
        """Width of the space after this run."""
        return width(" ", self.style.face, max(self.style.size, self.around))


class Piece(NamedTuple):
    """A run in its place on a line, measured from the line's start."""

    x: float
    text: str
    style: Style
    width: float
    box: WriteIn | None


class Line(NamedTuple):
    """A set line."""

    pieces: tuple[Piece, ...]
    width: float
    height: float
    size: float


class Setting(NamedTuple):
    """How inline content is set: base face, size and tone, and what is shown of a figure."""

    size: float
    face: Face = "regular"
    tone: Tone = "black"
    number: Face = "bold"
    second: bool = False
    letter: bool = True


def runs_of(content: Iterable[Inline], setting: Setting) -> tuple[Run, ...]:
    """Turn words, figures, quoted words and boxes into runs.

    A space exists between two runs only where one of the texts has it, so that a full stop never
    parts from its number.
    """
    runs: list[Run] = []
    for item in content:
        if isinstance(item, Value):
            runs += _figure_runs(item, setting)
        elif isinstance(item, Was):
            _add_was(runs, item, setting)
        elif isinstance(item, WriteIn):
            runs += _box_runs(item, setting)
        else:
            _add_words(runs, item, setting)
    return tuple(runs)


def plain(text: str, style: Style) -> tuple[Run, ...]:
    """Turn one text in one style into runs."""
    return tuple(Run(word, style, "space") for word in text.split(" ") if word)


def _add_words(runs: list[Run], item: Words | Said, setting: Setting) -> None:
    role: Role = "said" if isinstance(item, Said) else "words"
    style = Style("bold" if item.strong else setting.face, setting.size, setting.tone, role)
    # Only the plain space is a place to break; a no-break space is drawn as one and holds.
    text = item.text.replace("\n", " ")
    if text.startswith(" ") and runs and runs[-1].gap == "none":
        runs[-1] = runs[-1]._replace(gap="space")
    words = [word.replace("\u00a0", " ") for word in text.split(" ") if word]
    runs += [Run(word, style, "space") for word in words[:-1]]
    runs += [Run(word, style, "space" if text.endswith(" ") else "none") for word in words[-1:]]


def _figure_runs(item: Value, setting: Setting) -> Iterable[Run]:
    parts, name = item.figure.parts, item.figure.id
    number = Style(setting.number, setting.size, setting.tone, "figure", name)
    if item.show == "number" or not parts.unit:
        yield Run(parts.number, number)
        return
    lighter = number._replace(face="regular", size=max(LEAST_TYPE, setting.size * 0.8))
    small = number._replace(face="regular", size=max(LEAST_TYPE, setting.size * 0.6))
    last: Gap = "fixed" if setting.letter else "none"
    second = setting.second and parts.second
    yield Run(parts.number, number, "fixed")
    yield Run(parts.unit, number._replace(face="regular"), "space" if second else last)
    if second:
        yield Run(f"({parts.second})", lighter, last, around=setting.size)
    if setting.letter:
        yield Run(str(item.figure.origin), small, around=setting.size)


def _add_was(runs: list[Run], item: Was, setting: Setting) -> None:
    """Put what a figure was behind it, on the next line where there is no room; it is never glued."""
    if runs and runs[-1].gap == "none":
        runs[-1] = runs[-1]._replace(gap="space")
    runs += was_runs(item, setting)


def was_runs(item: Was, setting: Setting) -> tuple[Run, ...]:
    """Set what a figure was, in small type."""
    size = max(LEAST_TYPE, setting.size * 0.6)
    return (
        Run(f"({item.text})", Style("regular", size, setting.tone, "was", item.figure), around=setting.size),
    )


def _box_runs(item: WriteIn, setting: Setting) -> Iterable[Run]:
    style = Style("regular", setting.size, setting.tone)
    yield Run("", style, "fixed" if item.unit else "none", item)
    if item.unit:
        yield Run(item.unit, style)


def box_width(box: WriteIn) -> float:
    """Width of a box for its number of characters, in points; a single letter has room to be crossed out."""
    return BOX_WIDTH / 4 * max(2, box.digits)


def _run_width(run: Run) -> float:
    return box_width(run.box) if run.box else width(run.text, run.style.face, run.style.size)


class _Group(NamedTuple):
    """Runs that never part, how wide they are, and the space after them."""

    runs: tuple[Run, ...]
    width: float
    space: float

    @property
    def is_said(self) -> bool:
        return any(run.style.role == "said" for run in self.runs)


def _groups(runs: Sequence[Run]) -> Iterable[_Group]:
    group: list[Run] = []
    for run in runs:
        group.append(run)
        if run.gap == "space":
            yield _group(group)
            group = []
    if group:
        yield _group(group)


def _group(runs: Sequence[Run]) -> _Group:
    return _Group(tuple(runs), _group_width(runs), runs[-1].space)


def _group_width(group: Sequence[Run]) -> float:
    if len(group) == 1:
        return _run_width(group[0])
    inner = sum(run.space for run in group[:-1] if run.gap == "fixed")
    return inner + sum(_run_width(run) for run in group)


def natural_widths(runs: Sequence[Run]) -> tuple[float, float]:
    """Measure the width below which something would break, and the width of all on one line."""
    least, whole, gap = 0.0, 0.0, 0.0
    for group in _groups(runs):
        least = max(least, 0.0 if group.is_said else group.width)
        whole += gap + group.width
        gap = group.space
    return least, whole


def set_lines(runs: Sequence[Run], measure: float, size: float) -> tuple[Line, ...]:
    """Fill lines no longer than ``measure`` points.

    Raises `DoesNotFitError` for a word of the card's own, or a figure with its unit, that is too long.
    """
    lines: list[Line] = []
    current: list[Run] = []
    used, gap = 0.0, 0.0
    for group in _fitting(_groups(runs), measure):
        if current and used + gap + group.width > measure + 1e-6:
            lines.append(_line(current, size))
            current, used, gap = [], 0.0, 0.0
        current += group.runs
        used += gap + group.width
        gap = group.space
    if current:
        lines.append(_line(current, size))
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


def _broken(group: Sequence[Run], measure: float) -> Iterable[tuple[Run, ...]]:
    """Break quoted words at any character; what is glued to them stays with their end or start."""
    head: list[Run] = []
    for run in group:
        rest = run.text
        while run.style.role == "said" and _group_width([*head, run._replace(text=rest)]) > measure:
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


def _line(runs: Sequence[Run], size: float) -> Line:
    pieces: list[Piece] = []
    x, gap = 0.0, 0.0
    height = LEADING * size
    for run in runs:
        wide = _run_width(run)
        last = pieces[-1] if pieces else None
        if last and not last.box and not run.box and last.style == run.style:
            space = " " if gap else ""
            pieces[-1] = last._replace(text=last.text + space + run.text, width=x + gap + wide - last.x)
        else:
            pieces.append(Piece(x + gap, run.text, run.style, wide, run.box))
        if run.box:
            height = max(height, BOX_HEIGHT + 0.3 * size)
        x += gap + wide
        gap = 0.0 if run.gap == "none" else run.space
    return Line(tuple(pieces), x, height, size)


def lines_height(lines: Iterable[Line]) -> float:
    """Sum up the heights of lines."""
    return sum(line.height for line in lines)


def draw_lines(lines: Iterable[Line], x: float, top: float) -> Iterable[Mark]:
    """Draw lines from a left edge and a top, capitals centred in the height of each line."""
    for line in lines:
        yield from draw_line(line, x, top - (line.height + CAP_HEIGHT * line.size) / 2)
        top -= line.height


def draw_line(line: Line, x: float, base: float) -> Iterable[Mark]:
    """Draw one line from a left edge on a baseline."""
    for piece in line.pieces:
        if piece.box:
            low = base + (CAP_HEIGHT * line.size - BOX_HEIGHT) / 2
            yield outlined(Rect(x + piece.x, low, x + piece.x + piece.width, low + BOX_HEIGHT), 1.0)
        else:
            face, size, tone, role, figure = piece.style
            yield TextMark(x + piece.x, base, piece.text, face, size, piece.width, tone, role, figure)
