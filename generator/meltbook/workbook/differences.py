"""Where an edited workbook shows something else than the reference engine works out.

A workbook shows the values that the program stored when it was last saved. They differ from the reference
where a formula was changed or typed over, and where they are stale: written by a program that didn't
recalculate.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from meltbook.errors import StudioError
from meltbook.fields.kernel import Figure, Item
from meltbook.method import SheetFacts, compute
from meltbook.method.results import Results, Value
from meltbook.method.whose import say_how_they_stand
from meltbook.sheets.kernel import STATE_PREFIX
from meltbook.workbook.address import column_letters
from meltbook.workbook.cells import Cell, CellValue
from meltbook.workbook.edited import EditedBook
from meltbook.workbook.expected import expected_column, expected_value
from meltbook.workbook.formulas import RowIndex
from meltbook.workbook.known import Run
from meltbook.workbook.placement import ColumnSpot, Spot

CLOSE = 1e-9
"""Numbers that differ by less than this part of them are the same: another order of adding up explains it."""


BELOW_PREFIX = "log_below_"
"""Columns that watch the rows under the log: whatever is in them was typed outside the book's reach."""


def reference(book: EditedBook) -> Results:
    """What the reference engine works out for the studio in a book."""
    first, *more = (
        SheetFacts(rows_deleted=book.rows_deleted(place), rows_below=_below(book, end))
        for place, end in enumerate(book.ends())
    )
    facts = replace(first, more=tuple(more))
    try:
        results = compute(book.studio, book.capacity, facts=facts)
    except ArithmeticError as error:
        raise StudioError(
            f"{book.file.path.name} holds numbers that are too large to be worked out.",
            book.problems,
            hint="Look for a number with many digits too many.",
        ) from error
    # The log may have more or fewer rows by now than it was made with, and the book counts from the latter.
    for place, end in enumerate(book.ends()):
        used, made = results.scalars.get(f"log_rows_used{end}"), book.log_rows_made[place]
        if made != book.capacity.of_furnace(place).log and isinstance(used, int | float):
            results.scalars[f"log_rows_free{end}"] = made - used
            if "start_free" in results.columns:
                results.columns["start_free"][place] = made - used
    if "start_free" in results.columns:
        say_how_they_stand(results, book.studio.shop)
    return results


BELOW = ("log_below_date", "log_below_kind")
"""The columns under the log that the book itself keeps an eye on."""


def _below(book: EditedBook, end: str) -> int:
    """How much is typed under a furnace's log."""
    spots = {name: book.placement.columns.get(name + end) for name in BELOW}
    return sum(
        not book.cell(name + end, row).is_empty for name, spot in spots.items() if spot for row in range(spot.rows)
    )


@dataclass(frozen=True, slots=True)
class Difference:
    """A cell that shows something else than it should."""

    sheet: str
    cell: str
    field: str
    label: str
    shows: CellValue
    should_be: Value


@dataclass(slots=True)
class Comparison:
    """All differences, how many cells were compared, and how many formulas have no stored value."""

    differences: list[Difference] = field(default_factory=list)
    compared: int = 0
    absent: int = 0


def same_value(shows: CellValue, should_be: Value) -> bool:
    """Whether a cell shows what it should. Blank and empty text are the same, and so are capitals."""
    if shows is None or shows == "":
        return should_be is None or should_be == ""
    if isinstance(shows, float) and not isinstance(shows, bool):
        if isinstance(should_be, str):  # a name that is a number
            return should_be == f"{shows:.15g}"
        return should_be is not None and math.isclose(shows, should_be, rel_tol=CLOSE, abs_tol=CLOSE)
    if isinstance(shows, str) and isinstance(should_be, str):
        return shows.casefold() == should_be.casefold()
    return False


def compare(book: EditedBook, results: Results) -> Comparison:
    """Compare the stored value of every figure's cell with the reference."""
    comparison = Comparison()
    cells = list(figure_cells(book))
    if not any(cell.formula is not None and cell.value is not None for *_, cell in cells):
        # No formula shows anything: the file was saved by a program that doesn't calculate.
        comparison.absent = sum(cell.formula is not None for *_, cell in cells)
        return comparison
    for name, row, sheet, place, cell in cells:
        if not cell.stored:
            comparison.absent += 1
            continue
        comparison.compared += 1
        should_be = expected_value(results, name, row)
        if not same_value(cell.value, should_be):
            comparison.differences.append(Difference(sheet, place, name, book.label(name), cell.value, should_be))
    return comparison


def figure_cells(book: EditedBook) -> Iterator[tuple[str, RowIndex, str, str, Cell]]:
    """Every cell that works itself out: its field and row, its sheet and address now, and what is in it."""
    for name, spot, rows in _figures(book):
        sheet, letters = book.file.sheet(spot.sheet), column_letters(spot.col)
        for index, row in rows:
            yield name, index, spot.sheet, f"{letters}{row + 1}", sheet.at(row, spot.col)


def figure_values(book: EditedBook, results: Results) -> dict[tuple[str, str], Value]:
    """What every cell with a formula of the book's has to show, by its sheet and address now."""
    return {
        (run.sheet, cell): value
        for run in figure_runs(book, results)
        for cell, value in zip(run.cells(), run.values, strict=True)
    }


def figure_runs(book: EditedBook, results: Results) -> list[Run]:
    """The same, each column in one run."""
    found: list[Run] = []
    for name, spot, rows in _figures(book):
        inner = [row for index, row in rows if isinstance(index, int)]
        if inner:
            found.append(Run(spot.sheet, inner[0], spot.col, expected_column(results, name, len(inner))))
        found += (
            Run(spot.sheet, row, spot.col, [expected_value(results, name, index)])
            for index, row in rows
            if not isinstance(index, int)
            and not (isinstance(index, str) and _is_typed(book.vocabulary.columns[name][1], index))
        )
    return found


def _is_typed(item: Item, edge: str) -> bool:
    """Whether a plain value stands in the seed or end row of a column."""
    stands = getattr(item, edge)
    return not (isinstance(stands, str) and stands.startswith("="))


def _figures(book: EditedBook) -> Iterator[tuple[str, Spot | ColumnSpot, list[tuple[RowIndex, int]]]]:
    """Every figure, where it is now, and its rows, each by its index and its place on the sheet."""
    for name, spot in book.placement.scalars.items():
        if name.startswith(STATE_PREFIX) or isinstance(book.vocabulary.scalars.get(name), Figure):
            yield name, spot, [(None, spot.row)]
    for name, column in book.placement.columns.items():
        table, item = book.vocabulary.columns[name]
        if not isinstance(item, Figure):
            continue
        rows: list[tuple[RowIndex, int]] = [(row, column.first + row) for row in range(min(column.rows, table.rows))]
        if column.has_seed and item.seed is not None:
            rows.insert(0, ("seed", column.top))
        if column.has_end and item.end is not None:
            rows.append(("end", column.bottom))
        yield name, column, rows
