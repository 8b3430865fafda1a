"""The bolts of a rotor as a card lists them: in the maker's order, alike ones together.

Nothing is computed here; figures are put beside the bolts they belong to.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from markupsafe import Markup

from cardgen.deck.templates import number, quoted
from cardgen.figures import Figure, figures_in
from cardgen.figures.fastening import FastenerFigures
from cardgen.figures.setting_rows import WrenchCannot, WrenchSettings
from cardgen.spec.model import BoltAt, RotorSpec
from cardgen.spec.model.hardware import Fastener

_Thing = TypeVar("_Thing")

#: What bolts must have in common to stand on one line.
_FITTING = ("thread", "threads", "fit", "drag", "washer", "entered_from", "turned_at", "locking")


@dataclass(frozen=True)
class Bolt:
    """One bolt at its own station, with the figures of its block; ``key`` is the block's place in the file."""

    key: str
    fastener: Fastener
    figures: FastenerFigures
    station: int
    place: str
    order: Figure | None

    @property
    def turn(self) -> int:
        """Its place in the maker's order, counted from 1; 0 where it has none."""
        return int(self.order.quantity.magnitude) if self.order else 0

    @property
    def label(self) -> Markup:
        """What the hand finds it by: its order number as on the map, or its name where it has none."""
        return self.name if self.order is None else number(self.order)

    @property
    def name(self) -> Markup:
        """Its name, and its place where the block has several."""
        named = quoted(self.fastener.name, f"{self.key}.name")
        return Markup("{}, {}").format(named, quoted(self.place, f"{self.key}.places")) if self.place else named

    @property
    def title(self) -> str:
        """What the log form calls it."""
        named = f"{self.fastener.name}, {self.place}" if self.place else str(self.fastener.name)
        return f"bolt {self.turn}, {named}" if self.turn else named

    @property
    def box(self) -> str:
        """A plain id for boxes, such as ``strap-1``."""
        return f"{self.fastener.where}-{self.station}"


@dataclass(frozen=True)
class AlikeOnWrench:
    """Bolts that take the same settings on the same wrench."""

    bolts: tuple[Bolt, ...]
    settings: WrenchSettings
    key: str

    @property
    def label(self) -> Markup:
        """Which bolts."""
        return labels(self.bolts)

    @property
    def adds_drag(self) -> bool:
        """Whether running drag comes on top of these bolts' torque."""
        return any(bolt.fastener.drag == "add" for bolt in self.bolts)

    @property
    def one_stage(self) -> bool:
        """Whether one round comes before the full torque that this wrench can do at the least drag."""
        stages = [row.stages for row in self.settings.rows]
        first = stages[0][0] if stages[0] else None
        return all(len(each) == 1 for each in stages) and bool(first and first.low and first.high)


@dataclass(frozen=True)
class Cannot:
    """Bolts that a wrench must not be used for, with the reason."""

    bolts: tuple[Bolt, ...]
    wrench: WrenchCannot

    @property
    def label(self) -> Markup:
        """Which bolts."""
        return labels(self.bolts)


