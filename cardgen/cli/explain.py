"""``cardgen explain``: where a printed number comes from, down to the line of the specification."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.cli.opening import computed, opened
from cardgen.cli.options import json_option, spec_argument, today_option

if TYPE_CHECKING:
    from cardgen.figures.figure import Figure
    from cardgen.spec.model import RotorSpec
    from cardgen.spec.positions import Positions


@click.command(name="explain")
@spec_argument
@click.argument("figure", required=False)
@json_option
@today_option
def command(spec: Path, figure: str | None, as_json: bool, today: date) -> None:
    """Show where a printed number comes from.

    Without FIGURE every number is listed by its id. With an id such as track.row.3.dial you see how
    that number was made and from what, down to the line of the specification.
    """
    rotor = opened(spec, today).spec
    figures = computed(rotor).all
    if figure is None:
        shown: list[Figure] = list(figures.values())
    else:
        shown = [each for _, each in walk(figures, found(figures, figure)) if not isinstance(each, str)]
    if as_json:
        from cardgen.cli.report import print_json

        print_json([figure_data(each) for each in shown])
    elif figure is None:
        click.echo("\n".join(f"{each.id}  {each.shown}  {each.reference}" for each in shown))
    else:
        click.echo("\n".join(_tree(figures, found(figures, figure), Places(rotor, str(spec)))))


def found(figures: Mapping[str, Figure], name: str) -> Figure:
    """Look a figure up by its id. Raises a usage error with the nearest id where there is none."""
    if name in figures:
        return figures[name]
    near = difflib.get_close_matches(name, figures, n=1, cutoff=0.5)
    hint = f' Did you mean "{near[0]}"?' if near else ""
    raise click.UsageError(f'No figure of this rotor is called "{name}".{hint} Leave it out to see them all.')


def figure_data(figure: Figure) -> dict[str, object]:
    """Give a figure as plain values; ``value`` is its exact magnitude in ``unit``."""
    from cardgen.spec.units import magnitude

    return {
        "id": figure.id,
        "shown": figure.shown,
        "value": float(magnitude(figure.quantity, figure.parts.unit)),
        "unit": figure.parts.unit,
        "origin": figure.origin.value,
        "reference": figure.reference,
        "formula": figure.formula,
        "inputs": list(figure.inputs),
    }


def walk(figures: Mapping[str, Figure], start: Figure) -> Iterator[tuple[int, Figure | str]]:
    """Follow a figure to what it was made from, each input once with its depth.

    A key that is no figure comes as its name.
    """
    seen: set[str] = set()

    def follow(name: str, depth: int) -> Iterator[tuple[int, Figure | str]]:
        if name in seen:
            return
        seen.add(name)
        figure = figures.get(name)
        yield depth, figure or name
        for each in figure.inputs if figure else ():
            yield from follow(each, depth + 1)

    yield from follow(start.id, 0)


@dataclass(frozen=True)
class Places:
    """Where the keys of one specification stand in its file."""

    spec: RotorSpec
    file: str

    @cached_property
    def _positions(self) -> Positions:
        from cardgen.spec.positions import Positions

        return Positions(self.spec.text)

    def of(self, key: str) -> str:
        """Name file and line of a key, or nothing where it is no key of the file."""
        from cardgen.cli.report import printable

        path = path_of(key)
        try:
            self.spec.typed(path)
        except (LookupError, TypeError):
            return ""
        line, _ = self._positions.of(path)
        return f"{printable(self.file)}:{line}" if line else ""


def path_of(key: str) -> tuple[str | int, ...]:
    """Turn a key as a keeper says it, ``fasteners[1].torque_max``, back into a path."""
    path: list[str | int] = []
    for part in key.split("."):
        name, *places = part.replace("]", "").split("[")
        path.append(name)
        path += [int(place) - 1 for place in places if place.isdecimal()]
    return tuple(path)


def _tree(figures: Mapping[str, Figure], start: Figure, places: Places) -> Iterator[str]:
    for depth, each in walk(figures, start):
        indent = "    " * depth
        if isinstance(each, str):
            yield f"{indent}{each}  {_typed(places.spec, each)}  {places.of(each)}".rstrip()
            continue
        yield f"{indent}{each.id}  {each.shown}"
        if each.formula:
            yield f"{indent}  made:  {each.formula}"
        yield f"{indent}  from:  {each.reference}"
        if place := places.of(each.id):
            yield f"{indent}  typed: {place}"


def _typed(spec: RotorSpec, key: str) -> str:
    try:
        return f'"{spec.typed(path_of(key))}"'
    except (LookupError, TypeError):
        return ""
