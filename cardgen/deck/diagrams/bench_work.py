"""Drawings for the bench: marks that match, the string, the parallels, a tip cut open."""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Diagram, Disc, DrawnShape, Label, Line, Polygon
from cardgen.deck.diagrams.parts import BOARD, box, marks, note, shown, wave
from cardgen.figures import Figures
from cardgen.spec.model import RotorSpec

_MIDDLE = BOARD / 2


def match_marks(spec: RotorSpec, _: Figures) -> Diagram:
    """Draw bar end and blade root of each side with the same mark on both."""
    return Diagram(
        name="match-marks",
        width=BOARD,
        height=52.0,
        title="The same mark on bar end and blade root",
        description="\n".join(
            [
                "Each blade root lies against its own end of the bar.",
                f"Blade A and its bar end: {spec.rotor.mark_a}.",
                f"Blade B and its bar end: {spec.rotor.mark_b}.",
            ]
        ),
        shapes=(*_pair(29.0, "A", spec.rotor.mark_a), *_pair(2.0, "B", spec.rotor.mark_b)),
    )


def _pair(y: float, blade: str, mark: str) -> Iterator[DrawnShape]:
    yield box(0.6, y + 2, 50.0, y + 14, HEAVY)
    yield box(60.0, y, BOARD - 0.6, y + 16, NORMAL)
    yield note(2.5, y + 6.5, "bar", "start")
    yield note(BOARD - 2.5, y + 6.5, "blade", "end")
    for x in (27.0, 66.0):
        yield Label(x, y + 5.5, blade, 7.0, bold=True)
        yield from marks(x + 5.5, y + 8.0, mark)
    yield Line(51.0, y + 8, 59.0, y + 8, NORMAL, arrow=True)


def string_line(spec: RotorSpec, figures: Figures) -> Diagram:
    """Draw the line over the bar with its three marks, then straight, offset and S-bent rotors."""
    spacing = shown(figures, "string.mark_spacing")
    lines = [
        "Above: the bar from above, with a mark in the middle and one at each side.",
        f"The side marks stand {spacing} from the middle. Side A is at the left.",
        "Below, three rotors under the same line:",
        "1. Straight: the line lies on all three marks.",
        "2. To one side: the line is off all three marks by the same.",
        "3. Bent like an S: the line is on the middle mark and off the side marks, to opposite sides.",
    ]
    props: tuple[DrawnShape, ...] = ()
    height = 92.0
    if spec.string is not None and spec.string.tip_support is not None:
        lines.append(
            f"From the side: both tips are propped {shown(figures, 'string.tip_support')} above level."
        )
        props = tuple(_props(figures, 96.0))
        height = 124.0
    return Diagram(
        name="string-line",
        width=BOARD,
        height=height,
        title="The line and what it shows",
        description="\n".join(lines),
        shapes=(*_bar_marks(figures), *_cases(), *props),
    )


def _bar_marks(figures: Figures) -> Iterator[DrawnShape]:
    y = 68.0
    yield box(14.0, y - 5, BOARD - 14.0, y + 5, NORMAL)
    yield Line(0.6, y, BOARD - 0.6, y, NORMAL, dashed=True)
    for x in (_MIDDLE - 32, _MIDDLE, _MIDDLE + 32):
        yield Line(x, y - 5, x, y + 5, HEAVY)
    yield note(_MIDDLE, y + 17.0, "line from tip to tip")
    yield Line(_MIDDLE, y + 16.0, _MIDDLE + 14.0, y + 0.8, FINE, arrow=True)
    yield note(_MIDDLE - 32, y + 8.0, "A", bold=True)
    yield note(_MIDDLE + 32, y + 8.0, "B", bold=True)
    yield Line(_MIDDLE, y - 8, _MIDDLE + 32, y - 8, FINE, arrow=True)
    yield Line(_MIDDLE + 32, y - 8, _MIDDLE, y - 8, FINE, arrow=True)
    yield note(_MIDDLE + 16, y - 14.0, shown(figures, "string.mark_spacing"), figure="string.mark_spacing")


def _cases() -> Iterator[DrawnShape]:
    for y, left, right, words in (
        (40.0, 0.0, 0.0, "straight"),
        (22.0, 4.0, 4.0, "to one side"),
        (4.0, 4.0, -4.0, "like an S"),
    ):
        yield Line(4.0, y + 4, 70.0, y + 4, FINE)
        for x in (15.0, 37.0, 59.0):
            yield Line(x, y + 1, x, y + 7, HEAVY)
        yield Line(4.0, y + 4 + left * 1.4, 70.0, y + 4 + right * 1.4, NORMAL, dashed=True)
        yield note(76.0, y + 2.5, words, "start", bold=True)


def _props(figures: Figures, y: float) -> Iterator[DrawnShape]:
    yield Line(4.0, y + 4, BOARD - 4.0, y + 4, FINE, dashed=True)
    yield note(_MIDDLE, y - 2.5, "level")
    yield Line(_MIDDLE, y + 4, 8.0, y + 14, HEAVY)
    yield Line(_MIDDLE, y + 4, BOARD - 8.0, y + 14, HEAVY)
    yield box(_MIDDLE - 8, y + 2, _MIDDLE + 8, y + 6, NORMAL, "white")
    for x in (8.0, BOARD - 8.0):
        yield Polygon(((x - 3, y + 4), (x + 3, y + 4), (x, y + 13)), "white", NORMAL)
    height = shown(figures, "string.tip_support")
    yield note(_MIDDLE - 1.0, y + 20.0, "each prop", "end")
    yield note(_MIDDLE + 1.0, y + 20.0, height, "start", figure="string.tip_support")


