"""Drawings for outside: reflectors, the plane nobody stands in, and the names of the parts."""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Diagram, Disc, DrawnShape, Label, Line
from cardgen.deck.diagrams.parts import BOARD, box, cross, marks, note, shown, turn_arrow
from cardgen.figures import Figures
from cardgen.spec.model import RotorSpec

_MIDDLE = BOARD / 2


def reflector_fold(spec: RotorSpec, figures: Figures) -> Diagram:
    """Draw the holder seen along the blade: stuck under the skin, folded down, pattern outboard."""
    height = shown(figures, "reflectors.height")
    lines = [
        "The holder seen from the leading edge, the tip at the right.",
        "Both flaps stick to the blade; the fold hangs down between them.",
        f"The reflector is on the fold and is {height} high.",
    ]
    if spec.reflectors is not None:
        lines.append(f"Holder: {spec.reflectors.holder}. Place: {spec.reflectors.place}.")
    return Diagram(
        name="reflector-fold",
        width=BOARD,
        height=52.0,
        title="How the holder is folded",
        description="\n".join(lines),
        shapes=tuple(_fold(figures)),
    )


def _fold(figures: Figures) -> Iterator[DrawnShape]:
    top = 36.0
    yield box(0.6, top, BOARD - 12.0, top + 7, NORMAL)
    yield note(4.0, top + 1.8, "blade", "start")
    yield note(BOARD - 1.0, top + 1.8, "tip", "end")
    yield Line(_MIDDLE - 22, top - 1.4, _MIDDLE + 22, top - 1.4, HEAVY)
    yield Line(_MIDDLE, top - 2, _MIDDLE, top - 26, HEAVY)
    yield box(_MIDDLE + 0.8, top - 25, _MIDDLE + 3.0, top - 5, FINE, "black")
    yield note(_MIDDLE - 26, top - 13.0, "fold", "end")
    yield Line(_MIDDLE - 25, top - 12, _MIDDLE - 1.5, top - 12, FINE, arrow=True)
    yield note(_MIDDLE - 26, top - 6.0, "flaps", "end")
    yield Line(_MIDDLE - 25, top - 4.5, _MIDDLE - 14, top - 2.2, FINE, arrow=True)
    yield Line(_MIDDLE + 8, top - 5, _MIDDLE + 8, top - 25, FINE, arrow=True)
    yield Line(_MIDDLE + 8, top - 25, _MIDDLE + 8, top - 5, FINE, arrow=True)
    yield note(
        _MIDDLE + 11, top - 16.5, shown(figures, "reflectors.height"), "start", figure="reflectors.height"
    )


def keep_out(spec: RotorSpec, figures: Figures) -> Diagram:
    """Draw the disc from the side and from above, with where nobody stands and where the watchers are."""
    radius = (
        f"Nobody nearer than {shown(figures, 'run.clear_radius')}."
        if spec.run is not None
        else "Nobody near it."
    )
    return Diagram(
        name="keep-out",
        width=BOARD,
        height=92.0,
        title="Where nobody stands",
        description="\n".join(
            [
                "Above, from the side: the disc is a flat plane at the height of the rotor, and all round it.",
                "Nobody stands in that plane, on a bank, a stair or a lorry either.",
                "Below, from above: the aircraft in the middle of a clear circle.",
                radius,
                "The pilot sits in the aircraft. The watcher stands outside the circle.",
            ]
        ),
        shapes=(*_side_view(), *_plan(spec, figures)),
    )


def _side_view() -> Iterator[DrawnShape]:
    y = 76.0
    yield Line(_MIDDLE - 22, y, _MIDDLE + 22, y, HEAVY)
    yield Line(_MIDDLE, y, _MIDDLE, y - 9, NORMAL)
    yield Disc(_MIDDLE, y - 12, 3.2, "white", NORMAL)
    for start, end in ((0.6, _MIDDLE - 24), (_MIDDLE + 24, BOARD - 0.6)):
        yield Line(start, y + 3, end, y + 3, FINE, dashed=True)
        yield Line(start, y - 3, end, y - 3, FINE, dashed=True)
        yield from cross((start + end) / 2, y, 3.6)
    yield note(_MIDDLE, y + 8.0, "plane of the disc: nobody")


