"""How a reflector's holder is folded and stuck on, both patterns, and toward whom they look."""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Diagram, DrawnShape, Label, Line
from cardgen.deck.diagrams.parts import BOARD, box, fits, marks, note, shown
from cardgen.deck.diagrams.patterns import pattern, patterns_are_drawn
from cardgen.figures import Figures
from cardgen.spec.model import RotorSpec

#: Height of the board's lower part: with patterns that can be drawn, and with words alone.
_PATTERNS, _WORDS = 34.0, 9.0


def reflector_fold(spec: RotorSpec, figures: Figures) -> Diagram:
    """Draw flat tape, the fold, and the T under the tip; only patterns and faces where it is no T.

    Patterns that cannot be drawn stand on the card in words, and no room is kept for them here.
    """
    folded, drawn = _is_t(spec), patterns_are_drawn(spec)
    height = shown(figures, "reflectors.height")
    lines = ["Both patterns, as the observer sees them." if drawn else "The patterns are said in words."]
    shapes: list[DrawnShape] = list(_patterns(spec, figures))
    tall = _PATTERNS if drawn else _WORDS
    if folded:
        lines = [
            "The holder in three steps: tape flat, folded in its middle, the T under the tip.",
            f"The reflector on the fold hangs down, {height} high.",
            *lines,
        ]
        shapes.extend(_steps(spec, tall + 24.0))
    if spec.reflectors is not None:
        lines.append(f"The pattern looks toward: {spec.reflectors.faces}.")
    return Diagram(
        name="reflector-fold",
        width=BOARD,
        height=tall + 44.0 if folded else tall,
        title="Holder and patterns",
        description="\n".join(lines),
        shapes=tuple(shapes),
    )


def _is_t(spec: RotorSpec) -> bool:
    words = "" if spec.reflectors is None else str(spec.reflectors.holder)
    return "folded to a T" in words and spec.reflectors is not None and "under" in str(spec.reflectors.place)


def _steps(spec: RotorSpec, y: float) -> Iterator[DrawnShape]:
    yield Line(2.0, y, 26.0, y, HEAVY)
    yield box(14.6, y + 0.9, 21.0, y + 2.3, FINE, "black")
    yield note(14.0, y - 9.0, "tape flat")
    yield Line(29.0, y, 36.0, y, NORMAL, arrow=True)
    x = 50.0
    yield Line(x - 10.0, y + 6.0, x - 0.6, y + 6.0, HEAVY)
    yield Line(x + 0.6, y + 6.0, x + 10.0, y + 6.0, HEAVY)
    yield Line(x - 0.6, y + 6.0, x - 0.6, y - 4.0, HEAVY)
    yield Line(x + 0.6, y + 6.0, x + 0.6, y - 4.0, HEAVY)
    yield box(x - 2.6, y - 3.4, x - 1.3, y + 4.0, FINE, "black")
    yield note(x, y - 9.0, "fold to a T")
    yield Line(63.0, y, 70.0, y, NORMAL, arrow=True)
    x = 98.0
    yield box(74.0, y + 7.2, 116.0, y + 13.0, NORMAL)
    yield note(75.5, y + 8.4, "blade", "start")
    yield note(115.0, y + 8.4, "tip", "end")
    yield Line(x - 10.0, y + 6.4, x + 10.0, y + 6.4, HEAVY)
    yield Line(x, y + 6.4, x, y - 4.0, HEAVY)
    yield box(x - 2.2, y - 3.4, x - 0.7, y + 4.4, FINE, "black")
    yield note(x + 2.0, y - 9.0, "under the tip", "middle")
    if spec.reflectors is not None and "toward the hub" in str(spec.reflectors.holder):
        yield Line(x - 4.0, y, x - 16.0, y, NORMAL, arrow=True)
        yield note(x - 17.0, y - 1.6, "hub", "end")


def _patterns(spec: RotorSpec, figures: Figures) -> Iterator[DrawnShape]:
    height = shown(figures, "reflectors.height")
    if patterns_are_drawn(spec):
        for x, blade, mark in ((26.0, "A", spec.rotor.drawn_a), (92.0, "B", spec.rotor.drawn_b)):
            yield Label(x - 18.0, 20.0, blade, 9.0, bold=True, anchor="start")
            yield from marks(x - 18.0, 15.0, mark)
            yield from pattern(spec, blade, x, 22.0, 8.5)
        yield Line(39.0, 13.5, 39.0, 30.5, FINE, arrow=True)
        yield Line(39.0, 30.5, 39.0, 13.5, FINE, arrow=True)
        yield note(41.5, 20.5, height, "start", figure="reflectors.height")
    if spec.reflectors is not None:
        words = f"pattern looks toward {spec.reflectors.faces}"
        yield note(
            0.6,
            3.0,
            words if fits(words, BOARD - 1.0, bold=True) else "pattern looks as stated",
            "start",
            bold=True,
        )
