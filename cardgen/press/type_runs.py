"""Words, figures and boxes of a card as runs of type: what is set in one face, size and tone."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, NamedTuple, TypeAlias

from cardgen.deck.card import Inline, Said, Value, Was, Words, WriteIn
from cardgen.press.edition import LEAST_TYPE, MM
from cardgen.press.marks import Face, Role, Tone
from cardgen.press.type import even, width

#: Width of a character written with a grease pencil, and with a pen on a line: common practice, no source.
_GREASE, _PEN = 6 * MM, 3.4 * MM
#: A box at the end of a row of small type, for the tick of a pen.
TICK_WIDTH = 4 * MM
#: A word in a frame of its own: white on black, or outlined.
Tag: TypeAlias = Literal["", "black", "outline"]

#: What follows a run: nothing, a space that never becomes a line's end, or a space that may.
Gap: TypeAlias = Literal["none", "fixed", "space"]


class Style(NamedTuple):
    """How a run is set, and what it belongs to."""

    face: Face
    size: float
    tone: Tone = "black"
    role: Role = "words"
    figure: str = ""


class TypeRun(NamedTuple):
    """One run of type on its way to a line; ``box`` makes it a box to write in instead, so ``tall``.

    ``around`` is the size of the type around it, whose space follows a run set smaller.
    """

    text: str
    style: Style
    gap: Gap = "none"
    box: WriteIn | None = None
    around: float = 0.0
    tall: float = 0.0
    tag: Tag = ""

    @property
    def width(self) -> float:
        """Width of the run itself."""
        if self.box:
            return box_width(self.box, self.tall)
        wide = width(self.text, self.style.face, self.style.size)
        return wide + 2 * self.pad if self.tag else wide

    @property
    def pad(self) -> float:
        """White between a tag's word and its frame."""
        return 0.35 * self.style.size if self.tag else 0.0

    @property
    def space(self) -> float:
        """Width of the space after this run."""
        return width(" ", self.style.face, max(self.style.size, self.around))


class TypeSetting(NamedTuple):
    """How inline content is set: base face, size and tone, and what is shown of a figure.

    ``write`` is the height of boxes to write in; of none, they are dotted lines. ``far`` is the size of
    numbers where it is another, ``even`` asks for digits of one width, nothing is smaller than ``small``.
    """

    size: float
    face: Face = "regular"
    tone: Tone = "black"
    number: Face = "bold"
    second: bool = False
    letter: bool = True
    write: float = 0.0
    far: float = 0.0
    even: bool = False
    small: float = LEAST_TYPE


def runs_of(content: Iterable[Inline], setting: TypeSetting) -> tuple[TypeRun, ...]:
    """Turn words, figures, quoted words and boxes into runs.

    A space exists between two runs only where one of the texts has it, so that a full stop never
    parts from its number.
    """
    runs: list[TypeRun] = []
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


def plain(text: str, style: Style) -> tuple[TypeRun, ...]:
    """Turn one text in one style into runs."""
    return tuple(TypeRun(word, style, "space") for word in text.split(" ") if word)


def _add_words(runs: list[TypeRun], item: Words | Said, setting: TypeSetting) -> None:
    role: Role = "said" if isinstance(item, Said) else "words"
    style = Style("bold" if item.strong else setting.face, setting.size, setting.tone, role)
    # Only the plain space is a place to break; a no-break space is drawn as one and holds.
    text = item.text.replace("\n", " ")
    if text.startswith(" ") and runs and runs[-1].gap == "none":
        runs[-1] = runs[-1]._replace(gap="space")
    words = [word.replace("\u00a0", " ") for word in text.split(" ") if word]
    runs += [TypeRun(word, style, "space") for word in words[:-1]]
    runs += [TypeRun(word, style, "space" if text.endswith(" ") else "none") for word in words[-1:]]


def _figure_runs(item: Value, setting: TypeSetting) -> Iterable[TypeRun]:
    parts, name = item.figure.parts, item.figure.id
    face = even(setting.number) if setting.even else setting.number
    number = Style(face, setting.far or setting.size, setting.tone, "figure", name)
    if item.show == "number" or not parts.unit:
        yield TypeRun(parts.number, number)
        return
    unit = number._replace(face="regular", size=setting.size)
    lighter = number._replace(face="regular", size=max(setting.small, setting.size * 0.8))
    small = number._replace(face="regular", size=max(setting.small, setting.size * 0.6))
    last: Gap = "fixed" if setting.letter else "none"
    second = setting.second and parts.second
    yield TypeRun(parts.number, number, "fixed")
    yield TypeRun(parts.unit, unit, "space" if second else last)
    if second:
        yield TypeRun(f"({parts.second})", lighter, last, around=setting.size)
    if setting.letter:
        yield TypeRun(str(item.figure.origin), small, around=setting.size)


def _add_was(runs: list[TypeRun], item: Was, setting: TypeSetting) -> None:
    """Put what a figure was behind it, on the next line where there is no room; it is never glued."""
    if runs and runs[-1].gap == "none":
        runs[-1] = runs[-1]._replace(gap="space")
    runs += was_runs(item, setting)


def was_runs(item: Was, setting: TypeSetting) -> tuple[TypeRun, ...]:
    """Set what a figure was, in small type."""
    size = max(setting.small, setting.size * 0.6)
    return (
        TypeRun(
            f"({item.text})", Style("regular", size, setting.tone, "was", item.figure), around=setting.size
        ),
    )


def _box_runs(item: WriteIn, setting: TypeSetting) -> Iterable[TypeRun]:
    style = Style("regular", setting.size, setting.tone)
    yield TypeRun("", style, "fixed" if item.unit else "none", item, tall=setting.write)
    if item.unit:
        yield TypeRun(item.unit, style)


def box_width(box: WriteIn, tall: float) -> float:
    """Width of a box, or of a line where it is not tall, for its number of characters, in points.

    A single letter has room to be crossed out.
    """
    if box.is_tick:
        return TICK_WIDTH
    return (_GREASE if tall else _PEN) * max(2, box.digits)


def tag(word: str, look: Tag, size: float, gap: Gap = "space") -> TypeRun:
    """Set one bold word in a frame of its own."""
    style = Style("bold", size, "white" if look == "black" else "black")
    return TypeRun(word, style, gap, tag=look)
