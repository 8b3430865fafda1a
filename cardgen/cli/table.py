"""``cardgen table``: the track table of one rotor, for eyes or for other programs."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from cardgen.cli.errors import Refused
from cardgen.cli.open_spec import computed, opened
from cardgen.cli.options import json_option, spec_argument, today_option

if TYPE_CHECKING:
    from cardgen.figures.figure import Figure
    from cardgen.figures.track_table import TrackRow, TrackTable
    from cardgen.spec.model import RotorSpec


@click.command(name="table")
@spec_argument
@json_option
@click.option("--csv", "as_csv", is_flag=True, help="Print comma-separated values.")
@today_option
def command(spec: Path, as_json: bool, as_csv: bool, today: date) -> None:
    """Print the track table of this rotor.

    Each row is what the hand does on one blade. The table holds for this diameter only, and it ends
    at the largest split that may be adjusted out.
    """
    if as_json and as_csv:
        raise click.UsageError("Choose --json or --csv, not both.")
    rotor = opened(spec, today).spec
    table = _table(rotor)
    if as_json:
        from cardgen.cli.report import print_json

        print_json(table_data(rotor, table))
    elif as_csv:
        click.echo(csv_text(table), nl=False)
    else:
        click.echo(table_text(rotor, table))


def _table(spec: RotorSpec) -> TrackTable:
    track = computed(spec).track
    if track is None:
        raise Refused("There is no table: this rotor's track is read and not adjusted.")
    return track


def table_data(spec: RotorSpec, table: TrackTable) -> dict[str, object]:
    """Give the table as plain values; lengths are also given in the other system."""
    from cardgen.spec.units import magnitude

    return {
        "set_id": spec.rotor.set_id,
        "diameter": spec.typed(("rotor", "diameter")),
        "unit": "thou",
        "rows": table.rows_json(),
        "max_split_in": float(magnitude(table.max_split.quantity, "in")),
        "moves": table.moves,
        "interpolated": table.interpolated,
        "source": table.source,
    }


def csv_text(table: TrackTable) -> str:
    """Write the rows as comma-separated values, a head line first; what is not known is empty."""
    rows = table.rows_json()
    lines = [",".join(rows[0])] if rows else []
    lines += [",".join("" if value is None else repr(value) for value in row.values()) for row in rows]
    return "".join(f"{line}\n" for line in lines)


def table_text(spec: RotorSpec, table: TrackTable) -> str:
    """Write the table for reading, as the card prints its numbers."""
    from cardgen.spec.typed import reading_of

    diameter = reading_of(spec, ("rotor", "diameter")).shown
    head = [f"{spec.rotor.set_id}   rotor diameter {diameter}", ""]
    head += _aligned([_heads(table.rows[0]), *(_cells(row) for row in table.rows)]) if table.rows else []
    most = table.max_split.parts
    limit = f"A split above {most.number} {most.unit} is not adjusted out: stop and find the cause."
    notes = [limit, f"Moves: {table.moves}. Rate: {table.rate.shown}, {table.source}."]
    if table.interpolated:
        notes.append("The rate lies between two diameters that the maker states, as the maker allows.")
    notes.append("Not a card. The maker's instructions win.")
    return "\n".join([*head, "", *notes])


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
