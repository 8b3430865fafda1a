"""Words, figures and boxes of a card as runs of type: what is set in one face, size and tone."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, NamedTuple, TypeAlias

from cardgen.deck.card import Inline, Said, Value, Was, Words, WriteIn
from cardgen.press.edition import LEAST_TYPE, MM
from cardgen.press.marks import Face, Role, Tone
from cardgen.press.type import width

#: A box to write four digits in with a grease pencil: common practice, no source.
BOX_WIDTH, BOX_HEIGHT = 25 * MM, 10 * MM

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


class TypeSetting(NamedTuple):
    """How inline content is set: base face, size and tone, and what is shown of a figure."""

    size: float
    face: Face = "regular"
    tone: Tone = "black"
    number: Face = "bold"
    second: bool = False
    letter: bool = True


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
    number = Style(setting.number, setting.size, setting.tone, "figure", name)
    if item.show == "number" or not parts.unit:
        yield TypeRun(parts.number, number)
        return
    lighter = number._replace(face="regular", size=max(LEAST_TYPE, setting.size * 0.8))
    small = number._replace(face="regular", size=max(LEAST_TYPE, setting.size * 0.6))
    last: Gap = "fixed" if setting.letter else "none"
    second = setting.second and parts.second
    yield TypeRun(parts.number, number, "fixed")
    yield TypeRun(parts.unit, number._replace(face="regular"), "space" if second else last)
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
    size = max(LEAST_TYPE, setting.size * 0.6)
    return (
        TypeRun(
            f"({item.text})", Style("regular", size, setting.tone, "was", item.figure), around=setting.size
        ),
    )


def _box_runs(item: WriteIn, setting: TypeSetting) -> Iterable[TypeRun]:
    style = Style("regular", setting.size, setting.tone)
    yield TypeRun("", style, "fixed" if item.unit else "none", item)
    if item.unit:
        yield TypeRun(item.unit, style)


def box_width(box: WriteIn) -> float:
    """Width of a box for its number of characters, in points; a single letter has room to be crossed out."""
    return BOX_WIDTH / 4 * max(2, box.digits)
