"""Adjusters and dial: the hub from above and from the side, and the way a lowered blade turns.

Which adjuster is at the leading edge is not known and not shown: the hand goes by the marks alone.
"""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Diagram, Disc, DrawnShape, Line, Polygon
from cardgen.deck.diagrams.move_lines import adjuster_marks, hand_moves
from cardgen.deck.diagrams.parts import BOARD, box, dial, fits, lettering_width, marks, note, shown
from cardgen.figures import Figures
from cardgen.spec.marks import DrawnMark
from cardgen.spec.model import RotorSpec
from cardgen.spec.units import magnitude

_AXIS, _OFF = 40.0, 11.0
_ADJUSTER = 68.0
_LEVER = 31.0
_BLOCK = (26.0, 80.0)


def dial_set_up(spec: RotorSpec, figures: Figures) -> Diagram:
    """Draw where dial and stand are, the adjusters with their marks, a lock nut and the sense of turning."""
    foot = 18.0
    side = foot + 52.0 if _by_dial(spec) else foot
    return Diagram(
        name="dial-set-up",
        width=BOARD,
        height=side + 45.5,
        title="Adjusters and dial" if _by_dial(spec) else "Adjusters",
        description="\n".join(_description(spec, figures)),
        shapes=(
            *_from_above(spec, figures, side + 18.0),
            *(_from_the_side(spec, foot + 1.0) if _by_dial(spec) else ()),
            *_sense(spec, 0.0),
        ),
    )


def _by_dial(spec: RotorSpec) -> bool:
    return spec.track.set_by == "dial"


def _off_axis(spec: RotorSpec) -> bool:
    return spec.track.dial_offset is not None and magnitude(spec.track.dial_offset, "in") != 0


def _tip(spec: RotorSpec) -> float:
    return _AXIS + (_OFF if _off_axis(spec) else 0.0)


def _from_above(spec: RotorSpec, figures: Figures, y: float) -> Iterator[DrawnShape]:
    yield note(0.6, y + 22.5, "from above", "start", bold=True)
    yield box(2.0, y - 5, BOARD - 2.0, y + 5, NORMAL)
    yield box(_BLOCK[0], y - 14, _BLOCK[1], y + 14, HEAVY, "white")
    yield note(3.0, y - 1.6, "hub bar", "start")
    yield note(BOARD - 14.0, y - 1.6, "to the tip", "end")
    yield Line(BOARD - 13.0, y, BOARD - 3.0, y, NORMAL, arrow=True)
    yield Line(_AXIS, y - 14.0, _AXIS, y + 19.0, NORMAL, dashed=True)
    yield note(_AXIS, y + 20.0, "teeter axis")
    sides = adjuster_marks(spec)
    for place, (_, mark) in enumerate(sides):
        at = y if len(sides) == 1 else y + (8.5 if place == 0 else -8.5)
        yield from _adjuster(at, mark, 9.0 if len(sides) == 1 else 0.0)
    if _by_dial(spec):
        yield from _touching(spec, figures, y)
    yield note(_ADJUSTER + 15.0, y + (17.0 if len(sides) > 1 else 16.0), _marked(sides), "start")


def _touching(spec: RotorSpec, figures: Figures, y: float) -> Iterator[DrawnShape]:
    """Where the dial touches, seen from above: how far from the pitch pivot line and from the teeter axis."""
    tip, under = _tip(spec), y - 9.5
    yield Disc(tip, under, 1.8, "black")
    yield note(tip + 2.5, under - 1.4, "dial", "start")
    if _off_axis(spec):
        yield Line(_AXIS, y + 9.0, tip, y + 9.0, NORMAL, arrow=True)
        yield Line(tip, y + 9.0, _AXIS, y + 9.0, NORMAL, arrow=True)
        yield Line(tip, under + 2.0, tip, y + 11.0, FINE)
        yield note(
            tip + 1.5, y + 17.5, shown(figures, "track.dial_offset"), "start", figure="track.dial_offset"
        )
        yield Line(tip + 1.0, y + 16.5, tip - 4.0, y + 10.0, FINE)
    yield Line(_BLOCK[0], y, _ADJUSTER - 6.0, y, NORMAL, dashed=True)
    yield Line(_LEVER, y, _LEVER, under, NORMAL, arrow=True)
    yield Line(_LEVER, under, _LEVER, y, NORMAL, arrow=True)
    yield Line(_LEVER - 2.0, under, tip - 2.0, under, FINE)
    yield Line(_LEVER, y - 4.5, 18.0, y - 15.0, FINE)
    lever = shown(figures, "track.dial_lever")
    yield note(3.0, y - 19.5, lever, "start", figure="track.dial_lever")
    yield note(4.5 + lettering_width(lever), y - 19.5, "from the pitch pivot line", "start")


def _marked(sides: tuple[tuple[str, DrawnMark | None], ...]) -> str:
    # Which of them is in front no paper says: the drawing puts them where there is room.
    return "go by the marks" if len(sides) > 1 else "go by the mark"


