"""Tables: ruled every row, the row's key again at the right, the head again on the next side."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from cardgen.deck.card import Column, Inline, Row, Runs, Table, Value, Was, Words, WriteIn
from cardgen.press.boxes import Box, CardColumn, Keep, stack
from cardgen.press.columns import evenly, shared, smallest_first
from cardgen.press.edition import LEAST_TYPE
from cardgen.press.lines import (
    DoesNotFitError,
    TypeLine,
    draw_line,
    draw_lines,
    lines_height,
    natural_widths,
    set_lines,
)
from cardgen.press.marks import Face, LineMark, Mark, Rect, RectMark, outlined
from cardgen.press.type import CAP_HEIGHT, width
from cardgen.press.type_runs import BOX_HEIGHT, Style, TypeRun, TypeSetting, plain, runs_of, was_runs

#: White above and below the words of a row, and beside them at least.
_PAD = 4.0


@dataclass(frozen=True)
class _Grid:
    """A table's columns once their widths are known."""

    columns: tuple[Column, ...]
    widths: tuple[float, ...]
    numeric: tuple[bool, ...]  # numbers alone, set at the right
    key_again: bool  # whether the last column is the row's key again
    tails: tuple[float, ...]  # widest part behind the decimal point, a column
    pad: float  # white at the left and the right of a cell

    @property
    def starts(self) -> tuple[float, ...]:
        places = [0.0]
        for wide in self.widths[:-1]:
            places.append(places[-1] + wide)
        return tuple(places)


def table_boxes(column: CardColumn, table: Table) -> tuple[Box, ...]:
    """Set a table as boxes: caption, head and first row, then one a row.

    Raises `DoesNotFitError` where the narrowest columns are wider than the column.
    """
    columns, rows = _with_key_again(table)
    grid = _grid(column, columns, rows, table)
    head = _head_box(column, grid)
    row_boxes = [_row_box(column, grid, row, index) for index, row in enumerate(rows, start=1)]
    top = [box for box in (_caption_box(column, table.caption), head) if box]
    space = column.edition.sizes.body * 0.7
    keeps = [_keep(rows, index) for index in range(len(rows))]
    first = stack([*top, *row_boxes[:1]], f'table "{table.caption}"', space, keeps[0] if keeps else "no")
    rest = [
        Box(f'table "{table.caption}", {box.name}', box.height, box.draw, 0.0, keep, again=head)
        for box, keep in zip(row_boxes[1:], keeps[1:], strict=True)
    ]
    return (first, *rest)


def _keep(rows: Sequence[Row], index: int) -> Keep:
    """Say how a row holds on to the next: a reason to stop never leaves the row before it."""
    if index + 1 == len(rows):
        return "no"
    return "always" if rows[index + 1].stop else "if it can"


def _with_key_again(table: Table) -> tuple[tuple[Column, ...], tuple[Row, ...]]:
    rows = tuple(
        row if row.stop else Row(tuple(map(_unit_once, row.cells, table.columns))) for row in table.rows
    )
    if not table.repeat_key:
        return table.columns, rows
    rows = tuple(row if row.stop else Row((*row.cells, row.cells[0])) for row in rows)
    return (*table.columns, table.columns[0]), rows


def _unit_once(cell: Runs, head: Column) -> Runs:
    """Leave a box's unit away where the head of its column says it."""
    return tuple(
        replace(item, unit="") if isinstance(item, WriteIn) and item.unit == head.unit else item
        for item in cell
    )


def _setting(column: CardColumn, strong: bool, any_strong: bool) -> TypeSetting:
    face: Face = "bold" if strong else "regular"
    number: Face = "bold" if strong or not any_strong else "regular"
    size = column.edition.sizes.table
    return TypeSetting(size, face, "black", number, column.edition.second_units, letter=False)


def _cell_runs(column: CardColumn, columns: Sequence[Column], index: int, cell: Runs) -> tuple[TypeRun, ...]:
    return runs_of(cell, _setting(column, columns[index].strong, any(other.strong for other in columns)))


