"""Drawings for the bench: marks that match, the string, the parallels."""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Diagram, Disc, DrawnShape, Line
from cardgen.deck.diagrams.parts import BOARD, blade_name, box, note, shown, wave
from cardgen.figures import Figures
from cardgen.spec.marks import DrawnMark
from cardgen.spec.model import RotorSpec

_MIDDLE = BOARD / 2


def match_marks(spec: RotorSpec, _: Figures) -> Diagram:
    """Draw bar end and blade root of each side with the same mark on both."""
    return Diagram(
        name="match-marks",
        width=BOARD,
        height=40.0,
        title="The same mark on bar end and blade root",
        description="\n".join(
            [
                "Each blade root lies against its own end of the bar.",
                f"Blade A and its bar end: {spec.rotor.mark_a}.",
                f"Blade B and its bar end: {spec.rotor.mark_b}.",
            ]
        ),
        shapes=(*_pair(21.5, "A", spec.rotor.drawn_a), *_pair(1.0, "B", spec.rotor.drawn_b)),
    )


def _pair(y: float, blade: str, mark: DrawnMark | None) -> Iterator[DrawnShape]:
    yield box(0.6, y + 2, 52.0, y + 15, HEAVY)
    yield box(62.0, y, BOARD - 0.6, y + 17, NORMAL)
    yield note(2.5, y + 6.9, "bar", "start")
    yield note(BOARD - 2.5, y + 6.9, "blade", "end")
    for x in (24.0, 66.0):
        yield from blade_name(x, y + 5.2, blade, mark, 9.0)
    yield Line(53.0, y + 8.5, 61.0, y + 8.5, NORMAL, arrow=True)


def string_line(spec: RotorSpec, figures: Figures) -> Diagram:
    """Draw the line over the bar with its three marks, then straight, offset and S-bent rotors."""
    apart = f"{shown(figures, spaced)} from" if (spaced := "string.mark_spacing") in figures.all else "beside"
    lines = [
        f"The bar, A at the left: a mark in the middle, one at each side {apart} it.",
        "Below, three rotors under a line:",
        "1. Straight: on all three marks.",
        "2. To one side: off all three alike.",
        "3. Like an S: on the middle, off the sides oppositely.",
    ]
    if spec.string is not None and spec.string.tip_support is not None:
        lines.append(f"Both tips are propped {shown(figures, 'string.tip_support')} above level.")
    return Diagram(
        name="string-line",
        width=BOARD,
        height=66.0,
        title="The line and what it shows",
        description="\n".join(lines),
        shapes=(*_bar_marks(spec, figures), *_cases()),
    )


def _bar_marks(spec: RotorSpec, figures: Figures) -> Iterator[DrawnShape]:
    y = 45.0
    yield box(14.0, y - 5, BOARD - 14.0, y + 5, NORMAL)
    yield Line(0.6, y, BOARD - 0.6, y, NORMAL, dashed=True)
    for x in (_MIDDLE - 32, _MIDDLE, _MIDDLE + 32):
        yield Line(x, y - 5, x, y + 5, HEAVY)
    yield note(_MIDDLE + 2.0, y + 15.0, "line, tip to tip")
    yield Line(_MIDDLE + 4.0, y + 14.0, _MIDDLE + 12.0, y + 0.8, FINE, arrow=True)
    yield from blade_name(16.0, y + 8.0, "A", spec.rotor.drawn_a, 7.0)
    yield from blade_name(BOARD - 30.0, y + 8.0, "B", spec.rotor.drawn_b, 7.0)
    if spec.string is not None and spec.string.mark_spacing is not None:
        yield Line(_MIDDLE, y - 8, _MIDDLE + 32, y - 8, FINE, arrow=True)
        yield Line(_MIDDLE + 32, y - 8, _MIDDLE, y - 8, FINE, arrow=True)
        yield note(_MIDDLE + 16, y - 14.0, shown(figures, "string.mark_spacing"), figure="string.mark_spacing")
    yield note(14.0, y - 11.0, "plus: toward", "start")
    yield note(14.0, y - 16.5, "A's leading edge", "start")
    toward = y + 5.0 if spec.rotor.rotation == "clockwise" else y - 5.0
    yield Line(8.0, y, 8.0, toward + (7.0 if toward > y else -7.0), HEAVY, arrow=True)


def _cases() -> Iterator[DrawnShape]:
    for x, left, right, words in (
        (19.5, 0.0, 0.0, "straight"),
        (59.0, 4.0, 4.0, "to one side"),
        (98.5, 4.0, -4.0, "like an S"),
    ):
        yield Line(x - 18.0, 14.0, x + 18.0, 14.0, FINE)
        for at in (x - 11.0, x, x + 11.0):
            yield Line(at, 11.0, at, 17.0, HEAVY)
        yield Line(x - 18.0, 14.0 + left * 1.3, x + 18.0, 14.0 + right * 1.3, NORMAL, dashed=True)
        yield note(x, 2.0, words, bold=True)


def balance_bench(_: RotorSpec, figures: Figures) -> Diagram:
    """Draw the rotor on the parallels with the water level between the tips."""
    bolt = shown(figures, "balance.pivot_bolt")
    return Diagram(
        name="balance-bench",
        width=BOARD,
        height=56.0,
        title="Rotor on the parallels",
        description="\n".join(
            [
                f"The bolt of {bolt} through the hub rolls on level parallels.",
                "A stop at each end of them.",
                "A tube with water hangs from tip to tip: both tips are compared with it, at the same point.",
                "Nobody below the blades.",
            ]
        ),
        shapes=tuple(_bench(figures)),
    )


def _bench(figures: Figures) -> Iterator[DrawnShape]:
    y = 28.0
    yield box(4.0, y, _MIDDLE - 8, y + 2.4, NORMAL, "white")
    yield box(_MIDDLE + 8, y, BOARD - 4.0, y + 2.4, NORMAL, "white")
    yield box(_MIDDLE - 8, y - 2, _MIDDLE + 8, y + 15, NORMAL, "white")
    for x in (_MIDDLE - 17, _MIDDLE + 17):
        yield box(x - 1.5, y - 12, x + 1.5, y + 6, NORMAL, "white")
    yield box(_MIDDLE - 22, y + 5, _MIDDLE + 22, y + 8, HEAVY, "white")
    yield Disc(_MIDDLE, y + 11, 3.0, "black")
    for x in (_MIDDLE - 20.5, _MIDDLE + 20.5):
        yield box(x - 1.5, y + 8, x + 1.5, y + 13, FINE, "black")
    yield note(_MIDDLE - 1.0, y + 19.5, "bolt", "end")
    yield note(
        _MIDDLE + 1.0, y + 19.5, shown(figures, "balance.pivot_bolt"), "start", figure="balance.pivot_bolt"
    )
    yield note(_MIDDLE + 24, y + 4.6, "parallels", "start")
    yield note(_MIDDLE + 24, y + 11.0, "stop", "start")
    yield note(_MIDDLE, y - 8.0, "hub")
    for x, inner in ((8.0, 11.0), (BOARD - 8.0, BOARD - 5.0)):
        yield wave(x, inner, y + 1)
    for left, right, low in ((8.0, BOARD - 5.0, 2.0), (11.0, BOARD - 8.0, 5.0)):
        yield Line(left, low, left, y + 10, NORMAL)
        yield Line(right, low, right, y + 10, NORMAL)
        yield Line(left, low, right, low, NORMAL)
    yield note(_MIDDLE, 7.5, "water level, tip to tip")
    yield note(2.0, y + 15, "tip", "start")
    yield note(BOARD - 2.0, y + 15, "tip", "end")