def _plan(spec: RotorSpec, figures: Figures) -> Iterator[DrawnShape]:
    x, y = 40.0, 29.0
    yield Disc(x, y, 27.0, "none", NORMAL)
    yield Disc(x, y, 11.0, "tint", FINE)
    yield Line(x - 11, y - 3, x + 11, y + 3, HEAVY)
    yield Disc(x, y, 1.6, "black")
    yield Line(x, y, x + 27.0, y, FINE, dashed=True)
    yield Disc(BOARD - 43.0, 13.0, 2.4, "black")
    yield note(BOARD - 38.0, 11.5, "watcher", "start")
    yield note(BOARD - 45.0, 50.0, "clear circle", "start")
    yield Line(BOARD - 46.0, 51.0, x + 20.0, y + 19.0, FINE, arrow=True)
    if spec.run is not None:
        yield note(
            BOARD - 45.0, y - 1.5, shown(figures, "run.clear_radius"), "start", figure="run.clear_radius"
        )


def rotor_names(spec: RotorSpec, _: Figures) -> Diagram:
    """Draw this rotor from above with the name of each part."""
    leading = "top" if spec.rotor.rotation == "counter-clockwise" else "bottom"
    return Diagram(
        name="rotor-names",
        width=BOARD,
        height=78.0,
        title="The parts by their names",
        description="\n".join(
            [
                f"The rotor from above; it turns {spec.rotor.rotation}.",
                f"Blade A at the left ({spec.rotor.mark_a}), blade B at the right ({spec.rotor.mark_b}).",
                "In the middle the hub bar on the teeter bolt; straps hold each blade root with bolts.",
                f"The leading edge of blade B is at the {leading}, its trailing edge opposite.",
                "The far end of each blade is its tip.",
            ]
        ),
        shapes=tuple(_named(spec)),
    )


def _named(spec: RotorSpec) -> Iterator[DrawnShape]:
    y = 40.0
    yield box(0.6, y - 6, 48.0, y + 6, NORMAL)
    yield box(70.0, y - 6, BOARD - 0.6, y + 6, NORMAL)
    yield box(40.0, y - 3.5, 78.0, y + 3.5, HEAVY, "white")
    yield Disc(_MIDDLE, y, 2.2, "black")
    for x in (44.0, 74.0):
        yield Disc(x, y, 1.2, "black")
    yield Label(14.0, y - 2.2, "A", 6.0, bold=True)
    yield from marks(19.0, y, spec.rotor.mark_a)
    yield Label(96.0, y - 2.2, "B", 6.0, bold=True)
    yield from marks(101.0, y, spec.rotor.mark_b)
    up = spec.rotor.rotation == "counter-clockwise"
    yield note(BOARD - 0.6, y + 9.0 if up else y - 12.5, "leading edge", "end")
    yield note(BOARD - 0.6, y - 12.5 if up else y + 9.0, "trailing edge", "end")
    yield note(0.6, y + 9.0, "tip", "start")
    yield note(20.0, y + 9.0, "root", "start")
    yield Line(31.0, y + 8.5, 39.0, y + 4.5, FINE, arrow=True)
    yield note(_MIDDLE - 8, y + 24.0, "hub bar", "end")
    yield Line(_MIDDLE - 10, y + 23.0, _MIDDLE - 6, y + 4.2, FINE, arrow=True)
    yield note(_MIDDLE + 2, y + 24.0, "teeter bolt", "start")
    yield Line(_MIDDLE + 6, y + 23.0, _MIDDLE + 0.8, y + 2.8, FINE, arrow=True)
    yield note(26.0, y - 22.0, "strap bolts")
    yield Line(36.0, y - 18.0, 43.2, y - 1.6, FINE, arrow=True)
    yield turn_arrow(_MIDDLE, y - 16.0, 12.0, spec.rotor.rotation, 245.0, 50.0)
    yield note(_MIDDLE, 4.0, "turns this way")
