"""The order of the strap bolts: one strap with its root at the left, as it is on blade A and on blade B.

Seen so, the leading edge is at the same side of both blades, and which side follows from how the rotor turns.
Order numbers are large, to be read with both hands at the work; whole names stand in the card's list.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import cos, pi, radians, sin

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Diagram, Disc, DrawnShape, Label, Line
from cardgen.deck.diagrams.parts import BOARD, LETTERING, blade_name, box, cross, fits, note
from cardgen.figures import Figures
from cardgen.figures.figure import Figure
from cardgen.spec.model import BoltAt, RotorSpec

_IN_ROW = 8
_NUMBER = 10.5
_RADIUS = 7.0
_FOOT = 7.0


@dataclass(frozen=True)
class _MapBolt:
    """A strap bolt at its station, with its order figure; the maker's own have none."""

    at: BoltAt
    order: Figure | None

    @property
    def makers(self) -> bool:
        """Whether it is not to be touched."""
        return self.at.block.fitted_by == "maker"

    @property
    def name(self) -> str:
        """What the hand calls it."""
        return f"{self.at.block.name}, {self.at.place}" if self.at.place else str(self.at.block.name)


def strap_map(spec: RotorSpec, figures: Figures) -> Diagram:
    """Draw the strap bolts with their order numbers."""
    bolts = _map_bolts(spec, figures)
    pairs = tuple(spec.tightening.abreast or ()) if spec.tightening else ()
    foot, base = _foot(spec, figures, bolts)
    circle = _on_circle(spec)
    shapes, top = _circle(spec, bolts, base) if circle else _rows(spec, bolts, pairs, base)
    return Diagram(
        name="strap-map",
        width=BOARD,
        height=top + 9.0,
        title="Order of the strap bolts",
        description=_description(spec, bolts),
        shapes=(*shapes, *_head(spec, top, leading=not circle), *foot),
    )


def places_are_drawn(spec: RotorSpec, figures: Figures) -> bool:
    """Whether the map itself letters where each of your bolts sits, so that no list need say it."""
    bolts = [bolt for bolt in _map_bolts(spec, figures) if not bolt.makers]
    names = {bolt.at.block.name for bolt in bolts}
    return len(names) == 1 and not _on_circle(spec) and _lettered(bolts, _pitch(spec, bolts))


def _map_bolts(spec: RotorSpec, figures: Figures) -> list[_MapBolt]:
    orders = {
        (each.index, station): order
        for each in figures.fastening
        for station, order in zip(each.stations, each.orders, strict=True)
    }
    bolts = [_MapBolt(at, orders[at.index, at.station]) for at in spec.bolts if at.block.where == "strap"]
    return sorted(bolts, key=lambda bolt: bolt.at.station)


def _head(spec: RotorSpec, top: float, *, leading: bool) -> Iterator[DrawnShape]:
    """Letter both blades with their marks, and on which side their leading edge is."""
    yield from blade_name(0.6, top + 2.5, "A", spec.rotor.drawn_a, 6.0)
    yield from blade_name(26.0, top + 2.5, "B", spec.rotor.drawn_b, 6.0)
    yield note(50.0, top + 2.8, "alike", "start")
    if leading and _leading_up(spec):
        yield note(BOARD - 0.6, top + 2.8, "leading edge", "end", bold=True)


def _leading_up(spec: RotorSpec) -> bool:
    return spec.rotor.rotation == "counter-clockwise"


def _foot(spec: RotorSpec, figures: Figures, bolts: Sequence[_MapBolt]) -> tuple[list[DrawnShape], float]:
    """Letter what holds for all bolts: the side of their nuts, and whose a crossed one is."""
    lines: list[list[DrawnShape]] = []
    if any(bolt.makers for bolt in bolts):
        lines.append(
            [
                Disc(3.6, 3.4, 2.8, "white", NORMAL),
                *cross(3.6, 3.4, 2.8),
                Label(9.0, 1.6, "the maker's bolt: not to be touched", LETTERING, anchor="start"),
            ]
        )
    blocks = [each for each in figures.fastening if each.where == "strap" and each.low and each.high]
    sides = {spec.fasteners[each.index].entered_from for each in blocks}
    if len(sides) == 1 and (side := next(iter(sides))) in {"below", "above"}:
        nuts = "above" if side == "below" else "below"
        lines.append([note(0.6, 1.6, f"bolts in from {side}, nuts {nuts}", "start", bold=True)])
    shapes = [_raised(shape, place * _FOOT) for place, line in enumerate(lines) for shape in line]
    return shapes, len(lines) * _FOOT + 1.5


