"""``cardgen explain``: where a printed number comes from, down to the line of the specification."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from cardgen.cli.exits import Exit
from cardgen.cli.open_spec import computed, opened
from cardgen.cli.options import json_option, today_option
from cardgen.cli.register_access import is_code, kept_deck, register_option

if TYPE_CHECKING:
    from cardgen.figures.figure import Figure
    from cardgen.spec.positions import Positions


@click.command(name="explain")
@click.argument("source", metavar="SPEC|CODE")
@click.argument("figure", required=False)
@json_option
@register_option
@today_option
def command(source: str, figure: str | None, as_json: bool, register: Path | None, today: date) -> None:
    """Show where a printed number comes from.

    Without FIGURE every number is listed by its id. With an id such as track.row.3.dial you see how
    that number was made and from what, down to the line of the specification. With a number as it
    stands on a card, such as 152 or "152 in·lbf", you see every figure that prints it, and its sum in
    one sentence. With the code of an issued card the numbers are those that were issued, whatever
    became of the specification since; exit code 4 means that this deck is not the current one.
    """
    book = _of_deck(source, register, today) if is_code(source) else _of_file(Path(source), today)
    alike = () if figure is None or figure in book.numbers else book.printing(figure)
    if figure is None:
        shown = list(book.numbers.values())
    elif alike:
        shown = list(alike)
    else:
        shown = [each for _, each in walk(book.numbers, found(book.numbers, figure)) if isinstance(each, Told)]
    if as_json:
        from cardgen.cli.report import print_json

        print_json([asdict(each) for each in shown])
    elif alike:
        click.echo("\n".join(_sums(book, alike)))
    elif figure is None:
        click.echo("\n".join(f"{each.id}  {each.shown}  {each.reference}" for each in shown))
    else:
        click.echo("\n".join(_tree(book, found(book.numbers, figure))))
    if not book.current:
        raise click.exceptions.Exit(Exit.NOT_CURRENT)


@dataclass(frozen=True)
class Told:
    """What is told of a number; ``value`` is its magnitude in ``unit``."""

    id: str
    shown: str
    value: float
    unit: str
    origin: str
    reference: str
    formula: str
    inputs: Sequence[str]


@dataclass(frozen=True)
class Book:
    """The numbers of one deck, and the specification they were made from.

    ``printed`` is each number as it stands on a card. ``file`` is where a keeper finds the specification;
    empty where it is the one kept with an issued deck, which ``kept`` then names.
    """

    numbers: Mapping[str, Told]
    printed: Mapping[str, str]
    text: bytes
    file: str
    kept: str = ""
    current: bool = True

    @property
    def units(self) -> dict[str, str]:
        """The unit of each number."""
        return {name: each.unit for name, each in self.numbers.items()}

    def printing(self, typed: str) -> tuple[Told, ...]:
        """Find every figure that prints a number."""
        from cardgen.cli.printed_numbers import printed_as

        return tuple(self.numbers[name] for name in printed_as(typed, self.printed, self.units))

    def typed(self, key: str) -> str:
        """Give a value as it was typed, in quotes; nothing where the key names no value."""
        try:
            return f'"{self._value(path_of(key))}"'
        except (LookupError, TypeError):
            # Not every input of a number is a value that was typed.
            return ""

    def place(self, key: str) -> str:
        """Name file and line of a key, or nothing where it is no key of the specification."""
        from cardgen.cli.report import printable

        path = path_of(key)
        try:
            self._value(path)
        except (LookupError, TypeError):
            # A number that was computed stands on no line.
            return ""
        line, _ = self._positions.of(path)
        if line and self.kept:
            return f"line {line} of the specification kept with {printable(self.kept)}"
        return f"{printable(self.file)}:{line}" if line else ""

    @cached_property
    def _positions(self) -> Positions:
        from cardgen.spec.positions import Positions

        return Positions(self.text)

    @cached_property
    def _table(self) -> dict[str, Any]:
        return tomllib.loads(self.text.decode("utf-8"))

    def _value(self, path: tuple[str | int, ...]) -> object:
        value: Any = self._table
        for part in path:
            value = value[part]
        return value


def _of_file(path: Path, today: date) -> Book:
    spec = opened(path, today).spec
    figures = computed(spec).all
    printed = {name: figure.parts.number for name, figure in figures.items()}
    return Book({name: told(figure) for name, figure in figures.items()}, printed, spec.text, str(path))


def _of_deck(source: str, register: Path | None, today: date) -> Book:
    kept, where = kept_deck(source, register, today)
    figures = kept.description["figures"]
    numbers = [Told(**{field.name: each[field.name] for field in fields(Told)}) for each in figures]
    kept_with = f"{where.deck.set_id} revision {where.deck.revision}"
    printed = {str(each["id"]): str(each["number"]) for each in figures}
    current = where.state == "current"
    return Book({each.id: each for each in numbers}, printed, kept.text, "", kept_with, current)


def told(figure: Figure) -> Told:
    """Give a figure as plain values."""
    from cardgen.spec.units import magnitude

    return Told(
        figure.id,
        figure.shown,
        float(magnitude(figure.quantity, figure.parts.unit)),
        figure.parts.unit,
        figure.origin.value,
        figure.reference,
        figure.formula,
        list(figure.inputs),
    )


def found(numbers: Mapping[str, Told], name: str) -> Told:
    """Look a number up by its id. Raises a usage error with the nearest id where there is none."""
    if name in numbers:
        return numbers[name]
    near = difflib.get_close_matches(name, numbers, n=1, cutoff=0.5)
    hint = f' Did you mean "{near[0]}"?' if near else ""
    raise click.UsageError(
        f'No figure of this rotor is called or printed as "{name}".{hint} Leave it out to see them all.'
    )


def walk(numbers: Mapping[str, Told], start: Told) -> Iterator[tuple[int, Told | str]]:
    """Follow a number to what it was made from, each input once with its depth.

    A key that is no number comes as its name.
    """
    seen: set[str] = set()

    def follow(name: str, depth: int) -> Iterator[tuple[int, Told | str]]:
        if name in seen:
            return
        seen.add(name)
        number = numbers.get(name)
        yield depth, number or name
        for each in number.inputs if number else ():
            yield from follow(each, depth + 1)

    yield from follow(start.id, 0)


def path_of(key: str) -> tuple[str | int, ...]:
    """Turn a key as a keeper says it, ``fasteners[1].torque_max``, back into a path."""
    path: list[str | int] = []
    for part in key.split("."):
        name, *places = part.replace("]", "").split("[")
        path.append(name)
        path += [int(place) - 1 for place in places if place.isdecimal()]
    return tuple(path)


def _sums(book: Book, alike: Sequence[Told]) -> Iterator[str]:
    from cardgen.cli.printed_numbers import sum_of

    for each in alike:
        yield f"{each.id}  {each.shown}"
        yield f"  sum:   {sum_of(each, book.printed, book.units)}"


def _tree(book: Book, start: Told) -> Iterator[str]:
    for depth, each in walk(book.numbers, start):
        indent = "    " * depth
        if isinstance(each, str):
            yield f"{indent}{each}  {book.typed(each)}  {book.place(each)}".rstrip()
            continue
        yield f"{indent}{each.id}  {each.shown}"
        if each.formula:
            yield f"{indent}  made:  {each.formula}"
        yield f"{indent}  from:  {each.reference}"
        if place := book.place(each.id):
            yield f"{indent}  typed: {place}"
    if book.kept:
        yield "The kept specification is attached to each PDF of that deck, as it was when it was issued."