def _adjuster(y: float, mark: DrawnMark | None, up: float) -> Iterator[DrawnShape]:
    """One adjuster from above: a hexagon, and its mark outside the block with a line to it."""
    yield Polygon(tuple((_ADJUSTER + 4.0 * a, y + 4.0 * b) for a, b in _HEXAGON), "white", NORMAL)
    yield Disc(_ADJUSTER, y, 1.6, "black")
    if mark is not None:
        yield Line(_ADJUSTER + 4.5, y, _ADJUSTER + 16.0, y + up, FINE)
        yield from marks(_ADJUSTER + 17.0, y + up, mark)


def _from_the_side(spec: RotorSpec, y: float) -> Iterator[DrawnShape]:
    bar = y + 16.5
    yield note(0.6, y + 44.0, "from the side", "start", bold=True)
    yield box(2.0, bar - 4, BOARD - 2.0, bar + 4, NORMAL)
    yield box(_BLOCK[0], bar - 9, _BLOCK[1], bar + 9, HEAVY, "white")
    yield Line(_AXIS, bar - 12, _AXIS, bar + 12, NORMAL, dashed=True)
    yield Disc(_AXIS, bar, 2.2, "white", NORMAL)
    yield box(_ADJUSTER - 1.2, bar + 9, _ADJUSTER + 1.2, bar + 19, FINE, "white")
    yield box(_ADJUSTER - 4.0, bar + 9, _ADJUSTER + 4.0, bar + 13, NORMAL, "black")
    yield note(_ADJUSTER + 5.5, bar + 10.8, "lock nut", "start", bold=True)
    tip = _tip(spec)
    yield Line(tip, bar + 10.0, tip, bar + 16.0, HEAVY)
    yield Disc(tip, bar + 10.0, 1.4, "black")
    yield from dial(tip, bar + 22.0, 6.0)
    yield Line(tip + 6.0, bar + 22.0, 104.0, bar + 22.0, HEAVY)
    yield Line(104.0, bar + 22.0, 104.0, bar + 8.0, HEAVY)
    yield box(97.0, bar + 4, 111.0, bar + 8, NORMAL, "black")
    yield from _named(BOARD - 0.6, bar + 25.0, "end", "stand on", spec.track.dial_base)
    yield from _named(0.6, y + 0.6, "start", "dial on", spec.track.dial_touches)
    yield Line(20.0, y + 7.0, tip - 1.4, bar + 8.6, FINE, arrow=True)


def _named(x: float, y: float, anchor: str, words: str, name: str | None) -> Iterator[DrawnShape]:
    """Letter what the dial or its stand is on; only the words where the name would not fit."""
    text = f"{words} the {name}"
    yield note(x, y, text if name and fits(text, 62.0, bold=True) else words, anchor, bold=True)


def _sense(spec: RotorSpec, y: float) -> Iterator[DrawnShape]:
    """A blade cut across: lowered, its leading edge goes down."""
    x, middle = 8.0, y + 10.0
    thin = tuple((x + 42.0 * a, middle + 42.0 * b) for a, b in _SECTION)
    turned = tuple((x + 42.0 * a, middle + 42.0 * (b - 0.16 * (0.75 - a))) for a, b in _SECTION)
    yield Polygon(thin, "none", FINE)
    yield Polygon(turned, "white", HEAVY)
    yield Line(x - 4.0, middle + 3.0, x - 4.0, middle - 9.0, HEAVY, arrow=True)
    down = "leading edge goes down"
    yield note(56.0, middle + 3.0, "lowered blade:", "start")
    yield note(56.0, middle - 3.0, down, "start", bold=True)
    yield note(x + 42.0, middle - 8.0, "rear", "end")
    if hand_moves(spec, "to_raise", "a"):
        yield note(56.0, middle - 9.0, "raised blade: it goes up", "start")


def _description(spec: RotorSpec, figures: Figures) -> Iterator[str]:
    yield "The hub bar with the block that turns the blade."
    names = ", ".join(name for name, _ in adjuster_marks(spec))
    yield f"Adjusters by their marks: {names}. A lock nut holds each."
    if _by_dial(spec):
        yield f"Stand on: {spec.track.dial_base}. Dial on: {spec.track.dial_touches}."
        if spec.track.dial_offset is None:
            yield "How far from the teeter axis the dial touches is not given."
        elif _off_axis(spec):
            yield f"It touches {shown(figures, 'track.dial_offset')} from the teeter axis."
        else:
            yield "It touches on the teeter axis."
        yield f"It touches {shown(figures, 'track.dial_lever')} from the pitch pivot line."
    yield "A blade that is lowered turns its leading edge down."


_HEXAGON = ((1.0, 0.0), (0.5, 0.866), (-0.5, 0.866), (-1.0, 0.0), (-0.5, -0.866), (0.5, -0.866))
#: Outline of a blade cut across, leading edge at the left, by its chord.
_SECTION = (
    (0.0, 0.0),
    (0.03, 0.04),
    (0.12, 0.075),
    (0.3, 0.085),
    (0.6, 0.055),
    (1.0, 0.0),
    (0.6, -0.02),
    (0.2, -0.03),
    (0.04, -0.02),
)