def _raised(shape: DrawnShape, by: float) -> DrawnShape:
    match shape:
        case Line():
            return replace(shape, y1=shape.y1 + by, y2=shape.y2 + by)
        case Disc() | Label():
            return replace(shape, y=shape.y + by)
    return shape


def _on_circle(spec: RotorSpec) -> bool:
    return spec.tightening is not None and spec.tightening.pattern == "circle"


def _columns(
    spec: RotorSpec, bolts: Sequence[_MapBolt], pairs: Sequence[tuple[int, int]]
) -> list[list[_MapBolt]]:
    """Put bolts that stand abreast of each other into one column, the lower one on the page first."""
    by_station = {bolt.at.station: bolt for bolt in bolts}
    rear_of = {front: rear for front, rear in pairs if front in by_station and rear in by_station}
    rears = set(rear_of.values())

    def column(station: int) -> list[_MapBolt]:
        if station not in rear_of:
            return [by_station[station]]
        pair = [by_station[rear_of[station]], by_station[station]]
        return pair if _leading_up(spec) else pair[::-1]

    return [column(station) for station in by_station if station not in rears]


def _pitch(spec: RotorSpec, bolts: Sequence[_MapBolt]) -> float:
    pairs = tuple(spec.tightening.abreast or ()) if spec.tightening else ()
    return (BOARD - 6.0) / max(1, min(_IN_ROW, len(bolts) - len(pairs)))


def _lettered(bolts: Sequence[_MapBolt], pitch: float) -> bool:
    """Whether every place fits under its bolt."""
    return all(bolt.at.place is not None and fits(str(bolt.at.place), pitch - 0.2) for bolt in bolts)


def _rows(
    spec: RotorSpec, bolts: Sequence[_MapBolt], pairs: Sequence[tuple[int, int]], bottom: float
) -> tuple[list[DrawnShape], float]:
    """Draw the bolts of one strap in rows of at most eight columns; give the shapes and their top."""
    columns = _columns(spec, bolts, pairs)
    rows = [columns[at : at + _IN_ROW] for at in range(0, len(columns), _IN_ROW)]
    shapes: list[DrawnShape] = []
    base = bottom
    if not _leading_up(spec):
        shapes.append(note(BOARD - 0.6, base, "leading edge", "end", bold=True))
        base += 6.0
    pitch = (BOARD - 6.0) / max(map(len, rows))
    yours = [bolt for bolt in bolts if not bolt.makers]
    lettered = len(rows) == 1 and _lettered(yours, pitch)
    for place in reversed(range(len(rows))):
        row = rows[place]
        each = 2 * _RADIUS + (6.4 if lettered else 1.6)
        tall = each * max(len(column) for column in row) + 2.4
        shapes.extend(_strap(row, base + 6.5, tall, pitch, lettered=lettered))
        shapes.extend(_ends(base, first=place == 0, last=place == len(rows) - 1))
        base += tall + 7.5
    return shapes, base


def _strap(
    row: Sequence[Sequence[_MapBolt]], y: float, tall: float, pitch: float, *, lettered: bool
) -> Iterator[DrawnShape]:
    yield box(0.6, y, BOARD - 0.6, y + tall, HEAVY)
    for across, column in enumerate(row):
        x = 3.0 + pitch * (across + 0.5)
        for up, bolt in enumerate(column):
            middle = y + tall * (up + 0.5) / len(column) + (2.4 if lettered else 0.0)
            yield from _bolt(bolt, x, middle)
            if lettered and not bolt.makers:
                yield note(x, middle - _RADIUS - 4.6, str(bolt.at.place))