def _is_number(cell: Runs) -> bool:
    if not cell or not isinstance(cell[0], Value) or cell[0].show != "number":
        return False
    return all(isinstance(run, Was) for run in cell[1:])


def _was_line(column: CardColumn, cell: Runs) -> TypeLine | None:
    """Set what a number was, for the line below it."""
    size = column.edition.sizes.table
    runs = [run for item in cell if isinstance(item, Was) for run in was_runs(item, TypeSetting(size))]
    return set_lines(runs, column.width, runs[0].style.size)[0] if runs else None


def _beside(column: CardColumn) -> float:
    """White beside the words of a cell: on a wall, words of two columns must not run together."""
    return max(_PAD, 0.27 * column.edition.sizes.table)


def _grid(column: CardColumn, columns: tuple[Column, ...], rows: tuple[Row, ...], table: Table) -> _Grid:
    pad = _beside(column)
    body = [row for row in rows if not row.stop]
    needs, wishes, heads, numeric, tails = [], [], [], [], []
    for index, head in enumerate(columns):
        cells = [row.cells[index] for row in body if index < len(row.cells)]
        numeric.append(bool(cells) and all(map(_is_number, cells)))
        parts = [part for cell in cells for part in (_apart(cell) if numeric[-1] else (cell,))]
        measured = [natural_widths(_cell_runs(column, columns, index, part)) for part in parts] or [(0.0, 0.0)]
        titles = [natural_widths(runs) for runs in _head_runs(column, head)]
        needs.append(max(need for need, _ in (*measured, *titles)) + 2 * pad)
        wishes.append(max(needs[-1], max(wish for _, wish in measured) + 2 * pad))
        heads.append(max(wishes[-1], max(wish for _, wish in titles) + 2 * pad))
        tails.append(
            max((_tail(column, columns, index, cell) for cell in cells if _is_number(cell)), default=0.0)
        )
    if (over := sum(needs) - column.width) > 1e-6:
        raise DoesNotFitError(f'table "{table.caption}" is wider than its column', over)
    ways = [shared(needs, wishes, heads, numeric, column.width, way) for way in (evenly, smallest_first)]
    # Words that wrap in one way may stand on fewer lines in the other.
    widths = ways[0]
    if ways[0] != ways[1]:
        widths = min(ways, key=lambda widths: _count_lines(column, columns, body, widths))
    return _Grid(columns, widths, tuple(numeric), table.repeat_key, tuple(tails), pad)


def _apart(cell: Runs) -> tuple[Runs, ...]:
    """Part a number from what it was, which stands on a line of its own."""
    return (cell[:1], cell[1:]) if cell[1:] else (cell,)


def _count_lines(
    column: CardColumn, columns: Sequence[Column], rows: Sequence[Row], widths: Sequence[float]
) -> tuple[int, int]:
    """Count the lines that the rows take with columns of these widths, and the lines in all cells."""
    counts = [
        [
            len(set_lines(_cell_runs(column, columns, index, cell), widths[index] - 2 * _beside(column), 1.0))
            for index, cell in enumerate(row.cells)
        ]
        for row in rows
    ]
    return sum(map(max, counts)), sum(map(sum, counts))


def _tail(column: CardColumn, columns: Sequence[Column], index: int, cell: Runs) -> float:
    run = _cell_runs(column, columns, index, cell[:1])[0]
    _, point, decimals = run.text.partition(".")
    return width(point + decimals, run.style.face, run.style.size)


def _head_runs(column: CardColumn, head: Column) -> tuple[tuple[TypeRun, ...], tuple[TypeRun, ...]]:
    size = column.edition.sizes.head
    letter = Style("regular", max(LEAST_TYPE, size * 0.75))
    unit = (*plain(head.unit, Style("regular", size)), *plain(head.origin, letter))
    return plain(head.head, Style("bold", size)), unit


def _caption_box(column: CardColumn, caption: str) -> Box | None:
    size = column.edition.sizes.body
    if not caption:
        return None
    lines = set_lines(plain(caption, Style("bold", size)), column.width, size)
    return Box("caption", lines_height(lines) + 2, lambda x, top: draw_lines(lines, x, top))


