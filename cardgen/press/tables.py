"""Tables: ruled every row, the row's key again at the right, the head again on the next side.

The numbers of a main table are read from afar and set large; its words are not.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from cardgen.deck.card import Column, Inline, Row, Runs, Table, Was, Words, WriteIn
from cardgen.press.boxes import Box, CardColumn, Keep, stack
from cardgen.press.lines import (
    TypeLine,
    draw_box,
    draw_line,
    draw_lines,
    lines_height,
    set_lines,
)
from cardgen.press.marks import LineMark, Mark, Rect, RectMark
from cardgen.press.stops import black_lines
from cardgen.press.table_grid import Grid, Setter, filling_box, grid_of, head_runs, is_number
from cardgen.press.type import CAP_HEIGHT, width
from cardgen.press.type_runs import Style, was_runs

#: White above and below the words of a row together.
_PAD = 4.0


def table_boxes(column: CardColumn, table: Table, far: float = 0.0) -> tuple[Box, ...]:
    """Set a table as boxes: caption, head and first row, then one a row; its numbers as large as ``far``.

    Raises `DoesNotFitError` where the narrowest columns are wider than the column.
    """
    columns, rows = _with_key_again(table)
    keys = tuple(row.cells[0] for row in rows if not row.stop)
    setter = Setter(column, far, any(head.strong for head in columns), columns[0], keys)
    grid = grid_of(setter, columns, rows, table)
    head = _head_box(grid)
    row_boxes = [_row_box(grid, row, index) for index, row in enumerate(rows, start=1)]
    top = [box for box in (_caption_box(column, table.caption), head) if box]
    space = column.sizes.body * 0.5
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


def _was_line(column: CardColumn, cell: Runs, size: float) -> TypeLine | None:
    """Set what a number was, for the line below it."""
    runs = [run for item in cell if isinstance(item, Was) for run in was_runs(item, column.setting(size))]
    return set_lines(runs, float("inf"), runs[0].style.size)[0] if runs else None


def _caption_box(column: CardColumn, caption: str) -> Box | None:
    size = column.sizes.body
    if not caption:
        return None
    lines = column.words(caption, column.width, Style("bold", size))
    return Box("caption", lines_height(lines) + 2, lambda x, top: draw_lines(lines, x, top))


def _head_box(grid: Grid) -> Box:
    column, pad = grid.setter.column, grid.setter.pad
    cells = []
    for head, wide in zip(grid.columns, grid.widths, strict=True):
        runs = head_runs(column, head)
        cells.append(
            tuple(line for part in runs for line in column.set(part, wide - 2 * pad, column.sizes.head))
        )
    groups = list(_groups(grid))
    over = max((lines_height(lines) + 3 for _, _, lines in groups), default=0.0)
    height = over + max(lines_height(lines) for lines in cells) + _PAD / 2

    def draw(x: float, top: float) -> Iterable[Mark]:
        yield LineMark(x, top, x + column.width, top, 1.2)
        for start, wide, lines in groups:
            yield from draw_lines(lines, x + start + (wide - lines[0].width) / 2, top - 1)
            yield LineMark(x + start + pad, top - over, x + start + wide - pad, top - over, 0.5)
        for index, lines in enumerate(cells):
            low = top - height + lines_height(lines) + _PAD / 4
            for line in lines:
                yield from draw_lines([line], x + _place(grid, index, line), low)
                low -= line.height
        yield LineMark(x, top - height, x + column.width, top - height, 1.2)

    return Box("head", height, draw)


def _groups(grid: Grid) -> Iterable[tuple[float, float, tuple[TypeLine, ...]]]:
    """Give the names of groups of columns, with where each begins and how wide it is."""
    column = grid.setter.column
    places = zip(grid.columns, grid.starts, grid.widths, strict=True)
    for name, members in groupby(places, key=lambda place: place[0].group):
        if name:
            found = list(members)
            wide = sum(each for _, _, each in found)
            yield found[0][1], wide, column.words(name, wide, Style("bold", column.sizes.head))


def _place(grid: Grid, index: int, line: TypeLine) -> float:
    """Where a line starts: in the middle over numbers, at the right for a repeated key, else at the left."""
    start, wide, pad = grid.starts[index], grid.widths[index], grid.setter.pad
    if grid.numbers[index]:
        return start + (wide - line.width) / 2
    at_right = grid.key_again and index == len(grid.columns) - 1
    return start + wide - pad - line.width if at_right else start + pad


def _row_box(grid: Grid, row: Row, number: int) -> Box:
    return _stop_row(grid, row, number) if row.stop else _plain_row(grid, row, number)


def _stop_row(grid: Grid, row: Row, number: int) -> Box:
    column = grid.setter.column
    says: list[Inline] = []
    for cell in row.cells:
        says += [Words(" ")] * bool(says) + list(cell)
    lines = black_lines(column, tuple(says), column.width - 4 * _PAD, column.sizes.stop_row)
    height = lines_height(lines) + 1.5 * _PAD

    def draw(x: float, top: float) -> Iterable[Mark]:
        yield RectMark(Rect(x, top - height, x + column.width, top), fill="black")
        yield from draw_lines(lines, x + 2 * _PAD, top - 0.75 * _PAD)

    return Box(f"row {number}", height, draw)


@dataclass(frozen=True)
class _Cell:
    """A cell that is set: its lines, what its number was, or the box that fills it."""

    lines: tuple[TypeLine, ...] = ()
    old: TypeLine | None = None
    box: WriteIn | None = None
    is_number: bool = False


def _cell(grid: Grid, index: int, cell: Runs) -> _Cell:
    setter = grid.setter
    if box := filling_box(cell):
        return _Cell(box=box)
    measure = grid.widths[index] - 2 * setter.pad
    if not (grid.numbers[index] and is_number(cell)):
        return _Cell(setter.lines(grid.columns[index], cell, measure))
    old = _was_line(setter.column, cell, setter.column.sizes.body)
    return _Cell(setter.lines(grid.columns[index], cell[:1], measure), old, is_number=True)


def _plain_row(grid: Grid, row: Row, number: int) -> Box:
    column = grid.setter.column
    cells = [_cell(grid, index, cell) for index, cell in enumerate(row.cells)]
    below = max((cell.old.height for cell in cells if cell.old), default=0.0)
    least = column.sizes.body * column.sizes.leading + _PAD
    boxed = least if all(cell.box is None or cell.box.is_tick for cell in cells) else max(least, column.write)
    pad = 1.0 if grid.setter.far else _PAD
    height = max([boxed, *(lines_height(cell.lines) + pad for cell in cells)])

    def draw(x: float, top: float) -> Iterable[Mark]:
        for index, cell in enumerate(cells):
            yield from _cell_marks(grid, index, cell, x, Rect(0, top - height, 0, top), below)
        low = top - height - below
        yield LineMark(x, low, x + column.width, low, 0.5)
        for rule in grid.rules:
            yield LineMark(x + rule, low, x + rule, top, 0.5)

    return Box(f"row {number}", height + below, draw)


def _cell_marks(grid: Grid, index: int, cell: _Cell, x: float, row: Rect, below: float) -> Iterable[Mark]:
    left, wide = x + grid.starts[index], grid.widths[index]
    height = row.y2 - row.y1
    if cell.box:
        tall = height + below if grid.setter.column.write or cell.box.is_tick else 0.0
        inset = 0.0 if tall else grid.setter.pad
        yield from draw_box(left + inset, left + wide - inset, row.y1 - below + (0 if tall else 4), tall)
    elif cell.is_number:
        (line,) = cell.lines
        number = line.pieces[0]
        whole = width(number.text.partition(".")[0], number.style.face, number.style.size)
        yield from draw_line(
            line, x + grid.point(index) - whole, row.y2 - (height + CAP_HEIGHT * line.size) / 2
        )
        if old := cell.old:
            yield from draw_lines([old], left + (wide - old.width) / 2, row.y1 + _PAD / 2)
    else:
        low = row.y2 - (height - lines_height(cell.lines)) / 2
        for line in cell.lines:
            yield from draw_lines([line], x + _place(grid, index, line), low)
            low -= line.height
