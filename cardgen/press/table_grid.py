"""The columns of a table: how wide they are, which of them hold numbers, and where those stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from cardgen.deck.card import Column, Row, Runs, Table, Value, Was, WriteIn
from cardgen.press.boxes import CardColumn
from cardgen.press.columns import evenly, shared, smallest_first
from cardgen.press.lines import (
    DoesNotFitError,
    TypeLine,
    natural_widths,
    set_lines,
)
from cardgen.press.marks import Face
from cardgen.press.type import width
from cardgen.press.type_runs import Style, TypeRun, box_width, plain, runs_of

#: Distance of baselines in a row of large numbers, which never has two lines.
_NUMBER_LEADING = 1.06


@dataclass(frozen=True)
class Grid:
    """A table's columns once their widths are known."""

    setter: Setter
    columns: tuple[Column, ...]
    widths: tuple[float, ...]
    numbers: tuple[Numbers | None, ...]  # of columns that mostly hold numbers
    key_again: bool  # whether the last column is the row's key again

    @property
    def starts(self) -> tuple[float, ...]:
        """Where each column begins."""
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
        numbers = self.numbers[index] or Numbers(0.0, 0.0)
        return self.starts[index] + (self.widths[index] + numbers.whole - numbers.tail) / 2


@dataclass(frozen=True)
class Numbers:
    """The widest part of a column's numbers before the decimal point, and behind it with the point."""

    whole: float
    tail: float


@dataclass(frozen=True)
class Setter:
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
        """Turn a cell of a column into runs of type."""
        face: Face = "bold" if head.strong else "regular"
        number: Face = "bold" if head.strong or not self.any_strong else "regular"
        base = self.column.setting(self.column.sizes.body, face)
        far = 0.0 if self.key is head and not all(map(is_number, self.keys)) else self.far
        return runs_of(cell, base._replace(number=number, letter=False, far=far, even=True))

    def lines(self, head: Column, cell: Runs, measure: float) -> tuple[TypeLine, ...]:
        """Set a cell of a column in lines."""
        return self.set(self.runs(head, cell), measure)

    def set(self, runs: Sequence[TypeRun], measure: float) -> tuple[TypeLine, ...]:
        """Set the runs of a cell in lines."""
        size, leading = self.column.sizes.body, self.column.sizes.leading
        return set_lines(runs, measure, size, _NUMBER_LEADING if self.far else leading)

    def measure(self, head: Column, cell: Runs) -> tuple[float, float]:
        """Measure the least width of a cell and the one it would like; a box is no narrower than for a pen."""
        if box := filling_box(cell):
            return box_width(box, 0.0), box_width(box, self.column.write)
        return natural_widths(self.runs(head, cell))

    def numbers(self, head: Column, cells: Sequence[Runs]) -> Numbers | None:
        """Measure the numbers of a column; nothing where most of its cells are words."""
        parts = [_halves(self.runs(head, cell[:1])[0]) for cell in cells if is_number(cell)]
        if 2 * len(parts) <= len(cells):
            return None
        return Numbers(max(whole for whole, _ in parts), max(tail for _, tail in parts))


def grid_of(setter: Setter, columns: tuple[Column, ...], rows: tuple[Row, ...], table: Table) -> Grid:
    """Find out how wide a table's columns are.

    Raises `DoesNotFitError` where the narrowest columns are wider than the place.
    """
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
        titles = [natural_widths(runs) for runs in head_runs(setter.column, head)]
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
        places = [list(zip(columns, row.cells, strict=True)) for row in body]
        cell_runs = [
            [None if filling_box(cell) else setter.runs(head, cell) for head, cell in row] for row in places
        ]
        widths = min(ways, key=lambda widths: _count_lines(setter, cell_runs, widths))
    return Grid(setter, columns, widths, tuple(numbers), table.repeat_key)


def _apart(cell: Runs) -> tuple[Runs, ...]:
    """Part a number from what it was, which stands on a line of its own."""
    return (cell[:1], cell[1:]) if cell[1:] and is_number(cell) else (cell,)


def _count_lines(
    setter: Setter, rows: Sequence[Sequence[Sequence[TypeRun] | None]], widths: Sequence[float]
) -> tuple[int, int]:
    """Count the lines that rows of cells take with columns of these widths, and the lines in all cells.

    A cell that is a box has no runs.
    """
    counts = [
        [
            1 if runs is None else len(setter.set(runs, wide - 2 * setter.pad))
            for runs, wide in zip(cells, widths, strict=True)
        ]
        for cells in rows
    ]
    return sum(map(max, counts)), sum(map(sum, counts))


def _halves(run: TypeRun) -> tuple[float, float]:
    """Measure a number before its decimal point, and from there on."""
    whole, point, decimals = run.text.partition(".")
    face, size = run.style.face, run.style.size
    return width(whole, face, size), width(point + decimals, face, size)


def is_number(cell: Runs) -> bool:
    """Whether a cell is a number alone, beside what it was."""
    if not cell or not isinstance(cell[0], Value) or cell[0].show != "number":
        return False
    return all(isinstance(run, Was) for run in cell[1:])


def filling_box(cell: Runs) -> WriteIn | None:
    """Find the box that fills a cell alone."""
    only = cell[0] if len(cell) == 1 else None
    return only if isinstance(only, WriteIn) and not only.unit else None


def head_runs(column: CardColumn, head: Column) -> tuple[tuple[TypeRun, ...], tuple[TypeRun, ...]]:
    """Give the words of a column's head, and the unit with the letter of its source."""
    size = column.sizes.head
    letter = Style("regular", max(column.sizes.small, size * 0.75))
    unit = (*plain(head.unit, Style("regular", size)), *plain(head.origin, letter))
    return plain(head.head, Style("bold", size)), unit