def _ends(y: float, *, first: bool, last: bool) -> Iterator[DrawnShape]:
    yield note(0.6, y + 1.2, "root" if first else "from above", "start")
    yield Line(24.0 if first else 34.0, y + 2.8, 94.0, y + 2.8, NORMAL, arrow=True)
    yield note(BOARD - 0.6, y + 1.2, "tip" if last else "on below", "end")


def _circle(spec: RotorSpec, bolts: Sequence[_MapBolt], bottom: float) -> tuple[list[DrawnShape], float]:
    """Draw bolts on a circle seen as the specification says, the first station at the left, on round."""
    reach = min(max(22.0, len(bolts) * (2 * _RADIUS + 1.5) / (2 * pi)), BOARD / 2 - _RADIUS - 0.6)
    radius = min(_RADIUS, pi * reach / len(bolts) - 0.8)
    x, y = BOARD / 2, bottom + reach + _RADIUS + 2.0
    shapes: list[DrawnShape] = [Disc(x, y, reach, "none", FINE)]
    for place, bolt in enumerate(bolts):
        turned = 360.0 * place / len(bolts)
        angle = radians(180.0 - turned if _clockwise(spec) else 180.0 + turned)
        shapes.extend(_bolt(bolt, x + reach * cos(angle), y + reach * sin(angle), radius))
    top = y + reach + _RADIUS + 2.0
    shapes.append(note(x, top + 2.0, _round(spec)))
    shapes.append(note(0.6, y - 1.6, "root", "start") if reach < 40 else note(x, y, "root at the left"))
    return shapes, top + 8.0


def _clockwise(spec: RotorSpec) -> bool:
    return spec.tightening is None or spec.tightening.counted != "counter-clockwise"


def _round(spec: RotorSpec) -> str:
    way = "clockwise" if _clockwise(spec) else "counter-clockwise"
    seen = f", seen from {spec.tightening.seen_from}" if spec.tightening and spec.tightening.seen_from else ""
    return f"stations go on {way}{seen}"


def _bolt(bolt: _MapBolt, x: float, y: float, radius: float = _RADIUS) -> Iterator[DrawnShape]:
    yield Disc(x, y, radius, "white", HEAVY if bolt.order else NORMAL)
    if bolt.makers:
        yield from cross(x, y, radius)
    elif bolt.order is not None:
        size = _NUMBER * min(1.0, radius / _RADIUS) * (1.0 if len(bolt.order.parts.number) == 1 else 0.85)
        yield Label(x, y - 0.34 * size, bolt.order.parts.number, size, bold=True, figure=bolt.order.id)


def _description(spec: RotorSpec, bolts: Sequence[_MapBolt]) -> str:
    edge = "top" if _leading_up(spec) else "bottom"
    shape = (
        f"on a circle, the root side at the left, {_round(spec)}"
        if _on_circle(spec)
        else f"along the strap, root at the left, leading edge at the {edge}"
    )
    order = spec.tightening.order if spec.tightening else ()
    ordered = sorted((bolt for bolt in bolts if bolt.order), key=lambda bolt: order.index(bolt.at.station))
    lines = [f"Bolts {shape}, blades alike. Tighten in this order:"]
    for bolt in ordered:
        number = bolt.order.parts.number if bolt.order else ""
        lines.append(f"{number}. {bolt.name}, station {bolt.at.station}{_beside(spec, bolt, bolts)}.")
    lines.extend(
        f"Not to be touched: {bolt.name}, station {bolt.at.station}, fitted by the maker."
        for bolt in bolts
        if bolt.makers
    )
    return "\n".join(lines)


def _beside(spec: RotorSpec, bolt: _MapBolt, bolts: Sequence[_MapBolt]) -> str:
    pairs = (spec.tightening.abreast or ()) if spec.tightening else ()
    front = next((front for front, rear in pairs if rear == bolt.at.station), None)
    other = next((each for each in bolts if each.at.station == front), None)
    return f", behind {other.name}" if other else ""
