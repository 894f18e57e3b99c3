"""From declared sheets to cells: which field stands where. Pure, and the same for the same declarations."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from meltbook.errors import DeclarationError
from meltbook.fields.kernel import Table, Vocabulary
from meltbook.sheets.kernel import Sheet
from meltbook.workbook.boxes import SheetLayout
from meltbook.workbook.formulas import STATE_SOURCE
from meltbook.workbook.layout import STATE_COL, STATE_ROW, lay_out_sheet
from meltbook.workbook.placement import ColumnSpot, Placement, Spot, unknown_name

__all__ = ["ColumnSpot", "Layout", "Placement", "Spot", "lay_out", "place", "prepared_rows"]


@dataclass(frozen=True, slots=True)
class Layout:
    """All sheets with their geometry, and where every field stands."""

    sheets: tuple[SheetLayout, ...]
    placement: Placement


def place(
    sheets: Sequence[Sheet],
    vocabulary: Vocabulary,
    capacities: Mapping[str, int] | None = None,
    *,
    complete: bool = True,
) -> Placement:
    """Where every field stands. ``complete=False`` lets fields be on no sheet, for parts of a book."""
    return lay_out(sheets, vocabulary, capacities, complete=complete).placement


def lay_out(
    sheets: Sequence[Sheet],
    vocabulary: Vocabulary,
    capacities: Mapping[str, int] | None = None,
    *,
    complete: bool = True,
) -> Layout:
    """The geometry of all sheets. What stands nowhere, twice, or in a wrong table is a DeclarationError."""
    _distinct("key", [sheet.key for sheet in sheets])
    _distinct("name", [sheet.name.lower() for sheet in sheets])
    rows_of = prepared_rows(vocabulary, capacities or {})
    layouts = tuple(lay_out_sheet(sheet, vocabulary, rows_of, sheets) for sheet in sheets)
    scalars: dict[str, Spot] = {}
    columns: dict[str, ColumnSpot] = {}
    for layout in layouts:
        tab = layout.sheet.name
        for cell in layout.scalars:
            if cell.name not in vocabulary.scalars:
                raise unknown_name(cell.name, vocabulary.scalars, tab)
            _once(cell.name, scalars)
            scalars[cell.name] = Spot(tab, cell.row, cell.col)
        for box in (*layout.tables, *layout.below):
            for name, col in (*box.columns, *box.workings):
                owner = _belongs(name, box.table, vocabulary)
                _once(name, columns)
                columns[name] = ColumnSpot(tab, col, box.first, box.rows, owner.seeded, owner.grows)
    missing = [
        name for name in (*vocabulary.scalars, *vocabulary.columns) if name not in scalars and name not in columns
    ]
    if missing and complete:
        raise DeclarationError(f"on no sheet: {', '.join(missing)}")
    if STATE_SOURCE in scalars:
        for layout in layouts:
            scalars[layout.sheet.state_name] = Spot(layout.sheet.name, STATE_ROW, STATE_COL)
    return Layout(layouts, Placement(scalars, columns))


def prepared_rows(vocabulary: Vocabulary, capacities: Mapping[str, int]) -> dict[str, int]:
    """How many rows each table has: what it declares, or what the option of its capacity asks for."""
    rows = {name: capacities.get(table.capacity, table.rows) for name, table in vocabulary.tables.items()}
    for name, table in vocabulary.tables.items():
        if rows[name] < 1:
            raise DeclarationError(f"the table {name} needs at least one row")
        if table.aligned and rows.get(table.aligned, rows[name]) != rows[name]:
            raise DeclarationError(f"{name} is aligned with {table.aligned} but has another number of rows")
    return rows


def _distinct(what: str, values: Iterable[str]) -> None:
    seen: set[str] = set()
    for value in values:
        if value in seen:
            raise DeclarationError(f"two sheets have the {what} {value!r}")
        seen.add(value)


def _once(name: str, spots: Mapping[str, object]) -> None:
    if name in spots:
        raise DeclarationError(f"{name} stands on two places; a cell stands in exactly one")


def _belongs(name: str, table: Table, vocabulary: Vocabulary) -> Table:
    """The table that declares a column: the block's own, or one whose rows are the same things."""
    owner = vocabulary.columns[name][0]
    if (owner.aligned or owner.name) != (table.aligned or table.name):
        raise DeclarationError(f"{name} is a column of {owner.name}, whose rows are not those of {table.name}")
    if (owner.seeded and not table.seeded) or (owner.grows and not table.grows):
        raise DeclarationError(f"{name} needs a seed or end row, which the rows of {table.name} do not have")
    return owner
