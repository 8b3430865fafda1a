"""Which blade is high: both tips as the observer sees them, and what is then done, by marks as on the metal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Diagram, Disc, DrawnShape, Label, Line
from cardgen.deck.diagrams.move_lines import BLADES, WAYS, Blade, hand_moves, move_lines, named_width, told
from cardgen.deck.diagrams.parts import BOARD, marks, marks_width, note
from cardgen.deck.diagrams.patterns import pattern
from cardgen.figures import Figures
from cardgen.spec.model import RotorSpec

_CASE = 38.0
#: Room for two moves beside one another, and for the blade's name before each.
_BESIDE, _ON = 56.0, 14.0


def high_blade(spec: RotorSpec, figures: Figures) -> Diagram:
    """Draw both cases edge on: A high and what is done, B high and what is done."""
    moves = figures.track.moves if figures.track else "one blade"
    other_does = "leave" if moves == "one blade" else "raise"
    case = _CASE + _lift(spec, other_does)
    lines = ["Split: from the high tip to the low tip."]
    for high, low in (("A", "B"), ("B", "A")):
        lowers, raises = hand_moves(spec, "to_lower", _key(high)), hand_moves(spec, "to_raise", _key(low))
        lines.append(f"If blade {high} flies high: lower blade {high}, {other_does} blade {low}.")
        lines.extend(f"On {blade}: {told(hand)}." for blade, hand in ((high, lowers), (low, raises)) if hand)
    return Diagram(
        name="high-blade",
        width=BOARD,
        height=2 * case + 2.0,
        title="Which blade is high, and what is done to which",
        description="\n".join(lines),
        shapes=(
            *_case(spec, case + 2.0, "A", "B", other_does),
            Line(0.6, case + 0.5, BOARD - 0.6, case + 0.5, NORMAL),
            *_case(spec, 0.0, "B", "A", other_does),
        ),
    )


def _key(blade: str) -> Blade:
    return "a" if blade == "A" else "b"


def _case(spec: RotorSpec, y: float, high: str, low: str, other_does: str) -> Iterator[DrawnShape]:
    """One case: blade A at the left, B at the right, the high tip drawn up and the low one down."""
    lifted = y + _lift(spec, other_does)
    yield Label(0.6, lifted + 27.0, f"{high} high", 9.0, bold=True, anchor="start")
    yield from _rotor(spec, lifted, high, other_does)
    at = y + 3.0
    if other_does != "raise":
        yield from move_lines(0.6, at, hand_moves(spec, "to_lower", _key(high)), BOARD - 1.2)
    elif _lift(spec, other_does):
        yield from _words(spec, 0.6, at, BOARD - 1.2, "to_raise", low)
        yield from _words(spec, 0.6, at + 6.5, BOARD - 1.2, "to_lower", high)
    else:
        yield from _words(spec, 0.6, at, _BESIDE, "to_lower", high)
        yield from _words(spec, BOARD - _BESIDE, at, _BESIDE, "to_raise", low)


def _lift(spec: RotorSpec, other_does: str) -> float:
    """How much higher a case is whose two moves need a line each."""
    hands = [hand_moves(spec, way, blade) for way in WAYS for blade in BLADES]
    beside = all(named_width(hand) <= _BESIDE - _ON for hand in hands)
    return 0.0 if other_does != "raise" or beside else 5.0


def _words(
    spec: RotorSpec, x: float, y: float, wide: float, way: Literal["to_lower", "to_raise"], name: str
) -> Iterator[DrawnShape]:
    yield note(x, y, f"on {name}", "start", bold=True)
    yield from move_lines(x + _ON, y, hand_moves(spec, way, _key(name)), wide - _ON)


def _rotor(spec: RotorSpec, y: float, high: str, other_does: str) -> Iterator[DrawnShape]:
    middle, hub, rise = 79.0, y + 23.0, 5.0
    yield Line(middle, y + 13.0, middle, hub, HEAVY)
    yield Disc(middle, hub, 2.2, "black")
    for blade, way in (("A", -1.0), ("B", 1.0)):
        up = rise if blade == high else -rise
        x, tip = middle + 31.0 * way, hub + up
        yield Line(middle, hub, x, tip, HEAVY)
        yield from pattern(spec, blade, x + 4.2 * way, tip)
        letter = x - 6.5 * way
        yield Label(letter, tip + (2.6 if blade == high else -7.4), blade, 6.5, bold=True)
        mark = spec.rotor.drawn_a if blade == "A" else spec.rotor.drawn_b
        start = letter + 3.0 if blade == "A" else letter - 3.4 - marks_width(mark)
        yield from marks(start, tip + (4.8 if blade == high else -5.2), mark)
        does = "lower" if blade == high else other_does
        yield from _does(x - 16.0 * way, tip, does)
    yield Line(middle - 38.0, hub, middle + 38.0, hub, FINE, dashed=True)
    near, far = (hub + rise, hub - rise) if high == "A" else (hub - rise, hub + rise)
    yield from _split(middle - 41.5, near, far, middle + 31.0)


def _split(x: float, near: float, far: float, end: float) -> Iterator[DrawnShape]:
    """How far one tip is above the other, beside the near one; a thin line brings the far one there."""
    yield Line(x - 1.5, near, x + 2.0, near, FINE)
    yield Line(x - 1.5, far, end, far, FINE)
    yield Line(x, near, x, far, NORMAL, arrow=True)
    yield Line(x, far, x, near, NORMAL, arrow=True)
    yield note(x - 2.5, min(near, far) + 3.4, "split", "end")


def _does(x: float, tip: float, does: str) -> Iterator[DrawnShape]:
    if does == "lower":
        yield Line(x, tip - 2.0, x, tip - 8.8, HEAVY, arrow=True)
    elif does == "raise":
        yield Line(x, tip + 2.0, x, tip + 8.8, HEAVY, arrow=True)