def _head_box(column: CardColumn, grid: _Grid) -> Box:
    size = column.edition.sizes.head
    cells = []
    for head, wide in zip(grid.columns, grid.widths, strict=True):
        name, unit = _head_runs(column, head)
        cells.append((*set_lines(name, wide - 2 * grid.pad, size), *set_lines(unit, wide - 2 * grid.pad, size)))
    height = max(lines_height(lines) for lines in cells) + _PAD

    def draw(x: float, top: float) -> Iterable[Mark]:
        yield LineMark(x, top, x + column.width, top, 1.5)
        for index, lines in enumerate(cells):
            low = top - height + lines_height(lines) + _PAD / 2
            for line in lines:
                yield from draw_lines([line], x + _place(grid, index, line), low)
                low -= line.height
        yield LineMark(x, top - height, x + column.width, top - height, 1.5)

    return Box("head", height, draw)


def _place(grid: _Grid, index: int, line: TypeLine) -> float:
    """Where a line starts: at the right of its column for numbers and a repeated key, else at the left."""
    start, wide = grid.starts[index], grid.widths[index]
    at_right = grid.numeric[index] or (grid.key_again and index == len(grid.columns) - 1)
    return start + wide - grid.pad - line.width if at_right else start + grid.pad


def _row_box(column: CardColumn, grid: _Grid, row: Row, number: int) -> Box:
    return _stop_row(column, row, number) if row.stop else _plain_row(column, grid, row, number)


def _stop_row(column: CardColumn, row: Row, number: int) -> Box:
    size = column.edition.sizes.table
    says: list[Inline] = []
    for cell in row.cells:
        says += [Words(" ")] * bool(says) + list(cell)
    runs = runs_of(says, TypeSetting(size, "bold", "white", second=column.edition.second_units, letter=False))
    lines = set_lines(runs, column.width - 4 * _PAD, size)
    height = lines_height(lines) + 2 * _PAD

    def draw(x: float, top: float) -> Iterable[Mark]:
        yield RectMark(Rect(x, top - height, x + column.width, top), fill="black")
        yield from draw_lines(lines, x + 2 * _PAD, top - _PAD)

    return Box(f"row {number}", height, draw)


def _plain_row(column: CardColumn, grid: _Grid, row: Row, number: int) -> Box:
    size = column.edition.sizes.table
    cells: list[tuple[TypeLine, ...] | None] = []
    for index, (cell, wide) in enumerate(zip(row.cells, grid.widths, strict=True)):
        if len(cell) == 1 and isinstance(cell[0], WriteIn) and not cell[0].unit:
            cells.append(None)
        else:
            shown = cell[:1] if grid.numeric[index] else cell
            cells.append(set_lines(_cell_runs(column, grid.columns, index, shown), wide - 2 * grid.pad, size))
    olds = [
        _was_line(column, cell) if numeric else None
        for cell, numeric in zip(row.cells, grid.numeric, strict=True)
    ]
    below = max((old.height for old in olds if old), default=0.0)
    height = max(BOX_HEIGHT if lines is None else lines_height(lines) + _PAD for lines in cells)

    def draw(x: float, top: float) -> Iterable[Mark]:
        for index, lines in enumerate(cells):
            left, wide = x + grid.starts[index], grid.widths[index]
            if lines is None:
                yield outlined(Rect(left, top - height - below, left + wide, top), 1.0)
            elif grid.numeric[index] and lines:
                (line,) = lines
                tail = _tail(column, grid.columns, index, row.cells[index])
                base = top - (height + CAP_HEIGHT * size) / 2
                yield from draw_line(line, left + wide - grid.pad - line.width - grid.tails[index] + tail, base)
                if old := olds[index]:
                    yield from draw_lines([old], left + wide - grid.pad - old.width, top - height + _PAD / 2)
            else:
                low = top - (height - lines_height(lines)) / 2
                for line in lines:
                    yield from draw_lines([line], x + _place(grid, index, line), low)
                    low -= line.height
        yield LineMark(x, top - height - below, x + column.width, top - height - below, 0.5)

    return Box(f"row {number}", height + below, draw)