@dataclass(frozen=True)
class BoltBook:
    """Every bolt that a hand at the bench has to do with.

    ``makers`` are those that the map crosses, ``unmapped`` the names of the maker's own that it does not show.
    """

    straps: tuple[Bolt, ...]
    others: tuple[Bolt, ...]
    makers: tuple[Bolt, ...]
    unmapped: tuple[Markup, ...]
    wrench_keys: Mapping[str, str]

    @property
    def turned_at(self) -> str:
        """Where every strap bolt is turned, nut or head; nothing where they differ."""
        ends = {str(bolt.fastener.turned_at) for bolt in self.straps}
        return ends.pop() if len(ends) == 1 else ""

    @property
    def torqued_straps(self) -> tuple[Bolt, ...]:
        """Strap bolts whose torque is a number."""
        return tuple(bolt for bolt in self.straps if bolt.figures.low)

    @property
    def teeter(self) -> tuple[Bolt, ...]:
        """The bolt, or bolts, that the rotor teeters on."""
        return tuple(bolt for bolt in self.others if bolt.fastener.where == "teeter")

    @property
    def unit(self) -> str:
        """The one unit of every strap bolt's torque, or nothing where they differ."""
        units = {bolt.figures.low.parts.unit for bolt in self.straps if bolt.figures.low}
        return units.pop() if len(units) == 1 else ""

    @property
    def fitted(self) -> tuple[tuple[Bolt, ...], ...]:
        """Strap bolts, together where they are fitted in the same way with the same parts."""
        return _grouped(self.straps, lambda bolt: tuple(str(getattr(bolt.fastener, name)) for name in _FITTING))

    @property
    def pinned_alike(self) -> tuple[tuple[Bolt, ...], ...]:
        """Strap bolts with cotter pins, together where the pins' heads point the same way."""
        return _grouped(self.locked_by("cotter pin"), lambda bolt: bolt.fastener.pin_head)

    @property
    def fixed(self) -> tuple[Bolt, ...]:
        """Bolts of the head and of the adjusters."""
        return tuple(bolt for bolt in self.others if bolt.fastener.where != "teeter")

    @property
    def names_differ(self) -> bool:
        """Whether the map's numbers alone do not say which bolt is meant."""
        return len({bolt.title.partition(",")[2] for bolt in self.straps}) > 1

    @property
    def windows(self) -> tuple[tuple[Bolt, ...], ...]:
        """Strap bolts with a torque, together where its least and its most are the same."""
        return _grouped(self.torqued_straps, lambda bolt: _parts(bolt.figures.low, bolt.figures.high))

    @property
    def by_threads(self) -> tuple[tuple[str, tuple[Bolt, ...]], ...]:
        """Strap bolts by the condition of their threads that the torque is stated for."""
        return tuple(
            (str(group[0].fastener.threads), group)
            for group in _grouped(self.straps, lambda bolt: bolt.fastener.threads)
        )

    @property
    def strap_settings(self) -> tuple[AlikeOnWrench, ...]:
        """The wrenches that serve strap bolts."""
        return tuple(use for use in self.settings if use.bolts[0].fastener.where == "strap")

    @property
    def drag_readers(self) -> tuple[AlikeOnWrench, ...]:
        """One use of each wrench whose strap bolts need their drag read."""
        read = [use for use in self.strap_settings if use.adds_drag and use.settings.drag_read]
        return tuple(group[0] for group in _grouped(read, lambda use: use.settings.wrench))

    @property
    def strap_cannots(self) -> tuple[Cannot, ...]:
        """The wrenches that do not serve some strap bolts."""
        return tuple(no for no in self.cannots if no.bolts[0].fastener.where == "strap")

    @property
    def drag_limits(self) -> tuple[tuple[Bolt, ...], ...]:
        """Strap bolts that add drag, together where the most drag is the same."""
        return _grouped(self.with_drag, _drag_limit)

    @property
    def with_drag(self) -> tuple[Bolt, ...]:
        """Strap bolts whose running drag is added to the torque."""
        return tuple(bolt for bolt in self.straps if bolt.fastener.drag == "add")

    @property
    def _on_wrenches(self) -> list[tuple[Bolt, WrenchSettings | WrenchCannot]]:
        return [(bolt, each) for bolt in (*self.straps, *self.others) for each in bolt.figures.wrenches]

    @cached_property
    def settings(self) -> tuple[AlikeOnWrench, ...]:
        """Every wrench that serves some bolts, with the bolts that share its numbers."""
        kept = [(bolt, each) for bolt, each in self._on_wrenches if isinstance(each, WrenchSettings)]
        return tuple(
            AlikeOnWrench(tuple(bolt for bolt, _ in group), group[0][1], self.wrench_keys[group[0][1].wrench])
            for group in _grouped(kept, lambda pair: (_shown(pair[1]), _drag_limit(pair[0])))
        )

    @property
    def unit_read(self) -> str:
        """The unit that every wrench of this bench shows; nothing where they differ or none is listed."""
        units = {use.settings.rows[0].low.parts.unit for use in self.settings}
        return units.pop() if len(units) == 1 else ""

    @property
    def cannots(self) -> tuple[Cannot, ...]:
        """Every wrench that does not serve some bolts, and why."""
        kept = [(bolt, each) for bolt, each in self._on_wrenches if isinstance(each, WrenchCannot)]
        return tuple(
            Cannot(tuple(bolt for bolt, _ in group), group[0][1])
            for group in _grouped(kept, lambda pair: (pair[1].wrench, pair[1].reason))
        )

    def labels(self, bolts: Sequence[Bolt]) -> Markup:
        """Name some bolts in a sentence."""
        return labels(bolts)

    def on_wrenches(self, bolt: Bolt) -> tuple[WrenchSettings, ...]:
        """Every wrench of the bench that can set a bolt's torque."""
        return tuple(each for each in bolt.figures.wrenches if isinstance(each, WrenchSettings))

    def locked_by(self, locking: str) -> tuple[Bolt, ...]:
        """Strap bolts that are locked in one way."""
        return tuple(bolt for bolt in self.straps if bolt.fastener.locking == locking)


