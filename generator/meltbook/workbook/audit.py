"""Everything wrong with an edited workbook, collected in one reading."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from meltbook.errors import Problem, StudioError
from meltbook.fields.kernel import Fixed, Input, Table
from meltbook.studio.complaints import shown
from meltbook.workbook.audit_data import data_findings
from meltbook.workbook.audit_follow import sent_to_the_root
from meltbook.workbook.audit_formulas import formula_problems
from meltbook.workbook.audit_lists import unlisted_names
from meltbook.workbook.cells import Cell, CellError
from meltbook.workbook.differences import BELOW_PREFIX, figure_cells, reference
from meltbook.workbook.edited import EditedBook
from meltbook.workbook.placement import ColumnSpot

BELOW = 60
"""So many rows under the last prepared one are looked at for something typed."""


@dataclass(slots=True)
class Audit:
    """Problems are faults; notes only remind. A book with notes alone is fine."""

    problems: list[Problem] = field(default_factory=list)
    notes: list[Problem] = field(default_factory=list)
    begun: bool = True
    """Whether anything is typed by now that can be checked."""


def audit(book: EditedBook) -> Audit:
    """Look at names, typed cells, formulas, errors and data; what is found is told from the first sheet down."""
    found = _audit(book)
    tabs = {name: number for number, name in enumerate(book.file.sheet_names)}
    for problems in (found.problems, found.notes):
        problems.sort(key=lambda problem: (tabs.get(problem.sheet, -1), problem.row or 0))
    return found


def _audit(book: EditedBook) -> Audit:
    found = Audit(list(book.problems))
    found.problems.extend(unlisted_names(book))
    typed = list(found.problems)
    found.problems.extend(formula_problems(book))
    found.problems.extend(_errors(book))
    found.problems.extend(_below(book))
    found.problems.extend(_deleted(book))
    try:
        results = reference(book)
        data = data_findings(book, results)
    except StudioError as error:
        found.problems.append(Problem("", None, book.file.path.name, error.message, "figures", error.hint))
        return found
    said = {(problem.sheet, problem.row, problem.column) for problem in found.problems}
    left = [problem for problem in data.problems if (problem.sheet, problem.row, problem.column) not in said]
    found.problems.extend(sent_to_the_root(left, typed))
    found.notes.extend(data.notes)
    found.begun = results.scalars["checks_begun"] == 1
    return found


def _errors(book: EditedBook) -> Iterator[Problem]:
    """Error values, one sentence a sheet: an error spreads to all that reads it."""
    first: dict[str, tuple[str, str, CellError, int]] = {}
    count: dict[str, int] = {}
    for name, _, sheet, place, cell in figure_cells(book):
        if isinstance(cell.value, CellError):
            count[sheet] = count.get(sheet, 0) + 1
            row = int("".join(character for character in place if character.isdigit()))
            if sheet not in first or row < first[sheet][3]:
                first[sheet] = (name, place, cell.value, row)
    for sheet, (name, place, error, row) in first.items():
        more = f", and {count[sheet] - 1} more cells with errors" if count[sheet] > 1 else ""
        yield Problem(
            sheet,
            row,
            book.label(name),
            f"{error} in {place}{more}",
            "a value",
            "Correct the cells named above first; an error spreads to every cell that reads it.",
        )


def _below(book: EditedBook) -> Iterator[Problem]:
    """Rows typed under the last prepared one, and in the line that says so."""
    for table in book.vocabulary.tables.values():
        if not table.grows:
            continue
        inputs = [
            (item.name, book.placement.columns[item.name])
            for item in table.columns
            if isinstance(item, Input) and item.name in book.placement.columns
        ]
        seen: set[tuple[str, int]] = set()
        for name, spot in inputs:
            for row in range(spot.bottom, _last_looked_at(book, table, spot) + 1):
                cell = book.file.cell(spot.sheet, row, spot.col)
                if not _typed(cell, book, name) or (spot.sheet, row) in seen:
                    continue
                seen.add((spot.sheet, row))
                yield Problem(
                    spot.sheet,
                    row + 1,
                    book.label(name),
                    f"{shown(cell.value)} {'below' if row > spot.bottom else 'in'} the table's last line",
                    f"rows {spot.first + 1} to {spot.first + spot.rows}",
                    "Insert rows above that line, formulas and all, and move what is typed there into them.",
                )


def _typed(cell: Cell, book: EditedBook, name: str) -> bool:
    """Whether the owner typed this: a number or date, or one of the words that the column takes."""
    if isinstance(cell.value, str):
        item = book.item(name)
        return isinstance(item, Input) and cell.value in item.typed.choices
    return isinstance(cell.value, float)


def _last_looked_at(book: EditedBook, table: Table, spot: ColumnSpot) -> int:
    """The last row that belongs to nothing else on the sheet."""
    limit = spot.bottom + BELOW
    for other in book.placement.scalars.values():
        if other.sheet == spot.sheet and spot.bottom < other.row <= limit:
            limit = other.row - 1
    for name, column in book.placement.columns.items():
        if name.startswith(BELOW_PREFIX):
            continue
        if column.sheet == spot.sheet and spot.bottom < column.top <= limit:
            limit = column.top - 1
    return limit


def _deleted(book: EditedBook) -> Iterator[Problem]:
    """Rows of the log that are gone."""
    for place, end in enumerate(book.ends()):
        spot = book.placement.columns.get(f"log_kind{end}")
        item = book.vocabulary.scalars.get(f"log_rows_made{end}")
        if book.rows_deleted(place) > 0 and spot is not None and isinstance(item, Fixed):
            yield Problem(
                spot.sheet,
                None,
                item.label,
                f"{book.capacity.of_furnace(place).log} rows",
                f"{book.log_rows_made[place]} rows",
                "Rows of the log were deleted: undo that if something was in them, or insert as many again.",
            )
