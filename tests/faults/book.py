"""The sound book that faults are put into, and where its cells are."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from meltbook.fields.check_list import CHECKS
from meltbook.fields.kernel import Figure, Item
from meltbook.studio.capacity import Capacity
from meltbook.studio.load import load_studio
from meltbook.studio.model import Studio
from meltbook.workbook.book import BookParts, book_parts, make_book
from meltbook.workbook.formulas import CellFormula, iter_formulas

HERE = Path(__file__).parent
ROOM = Capacity(log=60, tariffs=6, ledger=12, part_kinds=6, glasses=4, overheads=8, pieces=8, campaigns=5)
"""As small as the demo studio allows, so that one recalculation takes a moment."""

CHECK_IDS = tuple(check.key for check in CHECKS)
Typed = float | str | None
"""What is put into a cell: a number, a text, or nothing."""


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell by its sheet and by its row and column, counted from 1."""

    sheet: str
    row: int
    column: int


@dataclass(frozen=True, slots=True)
class SoundBook:
    """A written book in which no check finds a fault."""

    path: Path
    parts: BookParts
    formulas: dict[Cell, CellFormula] = field(repr=False)

    def cell(self, place: str) -> Cell:
        """Where a field is: ``connected_kw`` or, in a table, ``log_weight.3``; also ``tariff_key.end``."""
        name, _, row = place.partition(".")
        if not row:
            spot = self.parts.placement.scalars[name]
            return Cell(spot.sheet, spot.row + 1, spot.col + 1)
        column = self.parts.placement.columns[name]
        index = {"seed": -1, "end": column.rows}.get(row)
        return Cell(column.sheet, column.first + (int(row) - 1 if index is None else index) + 1, column.col + 1)

    def figure(self, name: str) -> Item:
        """The declaration of a field."""
        vocabulary = self.parts.vocabulary
        return vocabulary.scalars[name] if name in vocabulary.scalars else vocabulary.columns[name][1]

    def formulas_of(self, name: str) -> list[tuple[Cell, CellFormula]]:
        """The formula cells of a figure, from top to bottom."""
        return [(cell, one) for cell, one in self.formulas.items() if one.name == name]

    def figures(self) -> list[str]:
        """The names of all figures, in the order of the vocabulary."""
        vocabulary = self.parts.vocabulary
        items = [*vocabulary.scalars.values(), *(item for _, item in vocabulary.columns.values())]
        return [item.name for item in items if isinstance(item, Figure)]

    def states(self) -> list[Cell]:
        """The cells that say how each check stands, in the order of ``CHECK_IDS``."""
        return [self.cell(f"check_state.{number}") for number in range(1, len(CHECK_IDS) + 1)]


def write_sound_book(folder: Path, *, machines: bool = False) -> SoundBook:
    """Write the demo studio's book; with ``machines`` its equipment is typed in detail."""
    path = folder / "sound.xlsx"
    make_book(_studio(machines), path, capacity=ROOM)
    parts = _parts(machines)
    by_cell = {_cell_of(one): one for one in iter_formulas(parts.vocabulary, parts.placement)}
    return SoundBook(path, parts, by_cell)


def _studio(machines: bool) -> Studio:
    studio = load_studio(HERE / "demo.toml").studio
    if not machines:
        return studio
    detail = tomllib.loads((HERE / "machines.toml").read_text(encoding="utf-8"))
    return Studio.model_validate(studio.model_dump() | detail)


@cache
def _parts(machines: bool) -> BookParts:
    return book_parts(_studio(machines), ROOM)


def _cell_of(formula: CellFormula) -> Cell:
    letters = formula.cell.rstrip("0123456789")
    column = 0
    for letter in letters:
        column = column * 26 + ord(letter) - ord("A") + 1
    return Cell(formula.sheet, int(formula.cell[len(letters) :]), column)
