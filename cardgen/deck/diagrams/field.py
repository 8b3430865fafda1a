"""Drawings for outside: the plane nobody stands in, and the names of the parts."""

from __future__ import annotations

from collections.abc import Iterator

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Diagram, Disc, DrawnShape, Line, Polygon
from cardgen.deck.diagrams.parts import BOARD, blade_name, box, cross, note, shown, turn_arrow
from cardgen.figures import Figures
from cardgen.spec.model import RotorSpec

_MIDDLE = BOARD / 2


def keep_out(spec: RotorSpec, figures: Figures) -> Diagram:
    """Draw the aircraft from above with its nose in the wind, and the disc from the side."""
    radius = f"Nobody nearer than {shown(figures, 'run.clear_radius')}." if _radius(spec) else "Nobody near it."
    return Diagram(
        name="keep-out",
        width=BOARD,
        height=100.0,
        title="Where nobody stands",
        description="\n".join(
            [
                "From above: the aircraft in a clear circle, its nose into the wind.",
                f"{radius} The watcher stands outside it; the pilot sits inside.",
                "The sign for stop: both arms crossed above the head.",
                "From the side: the plane of the disc goes on all round.",
                "Nobody stands in it, on a bank or a lorry either.",
            ]
        ),
        shapes=(*_plan(spec, figures), *_side_view()),
    )


def _radius(spec: RotorSpec) -> bool:
    return spec.run is not None and spec.run.clear_radius is not None


def _plan(spec: RotorSpec, figures: Figures) -> Iterator[DrawnShape]:
    x, y = 36.0, 60.0
    yield Disc(x, y, 35.0, "none", HEAVY)
    yield Disc(x, y, 12.0, "tint", FINE)
    yield from _aircraft(x, y)
    yield Line(x - 11.5, y - 3.5, x + 11.5, y + 3.5, HEAVY)
    yield Disc(x, y, 1.4, "black")
    yield Line(x + 1.0, y, x + 35.0, y, FINE, dashed=True)
    for away in (-2.4, 0.0, 2.4):
        yield Line(x + away * 2.5, y + 32.0, x + away * 2.5, y + 20.5, NORMAL, arrow=True)
    yield note(x + 9.5, y + 25.0, "wind", "start", bold=True)
    yield note(76.0, 91.0, "nobody inside,", "start", bold=True)
    yield note(76.0, 85.0, "pilot alone", "start", bold=True)
    if _radius(spec):
        yield note(
            76.0, y - 1.6, shown(figures, "run.clear_radius"), "start", bold=True, figure="run.clear_radius"
        )
        yield Line(75.0, y, x + 35.6, y, FINE)
    yield from _watcher(80.0, 66.0)
    yield from _stop_sign(90.0, 32.0)


def _aircraft(x: float, y: float) -> Iterator[DrawnShape]:
    """The fuselage from above, nose up, propeller behind, tail at the rear."""
    yield Polygon(
        ((x - 2.6, y - 4), (x - 2.6, y + 7), (x, y + 12), (x + 2.6, y + 7), (x + 2.6, y - 4)), "white", NORMAL
    )
    yield Line(x, y - 4, x, y - 15, NORMAL)
    yield Line(x - 6.0, y - 15, x + 6.0, y - 15, HEAVY)
    yield Line(x - 5.5, y - 5.2, x + 5.5, y - 5.2, NORMAL)
    yield note(x - 8.0, y + 13.0, "nose", "end")
    yield note(x - 8.5, y - 17.0, "tail", "end")
    yield note(x + 9.0, y - 20.0, "propeller", "middle")
    yield Line(x + 7.0, y - 15.5, x + 4.0, y - 6.0, FINE, arrow=True)


def _watcher(x: float, y: float) -> Iterator[DrawnShape]:
    yield Disc(x, y + 8.0, 2.2, "black")
    yield Line(x, y + 6.0, x, y + 3.0, HEAVY)
    yield note(x + 4.5, y + 5.0, "watcher", "start")


def _stop_sign(x: float, y: float) -> Iterator[DrawnShape]:
    """Somebody from the front, both arms crossed above the head."""
    yield Disc(x, y + 9.0, 2.6, "black")
    yield Line(x, y + 6.0, x, y - 4.0, HEAVY)
    yield Line(x, y - 4.0, x - 3.0, y - 11.0, HEAVY)
    yield Line(x, y - 4.0, x + 3.0, y - 11.0, HEAVY)
    for way in (-1.0, 1.0):
        yield Line(x, y + 5.0, x + 6.0 * way, y + 9.0, HEAVY)
        yield Line(x + 6.0 * way, y + 9.0, x - 4.0 * way, y + 17.5, HEAVY)
    yield note(x + 9.0, y + 1.5, "stop", "start", bold=True)


def _side_view() -> Iterator[DrawnShape]:
    y = 10.0
    yield Line(_MIDDLE - 22, y, _MIDDLE + 22, y, HEAVY)
    yield Line(_MIDDLE, y, _MIDDLE, y - 6, NORMAL)
    for start, end in ((0.6, _MIDDLE - 24), (_MIDDLE + 24, BOARD - 0.6)):
        yield Line(start, y + 3, end, y + 3, FINE, dashed=True)
        yield Line(start, y - 3, end, y - 3, FINE, dashed=True)
        yield from cross((start + end) / 2, y, 3.2)
    yield note(_MIDDLE, y + 5.0, "plane of the disc: nobody", bold=True)


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
                "In the middle the hub bar on the teeter bolt; straps hold each root with bolts.",
                f"The leading edge of B is at the {leading}, its trailing edge opposite.",
                "The far end is the tip.",
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
    yield from blade_name(8.0, y - 2.2, "A", spec.rotor.drawn_a, 6.0)
    yield from blade_name(90.0, y - 2.2, "B", spec.rotor.drawn_b, 6.0)
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
