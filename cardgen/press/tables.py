"""Tables: ruled every row, the row's key again at the right, the head again on the next side.

The numbers of a main table are read from afar and set large; its words are not.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from cardgen.deck.card import Column, Inline, Row, Runs, Table, Value, Was, Words, WriteIn
from cardgen.press.boxes import Box, CardColumn, Keep, stack
from cardgen.press.columns import evenly, shared, smallest_first
from cardgen.press.lines import (
    DoesNotFitError,
    TypeLine,
    draw_box,
    draw_line,
    draw_lines,
    lines_height,
    natural_widths,
    set_lines,
)
from cardgen.press.marks import Face, LineMark, Mark, Rect, RectMark
from cardgen.press.stops import black_lines
from cardgen.press.type import CAP_HEIGHT, width
from cardgen.press.type_runs import Style, TypeRun, box_width, plain, runs_of, was_runs

#: White above and below the words of a row together.
_PAD = 4.0
#: Distance of baselines in a row of large numbers, which never has two lines.
_NUMBER_LEADING = 1.06


@dataclass(frozen=True)
class _Grid:
    """A table's columns once their widths are known."""

    setter: _Setter
    columns: tuple[Column, ...]
    widths: tuple[float, ...]
    numbers: tuple[_Numbers | None, ...]  # of columns that mostly hold numbers
    key_again: bool  # whether the last column is the row's key again

    @property
    def starts(self) -> tuple[float, ...]:
        places = [0.0]
        for wide in self.widths[:-1]:
            places.append(places[-1] + wide)
        return tuple(places)

    @property
    def rules(self) -> tuple[float, ...]:
        """Where a vertical rule stands: between one group of columns and the next."""
        pairs = zip(self.columns, self.columns[1:], self.starts[1:], strict=False)
        return tuple(start for one, other, start in pairs if one.group != other.group)

    def point(self, index: int) -> float:
        """Where the decimal points of a column stand: its numbers together are in its middle."""
        numbers = self.numbers[index] or _Numbers(0.0, 0.0)
        return self.starts[index] + (self.widths[index] + numbers.whole - numbers.tail) / 2


@dataclass(frozen=True)
class _Numbers:
    """The widest part of a column's numbers before the decimal point, and behind it with the point."""

    whole: float
    tail: float


@dataclass(frozen=True)
class _Setter:
    """How cells are set: words in the column's type, numbers of a main table as large as ``far``.

    What stands in the first column, ``key``, is large where its cells, ``keys``, are numbers and no names.
    """

    column: CardColumn
    far: float
    any_strong: bool
    key: Column
    keys: tuple[Runs, ...]

    @property
    def pad(self) -> float:
        """White at the left and the right of a cell: words of two columns must not run together."""
        return max(3.0, 0.24 * self.column.sizes.body)

    def runs(self, head: Column, cell: Runs) -> tuple[TypeRun, ...]:
        face: Face = "bold" if head.strong else "regular"
        number: Face = "bold" if head.strong or not self.any_strong else "regular"
        base = self.column.setting(self.column.sizes.body, face)
        far = 0.0 if self.key is head and not all(map(_is_number, self.keys)) else self.far
        return runs_of(cell, base._replace(number=number, letter=False, far=far, even=True))

    def lines(self, head: Column, cell: Runs, measure: float) -> tuple[TypeLine, ...]:
        size, leading = self.column.sizes.body, self.column.sizes.leading
        return set_lines(self.runs(head, cell), measure, size, _NUMBER_LEADING if self.far else leading)

    def measure(self, head: Column, cell: Runs) -> tuple[float, float]:
        """Measure the least width of a cell and the one it would like; a box is no narrower than for a pen."""
        if box := _filling(cell):
            return box_width(box, 0.0), box_width(box, self.column.write)
        return natural_widths(self.runs(head, cell))

    def numbers(self, head: Column, cells: Sequence[Runs]) -> _Numbers | None:
        parts = [_halves(self.runs(head, cell[:1])[0]) for cell in cells if _is_number(cell)]
        if 2 * len(parts) <= len(cells):
            return None
        return _Numbers(max(whole for whole, _ in parts), max(tail for _, tail in parts))


def table_boxes(column: CardColumn, table: Table, far: float = 0.0) -> tuple[Box, ...]:
    """Set a table as boxes: caption, head and first row, then one a row; its numbers as large as ``far``.

    Raises `DoesNotFitError` where the narrowest columns are wider than the column.
    """
    columns, rows = _with_key_again(table)
    keys = tuple(row.cells[0] for row in rows if not row.stop)
    setter = _Setter(column, far, any(head.strong for head in columns), columns[0], keys)
    grid = _grid(setter, columns, rows, table)
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


def _filling(cell: Runs) -> WriteIn | None:
    """Find the box that fills a cell alone."""
    only = cell[0] if len(cell) == 1 else None
    return only if isinstance(only, WriteIn) and not only.unit else None


def _is_number(cell: Runs) -> bool:
    if not cell or not isinstance(cell[0], Value) or cell[0].show != "number":
        return False
    return all(isinstance(run, Was) for run in cell[1:])


def _was_line(column: CardColumn, cell: Runs, size: float) -> TypeLine | None:
    """Set what a number was, for the line below it."""
    runs = [run for item in cell if isinstance(item, Was) for run in was_runs(item, column.setting(size))]
    return set_lines(runs, float("inf"), runs[0].style.size)[0] if runs else None


