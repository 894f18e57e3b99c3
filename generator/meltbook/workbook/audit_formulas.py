"""Formulas that are no longer what the book was made with: typed over, changed or missing.

The expected text of every cell is built anew, from the declarations and from where the names say that the
cells are now. So a moved column or an inserted row changes nothing as long as the formulas moved with it.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import TypeVar

from meltbook.errors import DeclarationError, Problem
from meltbook.fields.kernel import Figure, Fixed, Input, Plain
from meltbook.sheets.kernel import STATE_PREFIX
from meltbook.studio.complaints import shown
from meltbook.workbook.a_one import same_formula
from meltbook.workbook.address import column_letters
from meltbook.workbook.cells import Cell, CellError
from meltbook.workbook.edited import EditedBook
from meltbook.workbook.formulas import Compiler, Template, state_formula
from meltbook.workbook.placement import ColumnSpot
from meltbook.workbook.plain_formulas import picked

T = TypeVar("T")

MADE_WITH_THE_BOOK = frozenset(
    {"log_rows_made", "book_version", "weight_unit", "energy_unit", "currency_code", "money_digits"}
)
"""Constants that differ from book to book, so that no declaration says what they should be."""

MOST = 0.5
"""A row of a table in which more than this part of the formulas is missing is told as one."""


@dataclass(frozen=True, slots=True)
class _Fault:
    kind: str
    found: str
    expected: str


def formula_problems(book: EditedBook) -> list[Problem]:
    """Every cell whose formula or fixed value is not as it was made."""
    compiler = Compiler(book.vocabulary, book.placement)
    problems = list(_single_cells(book, compiler))
    faults: dict[str, dict[int, _Fault]] = {}
    for name, spot in book.placement.columns.items():
        found = dict(_column(book, compiler, name, spot))
        if found:
            faults[name] = found
    bare = _bare_rows(book, faults)
    for (sheet, first_name), rows in bare.items():
        table = book.vocabulary.columns[first_name][0]
        for first, last in _runs(rows):
            problems.append(
                Problem(
                    sheet,
                    first + 1,
                    table.label,
                    f"no formulas{_through(first, last)}",
                    "the formulas of the table",
                    "A row was inserted: copy the formulas of a row further up over it and both its neighbours.",
                )
            )
    for name, found in faults.items():
        spot = book.placement.columns[name]
        rows = bare.get((spot.sheet, _block_of(book, name)), [])
        # The rows on both sides of an inserted one refer past it, to one another: that is the same fault.
        beside = {row + step for row in rows for step in (-1, 1)}
        told = {
            row: fault
            for row, fault in found.items()
            if row not in rows and not (row in beside and fault.kind == "changed")
        }
        problems.extend(_told(book, name, spot, told))
    return problems


def _single_cells(book: EditedBook, compiler: Compiler) -> Iterator[Problem]:
    state = state_formula(book.vocabulary)
    for name, spot in book.placement.scalars.items():
        item = book.vocabulary.scalars.get(name)
        cell = book.file.cell(spot.sheet, spot.row, spot.col)
        if name.startswith(STATE_PREFIX):
            fault = _against_formula(cell, state, spot.sheet)
        elif isinstance(item, Figure):
            fault = _against_formula(cell, _compiled(compiler.scalar, name), spot.sheet)
        elif isinstance(item, Fixed) and item.values and name not in MADE_WITH_THE_BOOK:
            fault = _against_value(cell, item.values[0])
        else:
            fault = None
        if fault is not None:
            yield book.problem(name, None, fault.found, fault.expected, _do(fault.kind, single=True))


def _column(book: EditedBook, compiler: Compiler, name: str, spot: ColumnSpot) -> Iterator[tuple[int, _Fault]]:
    """The faults of a column by sheet row."""
    item = book.vocabulary.columns[name][1]
    sheet = book.file.sheet(spot.sheet)
    if isinstance(item, Input):
        return
    if isinstance(item, Fixed):
        for index, value in enumerate(item.values[: spot.rows]):
            fault = _against_value(sheet.at(spot.first + index, spot.col), value)
            if fault is not None:
                yield spot.first + index, fault
        return
    made = _compiled(compiler.column, name)
    if made is None:
        return
    for index, expected in _unlike(book, spot, made):
        row = spot.first + index
        if sheet.formula(row, spot.col) == expected:
            continue
        fault = _against_formula(sheet.at(row, spot.col), expected, spot.sheet)
        if fault is not None:
            yield row, fault
    for row, there, edge in (
        (spot.top, spot.has_seed, compiler.seed),
        (spot.bottom, spot.has_end, compiler.end),
    ):
        stands = _compiled(edge, name) if there else None
        if stands is None:
            continue
        cell = sheet.at(row, spot.col)
        if isinstance(stands, str) and stands.startswith("="):
            fault = _against_formula(cell, stands[1:], spot.sheet)
        else:
            fault = _against_value(cell, stands)
        if fault is not None:
            yield row, fault


def _unlike(book: EditedBook, spot: ColumnSpot, made: Template | tuple[Template, ...]) -> Iterator[tuple[int, str]]:
    """The rows whose formula isn't spelt as the book spells it, and what it should be. Only they are looked at closely.

    A whole column is compared at once with what the file has for it, where the file is plainly spelt.
    """
    if isinstance(made, tuple):
        for index, template in enumerate(made[: spot.rows]):
            yield index, template.at(index)
        return
    expected = made.column(spot.rows)
    formulas = book.file.formulas(spot.sheet)
    spots = formulas and formulas.column(column_letters(spot.col).encode(), spot.first + 1, spot.rows)
    if formulas and spots and b"\n".join(picked(formulas.formulas, spots)) == _in_xml("\n".join(expected)):
        return
    yield from enumerate(expected)


def _in_xml(text: str) -> bytes:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").encode()


def _compiled(make: Callable[[str], T], name: str) -> T | None:
    """What the compiler makes, or nothing where a name that the formula needs is lost: that is told
    already.
    """
    try:
        return make(name)
    except DeclarationError:
        return None


def _against_formula(cell: Cell, expected: str | None, sheet: str) -> _Fault | None:
    if expected is None:
        return None
    if cell.formula is not None:
        if same_formula(cell.formula, expected, sheet):
            return None
        return _Fault("changed", f"={cell.formula}", f"={expected}")
    if cell.is_empty:
        return _Fault("missing", "no formula", f"={expected}")
    return _Fault("typed", f"{_value(cell)} in place of the formula", f"={expected}")


def _against_value(cell: Cell, expected: Plain) -> _Fault | None:
    value = cell.value
    if isinstance(expected, str):
        if (value or "") == expected:
            return None
    elif isinstance(value, float) and math.isclose(value, expected, rel_tol=1e-12):
        return None
    if cell.is_empty:
        return _Fault("missing", "an empty cell", str(expected))
    return _Fault("fixed", _value(cell) if cell.formula is None else f"={cell.formula}", str(expected))


def _value(cell: Cell) -> str:
    return str(cell.value) if isinstance(cell.value, CellError) else shown(cell.value)


def _do(kind: str, *, single: bool) -> str:
    source = "Undo it, or type the expected formula again."
    if kind == "fixed":
        return "It comes with the book and is not meant to be changed: set it back."
    return source if single else "Copy the formula from the row above, or undo what was typed."


def _block_of(book: EditedBook, name: str) -> str:
    """The first column that stands for all of this table on the same sheet and rows."""
    spot = book.placement.columns[name]
    table = book.vocabulary.columns[name][0]
    for item in table.columns:
        other = book.placement.columns.get(item.name)
        if other is not None and (other.sheet, other.first) == (spot.sheet, spot.first):
            return item.name
    return name


def _bare_rows(book: EditedBook, faults: dict[str, dict[int, _Fault]]) -> dict[tuple[str, str], list[int]]:
    """Rows of a table's block on a sheet that have hardly any of their formulas."""
    missing: dict[tuple[str, str], Counter[int]] = defaultdict(Counter)
    columns: Counter[tuple[str, str]] = Counter()
    for name, spot in book.placement.columns.items():
        if not isinstance(book.vocabulary.columns[name][1], Figure):
            continue
        block = (spot.sheet, _block_of(book, name))
        columns[block] += 1
        missing[block].update(row for row, fault in faults.get(name, {}).items() if fault.kind == "missing")
    found = {
        block: sorted(row for row, count in counts.items() if count > 1 and count > MOST * columns[block])
        for block, counts in missing.items()
    }
    return {block: rows for block, rows in found.items() if rows}


def _told(book: EditedBook, name: str, spot: ColumnSpot, faults: dict[int, _Fault]) -> Iterator[Problem]:
    by_kind: dict[str, list[int]] = defaultdict(list)
    for row, fault in faults.items():
        by_kind[fault.kind].append(row)
    for kind, rows in by_kind.items():
        for first, last in _runs(sorted(rows)):
            fault = faults[first]
            yield Problem(
                spot.sheet,
                first + 1,
                book.label(name),
                f"{fault.found}{_through(first, last)}",
                fault.expected,
                _do(kind, single=False),
            )


def _runs(rows: Iterable[int]) -> Iterator[tuple[int, int]]:
    """Rows that follow on one another, as first and last."""
    first = last = None
    for row in rows:
        if last is not None and row == last + 1:
            last = row
            continue
        if first is not None and last is not None:
            yield first, last
        first = last = row
    if first is not None and last is not None:
        yield first, last


def _through(first: int, last: int) -> str:
    return "" if first == last else f" (rows {first + 1} to {last + 1})"
