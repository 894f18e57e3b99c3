"""A workbook in formualizer, which works it out anew whenever another letter is typed."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from meltbook.studio.furnaces import SOURCE_ENDS
from meltbook.studio.letter import Letter
from meltbook.studio.model import Studio
from meltbook.workbook.edited import read_book
from meltbook.workbook.sheet_xml import cell_place
from meltbook.workbook.typed import typed_values
from tests.tariff.books import Cell


class LiveSheet:
    """The book, as its owner has it open."""

    def __init__(self, path: Path) -> None:
        import formualizer

        self.book = read_book(path)
        self.engine = formualizer.load_workbook(str(path), strategy="eager_all")

    def type(self, letter: Letter, source: str = "First") -> None:
        """Type a letter of one of its sources on its sheet."""
        for name, value in typed_values(Studio(letter=letter)).scalars.items():
            if name.startswith("letter_"):
                spot = self.book.placement.scalars[f"{name}{SOURCE_ENDS[source]}"]
                self.engine.set_value(spot.sheet, spot.row + 1, spot.col + 1, value)

    def shown(self, cells: Iterable[Cell]) -> dict[Cell, Any]:
        """What cells show now."""
        self.engine.evaluate_all()
        found = {}
        for sheet, cell in cells:
            row, col = cell_place(cell)
            found[sheet, cell] = self.engine.get_value(sheet, row + 1, col + 1)
        return found
