"""The geometry of a sheet: what stands in which rows and columns, counted from 0.

Filled by ``meltbook.workbook.columns`` and ``meltbook.workbook.layout``, drawn by ``meltbook.workbook.draw``.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TypeAlias

from meltbook.fields.kernel import Table
from meltbook.sheets.kernel import Key, Picture, Rows, Sheet
from meltbook.workbook.widths import FILLER

FIRST = 1
"""The first column after the margin."""


Cells: TypeAlias = tuple[int, int, int, int]
"""A range: first row, first column, last row, last column."""


@dataclass(frozen=True, slots=True)
class State:
    """Cells that are tinted by the state that they say: of one check each, or of all in one sentence.

    ``of_sheet`` is the line at the top of each sheet, whose text runs on over other cells: only its ink
    changes. ``of_step`` is what a student is told about a step.
    """

    cells: Cells
    of_all: bool = False
    of_sheet: bool = False
    of_step: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """A line of text in a cell, in one of the manners of ``meltbook.workbook.style``."""

    row: int
    col: int
    text: str
    manner: str


@dataclass(frozen=True, slots=True)
class ScalarCell:
    """A single figure in its cell. A sentence, or a heading, may run on over the empty cells to its right.

    ``wraps`` breaks a text into the lines of its own cell.
    """

    name: str
    row: int
    col: int
    sentence: bool = False
    heading: bool = False
    wraps: bool = False


@dataclass(frozen=True, slots=True)
class RowsBox:
    """A block of table columns. ``columns`` and ``workings`` are names with their sheet columns."""

    block: Rows
    table: Table
    header: int
    first: int
    rows: int
    columns: tuple[tuple[str, int], ...]
    workings: tuple[tuple[str, int], ...]

    @property
    def seed(self) -> int | None:
        """The seed row, if the table has one."""
        return self.first - 1 if self.table.seeded else None

    @property
    def end(self) -> int | None:
        """The end row, if the table has one."""
        return self.first + self.rows if self.table.grows else None

    @property
    def last(self) -> int:
        """The last row of the block."""
        return self.first + self.rows - 1 + self.table.grows


@dataclass(frozen=True, slots=True)
class PictureBox:
    """A chart's top left cell and its size in pixels."""

    block: Picture
    row: int
    col: int
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class Ruled:
    """A row of cells with a thin line below, from one column to another."""

    row: int
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Head:
    """A heading cell of a grid or of the list of sheets."""

    row: int
    col: int
    text: str
    align: str = "left"
    manner: str = "head"


@dataclass(slots=True)
class SheetLayout:
    """Everything about a sheet that is known before it is drawn."""

    sheet: Sheet
    widths: dict[int, float]
    printed: int
    workings: int
    label_end: int
    value: int
    note: int
    note_wraps: bool
    stepped: bool = False
    lines: list[Line] = field(default_factory=list)
    scalars: list[ScalarCell] = field(default_factory=list)
    tables: list[RowsBox] = field(default_factory=list)
    below: list[RowsBox] = field(default_factory=list)
    pictures: list[PictureBox] = field(default_factory=list)
    ruled: list[Ruled] = field(default_factory=list)
    heads: list[Head] = field(default_factory=list)
    links: list[tuple[int, Sheet]] = field(default_factory=list)
    purposes: int = FIRST + 2
    keys: list[tuple[int, Key]] = field(default_factory=list)
    heights: dict[int, int] = field(default_factory=dict)
    starts: list[int] = field(default_factory=list)
    bottom: int = 0

    def tall(self, row: int, height: int) -> int:
        """Note that a row is so many pixels high, for the page breaks; returns the height."""
        self.heights[row] = height
        return height

    @property
    def heading_col(self) -> int:
        """Headings stand in the margin, but on a sheet for the shop's customers the margin is not printed."""
        return FIRST if self.sheet.role == "print" else 0

    def width_over(self, first: int, last: int) -> float:
        """The width from one column to another, both included."""
        return sum(self.widths.get(col, FILLER) for col in range(first, last + 1))
