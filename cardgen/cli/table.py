"""``cardgen table``: the track table of one rotor, for eyes or for other programs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.cli.errors import Refused
from cardgen.cli.exits import Exit
from cardgen.cli.open_spec import computed, opened
from cardgen.cli.options import json_option, today_option
from cardgen.cli.register_access import is_code, kept_deck, register_option

if TYPE_CHECKING:
    from cardgen.figures.figure import Figure
    from cardgen.figures.track_table import Moves, TrackRow


@click.command(name="table")
@click.argument("source", metavar="SPEC|CODE")
@json_option
@click.option("--csv", "as_csv", is_flag=True, help="Print comma-separated values.")
@register_option
@today_option
def command(source: str, as_json: bool, as_csv: bool, register: Path | None, today: date) -> None:
    """Print the track table of this rotor.

    Each row is what the hand does on one blade. The table holds for this diameter only, and it ends
    at the largest split that may be adjusted out. Where the maker's rule lies between two diameters,
    the first change has rows of its own. With the code of an issued card the numbers are those that
    were issued; exit code 4 means that this deck is not the current one.
    """
    if as_json and as_csv:
        raise click.UsageError("Choose --json or --csv, not both.")
    table = _of_deck(source, register, today) if is_code(source) else _of_file(Path(source), today)
    if "track.rate" not in table.figures:
        raise Refused("There is no table: this rotor's track is read and not adjusted.")
    if as_json:
        from cardgen.cli.report import print_json

        print_json(table_data(table))
    elif as_csv:
        click.echo(csv_text(table), nl=False)
    else:
        from cardgen.cli.report import printable

        for line in table_lines(table):
            click.echo(printable(line))
    if not table.current:
        raise click.exceptions.Exit(Exit.NOT_CURRENT)


@dataclass(frozen=True)
class LookupTable:
    """What is shown of a deck's track: its figures, those of the cards, and what the hand moves."""

    set_id: str
    diameter: str
    basis: str
    figures: Mapping[str, Figure]
    current: bool = True

    @cached_property
    def rows(self) -> tuple[TrackRow, ...]:
        """Rows of every change, or of every change after the first."""
        from cardgen.figures.track_table import rows_among

        return rows_among(self.figures, "row")

    @cached_property
    def first_rows(self) -> tuple[TrackRow, ...]:
        """Rows of the first change alone, where it has any of its own."""
        from cardgen.figures.track_table import rows_among

        return rows_among(self.figures, "first")

    @property
    def moves(self) -> Moves:
        """What the hand moves."""
        from cardgen.figures.track_table import MOVES

        return MOVES[self.basis]

    @property
    def interpolated(self) -> bool:
        """Whether the rate lies between two of the maker's, so that the first change has one of its own."""
        return "track.rate_first_step" in self.figures

    @property
    def changes(self) -> Iterator[tuple[str, tuple[TrackRow, ...]]]:
        """Which changes there are rows for, in the order they are made."""
        if self.interpolated:
            yield from (("first change only", self.first_rows), ("every change after the first", self.rows))
        else:
            yield "every change", self.rows


def _of_file(path: Path, today: date) -> LookupTable:
    spec = opened(path, today).spec
    return _table(spec.rotor.set_id, str(spec.track.basis), computed(spec).all)


def _of_deck(code: str, register: Path | None, today: date) -> LookupTable:
    kept, where = kept_deck(code, register, today)
    return _table(where.deck.set_id, kept.typed("track", "basis"), kept.figures, where.state == "current")


def _table(set_id: str, basis: str, figures: Mapping[str, Figure], current: bool = True) -> LookupTable:
    size = figures["rotor.diameter"].parts
    return LookupTable(set_id, f"{size.number} {size.unit}", basis, figures, current)


def table_data(table: LookupTable) -> dict[str, object]:
    """Give the table as plain values; lengths are also given in the other system."""
    from cardgen.spec.units import magnitude

    return {
        "set_id": table.set_id,
        "diameter": table.diameter,
        "unit": "thou",
        "rows": [row.as_json() for row in table.rows],
        "max_split_in": float(magnitude(table.figures["track.max_split"].quantity, "in")),
        "moves": table.moves,
        "interpolated": table.interpolated,
        "first_rows": [row.as_json() for row in table.first_rows],
        "source": table.figures["track.rate"].reference,
    }


def csv_text(table: LookupTable) -> str:
    """Write all rows as comma-separated values, a head line first; what is not known is empty.

    The last column says which change a row is for.
    """
    rows = [(change, row.as_json()) for change, rows in table.changes for row in rows]
    lines = [",".join([*rows[0][1], "change"])] if rows else []
    for change, row in rows:
        lines.append(",".join(["" if value is None else repr(value) for value in row.values()] + [change]))
    return "".join(f"{line}\n" for line in lines)


def table_lines(table: LookupTable) -> Iterator[str]:
    """Write the table for reading, as the card prints its numbers."""
    yield f"{table.set_id}   rotor diameter {table.diameter}"
    for change, rows in table.changes:
        yield ""
        if table.interpolated:
            yield f"{change.capitalize()}:"
        if rows:
            yield from _aligned([_heads(rows[0]), *(_cells(row) for row in rows)])
    yield ""
    most, rate = table.figures["track.max_split"].parts, table.figures["track.rate"]
    yield f"A split above {most.number} {most.unit} is not adjusted out: stop and find the cause."
    yield f"Moves: {table.moves}. Rate: {rate.shown}, {rate.reference}."
    if table.interpolated:
        first = table.figures["track.rate_first_step"]
        yield "The rate lies between two diameters that the maker states, as the maker allows."
        yield f"The first change is made by the smaller of their two rates: {first.shown}."
    yield "Not a card. The maker's instructions win."


_COLUMNS = (("split", "split"), ("dial", "dial reads"), ("adjust", "adjuster moves"), ("flats", "flats"))


def _heads(row: TrackRow) -> list[str]:
    units = [(head, figure.parts.unit) for head, figure in _known(row)]
    return [head if unit == head else f"{head}, {unit}" for head, unit in units]


def _cells(row: TrackRow) -> list[str]:
    return [figure.parts.number for _, figure in _known(row)]


def _known(row: TrackRow) -> list[tuple[str, Figure]]:
    figures = [(head, getattr(row, name)) for name, head in _COLUMNS]
    return [(head, figure) for head, figure in figures if figure is not None]


def _aligned(rows: Sequence[Sequence[str]]) -> list[str]:
    widths = [max(len(cell) for cell in column) for column in zip(*rows, strict=True)]
    lines = ["   ".join(cell.rjust(wide) for cell, wide in zip(row, widths, strict=True)) for row in rows]
    return [lines[0], "-" * len(lines[0]), *lines[1:]]
