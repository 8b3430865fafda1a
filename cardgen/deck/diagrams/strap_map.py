"""The map of the strap bolts: which bolt comes when, and which is not to be touched.

Above, the whole rotor with root and tip named; below, the bolts of one strap, alike on both blades.
Names and stations stand in the card's table: in the drawing there are only order numbers, which a
gloved hand finds, so that twenty-four bolts with long names draw as clearly as one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import cos, pi, radians, sin

from cardgen.deck.diagram import FINE, HEAVY, NORMAL, Diagram, Disc, DrawnShape, Label, Line
from cardgen.deck.diagrams.parts import BOARD, LETTERING, box, cross, marks, note
from cardgen.figures import Figures
from cardgen.figures.figure import Figure
from cardgen.spec.model import BoltAt, RotorSpec

_RADIUS = 5.8
_PITCH = 13.5
_IN_ROW = 8
_NUMBER = 7.0


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
    orders = {
        (each.index, station): order
        for each in figures.fastening
        for station, order in zip(each.stations, each.orders, strict=True)
    }
    bolts = [_MapBolt(at, orders[at.index, at.station]) for at in spec.bolts if at.block.where == "strap"]
    bolts.sort(key=lambda bolt: bolt.at.station)
    crossed = any(bolt.makers for bolt in bolts)
    foot = list(_legend()) if crossed else []
    bottom = 10.0 if crossed else 2.0
    pairs = tuple(spec.tightening.abreast or ()) if spec.tightening else ()
    shapes, top = _circle(spec, bolts, bottom) if _on_circle(spec) else _rows(bolts, pairs, bottom)
    return Diagram(
        name="strap-map",
        width=BOARD,
        height=top + 27.0,
        title="Order of the strap bolts",
        description=_description(spec, bolts),
        shapes=(*_rotor(spec, top + 4.0), *shapes, *foot),
    )


def _rotor(spec: RotorSpec, y: float) -> Iterator[DrawnShape]:
    """Both blades on the hub bar, seen from above."""
    middle = BOARD / 2
    yield box(0.6, y + 6, middle - 14, y + 14, NORMAL)
    yield box(middle + 14, y + 6, BOARD - 0.6, y + 14, NORMAL)
    yield box(middle - 22, y + 8, middle + 22, y + 12, HEAVY, "white")
    yield Disc(middle, y + 10, 2.0, "black")
    yield Label(24, y + 8, "A", 6.0, bold=True)
    yield Label(94, y + 8, "B", 6.0, bold=True)
    yield from marks(29.0, y + 10, spec.rotor.mark_a)
    yield from marks(99.0, y + 10, spec.rotor.mark_b)
    yield note(middle, y + 16.5, "hub bar")
    yield note(0.6, y + 16.5, "tip", "start")
    yield note(BOARD - 0.6, y + 16.5, "tip", "end")
    yield note(middle - 22, y + 1.5, "root", "end")
    yield note(middle + 22, y + 1.5, "root", "start")


def _on_circle(spec: RotorSpec) -> bool:
    return spec.tightening is not None and spec.tightening.pattern == "circle"


def _columns(bolts: Sequence[_MapBolt], pairs: Sequence[tuple[int, int]]) -> list[list[_MapBolt]]:
    """Put bolts that stand abreast of each other into one column, the rear one below, from the root outward."""
    by_station = {bolt.at.station: bolt for bolt in bolts}
    rear_of = {front: rear for front, rear in pairs if front in by_station and rear in by_station}
    rears = set(rear_of.values())
    return [
        [by_station[rear_of[station]], bolt] if station in rear_of else [bolt]
        for station, bolt in by_station.items()
        if station not in rears
    ]


def _rows(
    bolts: Sequence[_MapBolt], pairs: Sequence[tuple[int, int]], bottom: float
) -> tuple[list[DrawnShape], float]:
    """Draw the bolts of one strap in rows of at most eight columns; give the shapes and their top."""
    columns = _columns(bolts, pairs)
    rows = [columns[at : at + _IN_ROW] for at in range(0, len(columns), _IN_ROW)]
    shapes: list[DrawnShape] = []
    base = bottom
    for place in reversed(range(len(rows))):
        row = rows[place]
        tall = _PITCH * max(len(column) for column in row) + 3.0
        shapes.extend(_strap(row, base + 7.0, tall, first=place == 0, last=place == len(rows) - 1))
        base += tall + 9.0
    return shapes, base


def _strap(
    row: Sequence[Sequence[_MapBolt]], y: float, tall: float, *, first: bool, last: bool
) -> Iterator[DrawnShape]:
    least = 0.0 if first and last else 64.0
    width = min(BOARD - 1.2, max(22.0 + _PITCH * len(row), least))
    yield box(0.6, y, 0.6 + width, y + tall, HEAVY)
    yield note(0.6, y - 5.5, "root end" if first else "from above", "start")
    if not (first and last and width < 60):
        yield note(0.6 + width, y - 5.5, "tip end" if last else "on below", "end")
    else:
        yield Line(2.0 + width, y + tall / 2, 14.0 + width, y + tall / 2, NORMAL, arrow=True)
        yield note(16.0 + width, y + tall / 2 - 1.5, "to the tip", "start")
    span = width - 6.0
    for across, column in enumerate(row):
        x = 3.6 + span * (across + 0.5) / len(row)
        for up, bolt in enumerate(column):
            yield from _bolt(bolt, x, y + tall * (up + 0.5) / len(column))


def _circle(spec: RotorSpec, bolts: Sequence[_MapBolt], bottom: float) -> tuple[list[DrawnShape], float]:
    """Draw bolts on a circle seen as the specification says, the first station at the left, on round."""
    reach = max(20.0, len(bolts) * _PITCH / (2 * pi))
    x, y = BOARD / 2, bottom + reach + _RADIUS + 2.0
    shapes: list[DrawnShape] = [Disc(x, y, reach, "none", FINE)]
    for place, bolt in enumerate(bolts):
        turned = 360.0 * place / len(bolts)
        angle = radians(180.0 - turned if _clockwise(spec) else 180.0 + turned)
        shapes.extend(_bolt(bolt, x + reach * cos(angle), y + reach * sin(angle)))
    top = y + reach + _RADIUS + 2.0
    shapes.append(note(x, top + 2.0, f"root side at the left, {_round(spec)}"))
    return shapes, top + 8.0


def _clockwise(spec: RotorSpec) -> bool:
    return spec.tightening is None or spec.tightening.counted != "counter-clockwise"


def _round(spec: RotorSpec) -> str:
    way = "clockwise" if _clockwise(spec) else "counter-clockwise"
    seen = f", seen from {spec.tightening.seen_from}" if spec.tightening and spec.tightening.seen_from else ""
    return f"stations go on {way}{seen}"


def _bolt(bolt: _MapBolt, x: float, y: float) -> Iterable[DrawnShape]:
    yield Disc(x, y, _RADIUS, "white", HEAVY if bolt.order else NORMAL)
    if bolt.makers:
        yield from cross(x, y, _RADIUS)
    elif bolt.order is not None:
        yield Label(x, y - 2.4, bolt.order.parts.number, _NUMBER, bold=True, figure=bolt.order.id)


def _legend() -> Iterator[DrawnShape]:
    yield Disc(4.0, 4.0, 3.0, "white", NORMAL)
    yield from cross(4.0, 4.0, 3.0)
    yield Label(10.0, 2.4, "the maker's bolt: not to be touched", LETTERING, anchor="start")


def _description(spec: RotorSpec, bolts: Sequence[_MapBolt]) -> str:
    shape = (
        f"on a circle, the root side at the left, {_round(spec)}"
        if _on_circle(spec)
        else "along the strap, root first"
    )
    order = spec.tightening.order if spec.tightening else ()
    ordered = sorted((bolt for bolt in bolts if bolt.order), key=lambda bolt: order.index(bolt.at.station))
    lines = [f"Bolts {shape}, the same on blade A and blade B. Tighten in this order:"]
    for bolt in ordered:
        number = bolt.order.parts.number if bolt.order else ""
        lines.append(
            f"{number}. {bolt.name}, station {bolt.at.station} from the root{_beside(spec, bolt, bolts)}."
        )
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