def _halves(run: TypeRun) -> tuple[float, float]:
    """Measure a number before its decimal point, and from there on."""
    whole, point, decimals = run.text.partition(".")
    face, size = run.style.face, run.style.size
    return width(whole, face, size), width(point + decimals, face, size)


def _grid(setter: _Setter, columns: tuple[Column, ...], rows: tuple[Row, ...], table: Table) -> _Grid:
    pad, total = setter.pad, setter.column.width
    body = [row for row in rows if not row.stop]
    needs, wishes, heads, numbers = [], [], [], []
    for index, head in enumerate(columns):
        cells = [row.cells[index] for row in body]
        numbers.append(setter.numbers(head, cells))
        parts = [part for cell in cells for part in _apart(cell)]
        measured = [setter.measure(head, part) for part in parts] or [(0.0, 0.0)]
        if found := numbers[-1]:
            measured.append((found.whole + found.tail,) * 2)
        titles = [natural_widths(runs) for runs in _head_runs(setter.column, head)]
        needs.append(max(need for need, _ in (*measured, *titles)) + 2 * pad)
        wishes.append(max(needs[-1], max(wish for _, wish in measured) + 2 * pad))
        heads.append(max(wishes[-1], max(wish for _, wish in titles) + 2 * pad))
    if (over := sum(needs) - total) > 1e-6:
        raise DoesNotFitError(f'table "{table.caption}" is wider than its column', over)
    numeric = [found is not None for found in numbers]
    ways = [shared(needs, wishes, heads, numeric, total, way) for way in (evenly, smallest_first)]
    # Words that wrap in one way may stand on fewer lines in the other.
    widths = ways[0]
    if ways[0] != ways[1]:
        widths = min(ways, key=lambda widths: _count_lines(setter, columns, body, widths))
    return _Grid(setter, columns, widths, tuple(numbers), table.repeat_key)


def _apart(cell: Runs) -> tuple[Runs, ...]:
    """Part a number from what it was, which stands on a line of its own."""
    return (cell[:1], cell[1:]) if cell[1:] and _is_number(cell) else (cell,)


def _count_lines(
    setter: _Setter, columns: Sequence[Column], rows: Sequence[Row], widths: Sequence[float]
) -> tuple[int, int]:
    """Count the lines that the rows take with columns of these widths, and the lines in all cells."""
    counts = [
        [
            1 if _filling(cell) else len(setter.lines(head, cell, wide - 2 * setter.pad))
            for head, cell, wide in zip(columns, row.cells, widths, strict=True)
        ]
        for row in rows
    ]
    return sum(map(max, counts)), sum(map(sum, counts))


def _head_runs(column: CardColumn, head: Column) -> tuple[tuple[TypeRun, ...], tuple[TypeRun, ...]]:
    size = column.sizes.head
    letter = Style("regular", max(column.sizes.small, size * 0.75))
    unit = (*plain(head.unit, Style("regular", size)), *plain(head.origin, letter))
    return plain(head.head, Style("bold", size)), unit


def _caption_box(column: CardColumn, caption: str) -> Box | None:
    size = column.sizes.body
    if not caption:
        return None
    lines = column.words(caption, column.width, Style("bold", size))
    return Box("caption", lines_height(lines) + 2, lambda x, top: draw_lines(lines, x, top))


def _head_box(grid: _Grid) -> Box:
    column, pad = grid.setter.column, grid.setter.pad
    cells = []
    for head, wide in zip(grid.columns, grid.widths, strict=True):
        runs = _head_runs(column, head)
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


def _groups(grid: _Grid) -> Iterable[tuple[float, float, tuple[TypeLine, ...]]]:
    """Give the names of groups of columns, with where each begins and how wide it is."""
    column = grid.setter.column
    places = zip(grid.columns, grid.starts, grid.widths, strict=True)
    for name, members in groupby(places, key=lambda place: place[0].group):
        if name:
            found = list(members)
            wide = sum(each for _, _, each in found)
            yield found[0][1], wide, column.words(name, wide, Style("bold", column.sizes.head))


def _place(grid: _Grid, index: int, line: TypeLine) -> float:
    """Where a line starts: in the middle over numbers, at the right for a repeated key, else at the left."""
    start, wide, pad = grid.starts[index], grid.widths[index], grid.setter.pad
    if grid.numbers[index]:
        return start + (wide - line.width) / 2
    at_right = grid.key_again and index == len(grid.columns) - 1
    return start + wide - pad - line.width if at_right else start + pad


def _row_box(grid: _Grid, row: Row, number: int) -> Box:
    return _stop_row(grid, row, number) if row.stop else _plain_row(grid, row, number)


def _stop_row(grid: _Grid, row: Row, number: int) -> Box:
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


def _cell(grid: _Grid, index: int, cell: Runs) -> _Cell:
    setter = grid.setter
    if box := _filling(cell):
        return _Cell(box=box)
    measure = grid.widths[index] - 2 * setter.pad
    if not (grid.numbers[index] and _is_number(cell)):
        return _Cell(setter.lines(grid.columns[index], cell, measure))
    old = _was_line(setter.column, cell, setter.column.sizes.body)
    return _Cell(setter.lines(grid.columns[index], cell[:1], measure), old, is_number=True)


def _plain_row(grid: _Grid, row: Row, number: int) -> Box:
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


def _cell_marks(grid: _Grid, index: int, cell: _Cell, x: float, row: Rect, below: float) -> Iterable[Mark]:
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
