"""Values that formulas must have, known to the caller: cell by cell, or a whole column at a time.

A log of 10,000 rows has 600,000 results. They come from the reference engine as columns and are stored as columns;
to give each of them a name in between would take longer than all the rest.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from meltbook.workbook.address import column_letters
from meltbook.workbook.cells import CellError, CellValue

Known = Mapping[tuple[str, str], CellValue]
"""Values by sheet and cell, such as ``("Log", "C7")``. None is a blank."""

_CLOSE = 1e-9

BySheet = dict[str, dict[str, CellValue]]


class Run(NamedTuple):
    """The values of some cells below one another; the row, of the first of them, and the column count from 0."""

    sheet: str
    row: int
    col: int
    values: Sequence[float | int | str | None]

    @property
    def letters(self) -> str:
        """The column as a cell's name begins."""
        return column_letters(self.col)

    def cells(self) -> list[str]:
        """The names of the cells."""
        return [f"{self.letters}{row}" for row in range(self.row + 1, self.row + 1 + len(self.values))]


Runs = Sequence[Run]


def by_sheet(known: Known | Runs) -> BySheet:
    """The values by sheet, then by cell."""
    found: BySheet = {}
    if isinstance(known, Mapping):
        for (sheet, cell), value in known.items():
            found.setdefault(sheet, {})[cell] = value
        return found
    for run in known:
        found.setdefault(run.sheet, {}).update(zip(run.cells(), run.values, strict=True))
    return found


@dataclass(frozen=True, slots=True)
class Difference:
    """A cell in which the workbook and the caller disagree."""

    sheet: str
    cell: str
    expected: CellValue
    found: CellValue

    def __str__(self) -> str:
        return f"{self.sheet}!{self.cell}: {self.found!s}, expected {self.expected!s}"


def agree(one: CellValue, other: CellValue) -> bool:
    """Equal to nine digits; a blank and an empty text are the same."""
    if type(one) is float and type(other) is float:
        return math.isclose(one, other, rel_tol=_CLOSE, abs_tol=_CLOSE)
    one, other = (None if value == "" else value for value in (one, other))
    if isinstance(one, bool | str | CellError | None) or isinstance(other, bool | str | CellError | None):
        return type(one) is type(other) and one == other
    return math.isclose(one, other, rel_tol=_CLOSE, abs_tol=_CLOSE)
