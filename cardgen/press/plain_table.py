"""Tables in plain text: aligned where they fit the line, else row by row in words."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from textwrap import wrap

from cardgen.deck.card import Column, Row, Runs, Table, Value, Was

#: Stands for a space at which no line may end, until the lines are made.
GLUE = "\ue000"
_GAP = "  "
#: Says a cell's runs; the second argument tells whether letters of origin stand beside figures.
Say = Callable[[Runs, bool], str]


def table_lines(table: Table, width: int, say: Say) -> Iterator[str]:
    """Write a table's caption, head and rows within ``width`` columns."""
    yield from wrap(table.caption, width)
    heads = [_head(column) for column in table.columns]
    rows = [_cells(row, table.columns, say) for row in table.rows]
    _on_their_numbers(table, rows)
    widths = _widths(
        [heads, *(cells for cells, row in zip(rows, table.rows, strict=True) if not row.stop)], width
    )
    if widths is None:
        yield from _in_words(table, heads, rows, width)
        return
    yield from _aligned(heads, widths)
    yield "-" * (sum(widths) + len(_GAP) * (len(widths) - 1))
    for cells, row in zip(rows, table.rows, strict=True):
        if row.stop:
            yield from _stop(cells, width)
        else:
            yield from _aligned(cells, widths)


def _head(column: Column) -> str:
    return " ".join(filter(None, (column.name, column.unit, column.origin)))


def _cells(row: Row, columns: Sequence[Column], say: Say) -> list[str]:
    if row.stop:
        return [say(cell, True) for cell in row.cells]
    return [say(cell, not column.origin) for cell, column in zip(row.cells, columns, strict=True)]


def _widths(lines: Sequence[Sequence[str]], width: int) -> list[int] | None:
    """Share the line among the columns; nothing where words do not fit.

    The first line is the heads, which are broken before any cell is; the widest column gives way first.
    """
    columns = list(zip(*lines, strict=True))
    widths = [max(len(cell) for cell in column) for column in columns]
    floors = [max((len(word) for cell in column for word in cell.split(" ")), default=1) for column in columns]
    cells = [max((len(cell) for cell in column[1:]), default=0) for column in columns]
    room = width - len(_GAP) * (len(columns) - 1)
    while sum(widths) > room:
        free = [place for place in range(len(widths)) if widths[place] > max(floors[place], cells[place])]
        free = free or [place for place in range(len(widths)) if widths[place] > floors[place]]
        if not free:
            return None
        widest = max(free, key=lambda place: widths[place])
        widths[widest] -= 1
    return widths


def _on_their_numbers(table: Table, rows: list[list[str]]) -> None:
    """Pad the figures of a column of figures so that their numbers end one below the other."""
    plain = [cells for cells, row in zip(rows, table.rows, strict=True) if not row.stop]
    for place in range(len(table.columns)):
        cells = [row.cells[place] for row in table.rows if not row.stop]
        if all(map(_is_figure, cells)):
            longest = max((len(line[place].split(GLUE)[0]) for line in plain), default=0)
            for line in plain:
                number, glue, rest = line[place].partition(GLUE)
                line[place] = number.rjust(longest, GLUE) + glue + rest


def _is_figure(cell: Runs) -> bool:
    return bool(cell) and isinstance(cell[0], Value) and all(isinstance(run, Was) for run in cell[1:])


def _aligned(cells: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    parts = [
        wrap(cell, space, break_on_hyphens=False) or [""] for cell, space in zip(cells, widths, strict=True)
    ]
    for line in range(max(map(len, parts))):
        texts = [part[line] if line < len(part) else "" for part in parts]
        yield _GAP.join(text.ljust(space) for text, space in zip(texts, widths, strict=True))


def _stop(cells: Sequence[str], width: int) -> Iterator[str]:
    yield from wrap(" ".join(cells), width, initial_indent="*** ", subsequent_indent="*** ")


def _in_words(table: Table, heads: Sequence[str], rows: Sequence[Sequence[str]], width: int) -> Iterator[str]:
    for cells, row in zip(rows, table.rows, strict=True):
        if row.stop:
            yield from _stop(cells, width)
            continue
        yield from wrap(f"{heads[0]}: {cells[0]}", width, subsequent_indent="    ")
        for head, cell in zip(heads[1:], cells[1:], strict=True):
            yield from wrap(f"{head}: {cell}", width, initial_indent="  ", subsequent_indent="    ")