def balance_bench(_: RotorSpec, figures: Figures) -> Diagram:
    """Draw the rotor on the parallels with the water level between the tips."""
    bolt = shown(figures, "balance.pivot_bolt")
    return Diagram(
        name="balance-bench",
        width=BOARD,
        height=84.0,
        title="Rotor on the parallels",
        description="\n".join(
            [
                f"The bolt of {bolt} through the hub rolls on two level parallels.",
                "A stop stands at each end of the parallels.",
                "A tube with water hangs from tip to tip: its two levels are equally high.",
                "Both tips are compared with the water at the same point of the blade.",
                "Nobody stands below the blades.",
            ]
        ),
        shapes=tuple(_bench(figures)),
    )


def _bench(figures: Figures) -> Iterator[DrawnShape]:
    y = 46.0
    yield box(4.0, y, _MIDDLE - 8, y + 2.4, NORMAL, "white")
    yield box(_MIDDLE + 8, y, BOARD - 4.0, y + 2.4, NORMAL, "white")
    yield box(_MIDDLE - 8, y - 2, _MIDDLE + 8, y + 16, NORMAL, "white")
    for x in (_MIDDLE - 17, _MIDDLE + 17):
        yield box(x - 1.5, y - 20, x + 1.5, y + 7, NORMAL, "white")
    yield box(_MIDDLE - 22, y + 6, _MIDDLE + 22, y + 10, HEAVY, "white")
    yield Disc(_MIDDLE, y + 13, 3.0, "black")
    for x in (_MIDDLE - 20.5, _MIDDLE + 20.5):
        yield box(x - 1.5, y + 10, x + 1.5, y + 15, FINE, "black")
    bolt = shown(figures, "balance.pivot_bolt")
    yield note(_MIDDLE - 1.0, y + 19.5, "bolt", "end")
    yield note(_MIDDLE + 1.0, y + 19.5, bolt, "start", figure="balance.pivot_bolt")
    yield note(_MIDDLE + 24, y + 6.5, "parallels", "start")
    yield note(_MIDDLE + 24, y + 12.5, "stop", "start")
    yield note(_MIDDLE, y - 9.0, "hub")
    for x in (8.0, BOARD - 8.0):
        yield Line(x, y - 22, x, y + 12, NORMAL)
        yield Line(x + 3, y - 22, x + 3, y + 12, NORMAL)
        yield wave(x, x + 3, y + 1)
    yield Line(8.0, y - 22, 8.0, 8.0, NORMAL)
    yield Line(11.0, y - 22, 11.0, 11.0, NORMAL)
    yield Line(BOARD - 8.0, y - 22, BOARD - 8.0, 11.0, NORMAL)
    yield Line(BOARD - 5.0, y - 22, BOARD - 5.0, 8.0, NORMAL)
    yield Line(8.0, 8.0, BOARD - 5.0, 8.0, NORMAL)
    yield Line(11.0, 11.0, BOARD - 8.0, 11.0, NORMAL)
    yield note(_MIDDLE, 14.0, "water level, tip to tip")
    yield note(2.0, y + 17, "tip", "start")
    yield note(BOARD - 2.0, y + 17, "tip", "end")


def tip_section(spec: RotorSpec, _: Figures) -> Diagram:
    """Draw a tip cut along the blade: cavity, screw, threadlocker on its end, and the way of the air."""
    lines = [
        "A blade tip cut open along the blade, as an example. The blade is at the left.",
        "Only the end of the screw's thread carries threadlocker.",
        "Air must pass in and out along the screw or its own opening: the blade breathes there.",
    ]
    if spec.tip is not None:
        lines.append(f"The blade breathes at: {spec.tip.breather_at}.")
    if spec.balance is not None:
        lines.append(f"Lead lies here and nowhere else: {spec.balance.place}.")
    return Diagram(
        name="tip-section",
        width=BOARD,
        height=58.0,
        title="Tip, cut open: an example",
        description="\n".join(lines),
        shapes=tuple(_tip(spec.balance is not None)),
    )


def _tip(lead: bool) -> Iterator[DrawnShape]:
    y = 26.0
    yield box(0.6, y - 12, 84.0, y + 12, NORMAL)
    yield box(40.0, y - 4, 84.0, y + 4, FINE)
    yield box(52.0, y - 2.2, 84.0, y + 2.2, NORMAL, "white")
    yield box(84.0, y - 6, 88.0, y + 6, HEAVY, "black")
    for x in range(56, 84, 4):
        yield Line(x, y - 2.2, x + 2, y + 2.2, FINE)
    yield box(52.0, y - 2.2, 56.0, y + 2.2, FINE, "black")
    yield note(2.5, y - 1.5, "blade", "start")
    if lead:
        yield box(41.0, y - 3.2, 51.0, y + 3.2, NORMAL, "tint")
        yield note(36.0, y + 15.0, "lead")
        yield Line(38.0, y + 14.5, 45.0, y + 3.5, FINE, arrow=True)
    yield note(90.0, y + 8.5, "screw", "start", bold=True)
    yield Line(110.0, y + 3.2, 91.0, y + 3.2, NORMAL, arrow=True)
    yield Line(91.0, y - 3.2, 110.0, y - 3.2, NORMAL, arrow=True)
    yield note(90.0, y - 10.5, "air", "start", bold=True)
    yield note(54.0, 4.0, "threadlocker, thread end only")
    yield Line(54.0, 8.5, 54.0, y - 3.0, FINE, arrow=True)
