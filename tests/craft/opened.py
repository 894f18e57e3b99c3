"""A written book, opened by a reader that knows nothing of how it was written, and what was declared for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.utils import get_column_letter

from meltbook.fields.kernel import Figure, Input, Item, Vocabulary
from meltbook.sheets import book_sheets
from meltbook.sheets.kernel import Fields, Role, Rows, Sheet
from meltbook.studio.capacity import Capacity
from meltbook.studio.starts import load_start
from meltbook.workbook.book import make_book, vocabulary_for
from meltbook.workbook.paper import Paper
from meltbook.workbook.placement import Placement

ROOM = Capacity(log=200)
"""Rows enough for the studios that come with the project, and quick to read."""
PIXEL_A_CHARACTER = 7


@dataclass(frozen=True)
class Opened:
    """The file as openpyxl reads it, beside its declarations."""

    path: Path
    paper: Paper
    vocabulary: Vocabulary
    placement: Placement
    sheets: tuple[Sheet, ...]
    currency: str
    weight: str
    energy: str

    @cached_property
    def file(self) -> Any:
        return openpyxl.load_workbook(self.path)

    @cached_property
    def values(self) -> Any:
        return openpyxl.load_workbook(self.path, data_only=True)

    def tabs(self) -> Iterator[tuple[Sheet, Any]]:
        """Each declared sheet with what is in the file."""
        for sheet in self.sheets:
            yield sheet, self.file[sheet.name]

    def items(self) -> Iterator[Item]:
        yield from self.vocabulary.scalars.values()
        yield from (item for _, item in self.vocabulary.columns.values())

    def inputs(self) -> Iterator[tuple[Input, Any, str, bool]]:
        """Each input, its tab, its cell (the first one of a column), and whether it is a column."""
        for item in self.items():
            if not isinstance(item, Input) or item.name in self.watched:
                continue
            scalar = self.placement.scalars.get(item.name)
            if scalar is not None:
                yield item, self.file[scalar.sheet], address(scalar.row, scalar.col), False
            else:
                column = self.placement.columns[item.name]
                yield item, self.file[column.sheet], address(column.first, column.col), True

    def shown_figures(self) -> Iterator[tuple[Figure, Any, str, bool]]:
        """Each figure beside a label or under a heading, workings apart, as ``inputs`` gives them."""
        for sheet, tab in self.tabs():
            for block in sheet.blocks:
                for name in block.names if isinstance(block, Fields) else ():
                    item, spot = self.vocabulary.scalars[name], self.placement.scalars[name]
                    if isinstance(item, Figure):
                        yield item, tab, address(spot.row, spot.col), False
                for name in block.columns if isinstance(block, Rows) else ():
                    item, column = self.vocabulary.columns[name][1], self.placement.columns[name]
                    if isinstance(item, Figure):
                        yield item, tab, address(column.first, column.col), True

    @cached_property
    def watched(self) -> frozenset[str]:
        """Columns of empty cells under the log: nothing belongs there, so they are no places to type."""
        below = (table for name, table in self.vocabulary.tables.items() if name.startswith("log_below"))
        return frozenset(item.name for table in below for item in table.columns)

    def roles(self) -> dict[str, Role]:
        return {sheet.name: sheet.role for sheet in self.sheets}


def address(row: int, col: int) -> str:
    """A cell by row and column counted from 0."""
    return f"{get_column_letter(col + 1)}{row + 1}"


def pixels(width: float) -> float:
    """A column's width on a screen. The file's width has the padding in it already."""
    return round(width * PIXEL_A_CHARACTER)


def open_book(start: str, paper: Paper, path: Path, room: Capacity = ROOM) -> Opened:
    """Write a start's book and open it."""
    studio = load_start(start).studio
    placement = make_book(studio, path, capacity=room, paper=paper, overwrite=True)
    return Opened(
        path,
        paper,
        vocabulary_for(studio, room),
        placement,
        tuple(book_sheets(vocabulary_for(studio, room))),
        studio.shop.currency,
        studio.shop.weight_unit,
        studio.shop.energy_unit,
    )
