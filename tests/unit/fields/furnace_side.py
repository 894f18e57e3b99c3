"""Shared by the tests of the furnace's side: its fields, and a small book that an engine works out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from meltbook.fields import FURNACE_CHAPTERS, BookContext, collect, pot_life
from meltbook.fields.kernel import Item, Vocabulary
from meltbook.sheets.kernel import Fields, Rows, Sheet
from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio
from meltbook.workbook.address import cell_address
from meltbook.workbook.placement import Placement
from meltbook.workbook.write import BookOptions, write_book
from tests.engines.runners import Engine, Value, Values, recalculate_one

SMALL = Capacity(log=16, tariffs=5, ledger=6, campaigns=4)


def vocabulary(capacity: Capacity = SMALL) -> Vocabulary:
    """The fields of the furnace's side, but for the lives of pots: these read the decisions, the last chapter."""
    found = collect(FURNACE_CHAPTERS, BookContext("lb", "USD", 2, capacity))
    lives = {item.name for item in pot_life.ledger_columns()}
    tables = (
        replace(table, columns=tuple(item for item in table.columns if item.name not in lives))
        for table in found.tables.values()
    )
    return Vocabulary.of(found.scalars.values(), tables)


def items(fields: Vocabulary) -> tuple[Item, ...]:
    return (*fields.scalars.values(), *(item for _, item in fields.columns.values()))


def sheets(fields: Vocabulary) -> tuple[Sheet, ...]:
    """Single figures on one sheet, and one sheet for each table."""
    singles = Sheet("singles", "Singles", "Singles", "Every single figure.", (Fields("All", tuple(fields.scalars)),))
    tables = (
        Sheet(
            table.name,
            f"Rows of {table.name}"[:31],
            table.label,
            "Every column.",
            (Rows("All", table.name, tuple(item.name for item in table.columns)),),
        )
        for table in fields.tables.values()
    )
    return (singles, *tables)


@dataclass(frozen=True, slots=True)
class Worked:
    """A book and what an engine made of it."""

    placement: Placement
    values: Values

    def figure(self, name: str) -> Value:
        spot = self.placement.scalars[name]
        return self.values.get((spot.sheet, cell_address(spot.row, spot.col)))

    def column(self, name: str) -> list[Value]:
        spot = self.placement.columns[name]
        return [self.values.get((spot.sheet, cell_address(spot.first + row, spot.col))) for row in range(spot.rows)]

    def end(self, name: str) -> Value:
        spot = self.placement.columns[name]
        return self.values.get((spot.sheet, cell_address(spot.bottom, spot.col)))


def work_out(studio: Studio, engine: Engine, folder: Path) -> Worked:
    fields = vocabulary()
    path = folder / "book.xlsx"
    placement = write_book(path, fields, sheets(fields), studio, None, BookOptions(complete=False))
    return Worked(placement, recalculate_one(engine, path, folder / "work"))