def bolt_book(spec: RotorSpec, figures: Sequence[FastenerFigures]) -> BoltBook:
    """Sort the bolts: straps in the maker's order, the others as the specification lists them."""
    bolts = [_bolt(each, figures[each.index]) for each in spec.bolts]
    yours = [bolt for bolt in bolts if bolt.fastener.fitted_by == "you"]
    straps = sorted((bolt for bolt in yours if bolt.fastener.where == "strap"), key=lambda bolt: bolt.turn)
    return BoltBook(
        straps=tuple(straps),
        others=tuple(bolt for bolt in yours if bolt.fastener.where != "strap"),
        makers=tuple(
            bolt for bolt in bolts if bolt.fastener.fitted_by == "maker" and bolt.fastener.where == "strap"
        ),
        unmapped=tuple(
            quoted(block.name, f"fasteners[{place}].name")
            for place, block in enumerate(spec.fasteners, start=1)
            if block.fitted_by == "maker" and (block.where != "strap" or not block.stations)
        ),
        wrench_keys={
            str(wrench.id): f"wrenches[{place}]" for place, wrench in enumerate(spec.wrenches or (), start=1)
        },
    )


def _bolt(at: BoltAt, figures: FastenerFigures) -> Bolt:
    order = figures.orders[figures.stations.index(at.station)]
    return Bolt(at.key, at.block, figures, at.station, str(at.place or ""), order)


def labels(bolts: Sequence[Bolt]) -> Markup:
    """Name bolts by their order numbers, runs of three and more as first to last."""
    runs: list[list[Bolt]] = []
    for bolt in bolts:
        if runs and bolt.turn and bolt.turn == runs[-1][-1].turn + 1:
            runs[-1].append(bolt)
        else:
            runs.append([bolt])
    parts: list[Markup] = []
    for run in runs:
        if len(run) > 2:
            parts.append(Markup("{} to {}").format(run[0].label, run[-1].label))
        else:
            parts.extend(bolt.label for bolt in run)
    return Markup(", ").join(parts)


def _grouped(things: Iterable[_Thing], by: Callable[[_Thing], object]) -> tuple[tuple[_Thing, ...], ...]:
    seen: dict[object, list[_Thing]] = {}
    for thing in things:
        seen.setdefault(by(thing), []).append(thing)
    return tuple(tuple(group) for group in seen.values())


def _parts(*figures: Figure | None) -> tuple[object, ...]:
    return tuple(figure and figure.parts for figure in figures)


def _drag_limit(bolt: Bolt) -> object:
    return bolt.figures.drag_max and bolt.figures.drag_max.parts


def _shown(settings: WrenchSettings) -> object:
    """Everything that is printed of a wrench's settings: bolts that agree in it share one table."""
    return settings.wrench, tuple(
        (figure.id.rpartition(f".{settings.wrench}.")[2], figure.parts) for figure in figures_in(settings)
    )
