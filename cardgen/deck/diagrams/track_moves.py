"""Two drawings for the track: where the dial touches, and which blade is moved which way."""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Diagram, Disc, DrawnShape, Label, Line, Polygon
from cardgen.deck.diagrams.parts import BOARD, box, dial, marks, marks_width, note, shown
from cardgen.figures import Figures
from cardgen.spec.model import RotorSpec
from cardgen.spec.units import magnitude


def dial_set_up(spec: RotorSpec, figures: Figures) -> Diagram:
    """Draw the hub bar from above with the teeter axis, the pitch pivot line and the dial's tip."""
    offset = spec.track.dial_offset
    off = offset is not None and magnitude(offset, "in") != 0
    where = "beside the axis of the teeter bolt" if off else "on the axis of the teeter bolt"
    lines = [
        "The hub bar seen from above. The axis of the teeter bolt runs across it.",
        f"The dial touches the block {where}.",
    ]
    if off:
        lines.append(f"Distance from the axis: {shown(figures, 'track.dial_offset')}.")
        lines.append("Bring the bar to the same teeter position before each reading.")
    if spec.track.dial_base is not None:
        lines.append(f"The stand sits on: {spec.track.dial_base}.")
    return Diagram(
        name="dial-set-up",
        width=BOARD,
        height=70.0,
        title="Where the dial touches",
        description="\n".join(lines),
        shapes=tuple(_dial_shapes(figures, off)),
    )


def _dial_shapes(figures: Figures, off: bool) -> Iterator[DrawnShape]:
    middle, bar = BOARD / 2, 26.0
    yield box(0.6, bar - 6, BOARD - 0.6, bar + 6, NORMAL)
    yield Line(0.6, bar, BOARD - 0.6, bar, FINE, dashed=True)
    yield box(middle - 20, bar - 14, middle + 20, bar + 14, HEAVY, "white")
    yield Line(middle, 8.0, middle, 58.0, NORMAL, dashed=True)
    yield note(middle, 2.0, "axis of the teeter bolt")
    yield note(2.0, bar + 8.5, "hub bar", "start")
    yield note(BOARD - 2.0, bar + 8.5, "to the blade", "end")
    yield note(middle - 18.0, bar - 11.0, "block", "start")
    tip = middle + 9.0 if off else middle
    yield Disc(tip, bar + 9.0, 1.6, "black")
    yield Line(tip, bar + 9.0, tip, 49.0, HEAVY)
    yield from dial(tip, 56.0)
    yield note(tip + 10.0, 54.5, "dial", "start", bold=True)
    yield note(middle - 20.0, 50.0, "touches here", "end")
    yield Line(middle - 19.0, 50.5, tip - 2.0, bar + 10.5, FINE, arrow=True)
    if off:
        yield Line(middle, bar + 3.0, tip, bar + 3.0, NORMAL, arrow=True)
        yield note(
            middle + 25.0, bar - 13.0, shown(figures, "track.dial_offset"), "start", figure="track.dial_offset"
        )
        yield Line(middle + 24.0, bar - 11.5, middle + 5.0, bar + 2.0, FINE)


def high_blade(spec: RotorSpec, figures: Figures) -> Diagram:
    """Draw both cases edge on: A high and what is done, B high and what is done."""
    moves = figures.track.moves if figures.track else "one blade"
    upper = _case(spec, 52.0, "A", _other_does(moves))
    lower = _case(spec, 6.0, "B", _other_does(moves))
    lines = []
    for high, low in (("A", "B"), ("B", "A")):
        lines.append(f"If blade {high} flies high: lower blade {high}, {_other_does(moves)} blade {low}.")
    return Diagram(
        name="high-blade",
        width=BOARD,
        height=98.0,
        title="Which blade is high, and what is done to which",
        description="\n".join(lines),
        shapes=(*upper, Line(0.6, 48.0, BOARD - 0.6, 48.0, FINE), *lower),
    )


def _other_does(moves: str) -> str:
    return "leave" if moves == "one blade" else "raise"


def _case(spec: RotorSpec, y: float, high: str, other: str) -> Iterator[DrawnShape]:
    """One case: blade A at the left, B at the right, the high tip drawn up."""
    middle, hub = BOARD / 2, y + 17.0
    rise = 12.0
    a_tip, b_tip = (rise, 0.0) if high == "A" else (0.0, rise)
    yield Line(middle, y, middle, hub, HEAVY)
    yield Disc(middle, hub, 2.5, "black")
    yield Line(middle, hub, 10.0, hub + a_tip, HEAVY)
    yield Line(middle, hub, BOARD - 10.0, hub + b_tip, HEAVY)
    yield note(middle, y + 36.0, f"{high} flies high", bold=True)
    for blade, x, tip, mark in (
        ("A", 10.0, a_tip, spec.rotor.mark_a),
        ("B", BOARD - 10.0, b_tip, spec.rotor.mark_b),
    ):
        yield Label(x, hub + tip + 4.0, blade, 7.0, bold=True)
        yield from marks(x + 5.0 if blade == "A" else x - 5.5 - marks_width(mark), hub + tip + 6.4, mark)
        does = "lower" if blade == high else other
        yield from _does(blade, x, hub + tip, does)


def _does(blade: str, x: float, tip: float, does: str) -> Iterator[DrawnShape]:
    anchor, inward = ("start", 4.0) if blade == "A" else ("end", -4.0)
    if does == "leave":
        yield note(x + inward - 4.0 * (1 if blade == "A" else -1), tip - 9.5, f"leave {blade}", anchor)
        return
    if does == "lower":
        yield Polygon(((x - 2.2, tip - 7.0), (x + 2.2, tip - 7.0), (x, tip - 12.0)), "black", FINE)
        yield Line(x, tip - 2.0, x, tip - 8.0, HEAVY)
    else:
        yield Polygon(((x - 2.2, tip - 7.0), (x + 2.2, tip - 7.0), (x, tip - 2.0)), "black", FINE)
        yield Line(x, tip - 6.0, x, tip - 12.0, HEAVY)
    yield note(x + inward, tip - 9.5, f"{does} {blade}", anchor, bold=does == "lower")
