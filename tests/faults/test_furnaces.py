"""A further furnace's formulas can't be typed over unseen either, and its checks catch its own faults."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from meltbook.fields.copies import FURNACE_CHECKS
from meltbook.studio.capacity import Capacity
from meltbook.studio.room import capacity_for
from meltbook.studio.starts import load_start
from meltbook.workbook.book import BookParts, book_parts, make_book
from meltbook.workbook.formulas import CellFormula, iter_formulas
from meltbook.workbook.sheet_xml import cell_place
from tests.engines.runners import Formualizer
from tests.faults.typed_over import another

START = "foundry-two-kg"
WATCHED = ("price_line_own_second", "happened_line_own_second", "price_line_own", "all_price_line_own")
QUICK = 9
"""The quick run types over one figure in so many."""

UNSEEN: set[str] = set()


class Book:
    """The foundry's book, worked out live."""

    def __init__(self, folder: Path) -> None:
        import formualizer

        studio = load_start(START).studio
        room: Capacity = capacity_for(studio, 130)[0]
        path = folder / "foundry.xlsx"
        make_book(studio, path, capacity=room)
        self.parts: BookParts = book_parts(studio, room)
        self.engine = formualizer.load_workbook(str(path), strategy="eager_all")
        self.engine.evaluate_all()
        self.cells: dict[tuple[str, Any], CellFormula] = {
            (cell.name, cell.row): cell for cell in iter_formulas(self.parts.vocabulary, self.parts.placement)
        }
        self.sound = self.watched()

    def place(self, name: str, row: int | None = None) -> tuple[str, int, int]:
        spots = self.parts.placement
        if row is None:
            spot = spots.scalars[name]
            return spot.sheet, spot.row + 1, spot.col + 1
        column = spots.columns[name]
        return column.sheet, column.first + row + 1, column.col + 1

    def watched(self) -> list[object]:
        """The figures that prices and the comparison of the furnaces hang on."""
        found = [self.engine.get_value(*self.place(name)) for name in WATCHED]
        found += [self.engine.get_value(*self.place("cost_good", row)) for row in range(10)]
        return found

    def looks(self) -> list[str]:
        """The checks that ask for a look, the second furnace's with its word behind them."""
        found = []
        for end in ("", "_second", "_fuel"):
            keys = self.parts.vocabulary.columns[f"check_id{end}"][1].values  # type: ignore[attr-defined]
            for row, key in enumerate(keys):
                if self.engine.get_value(*self.place(f"check_state{end}", row)) == "LOOK":
                    found.append(f"{key}{end}")
        return found

    def typed_over(self, cell: CellFormula) -> tuple[bool, list[str]]:
        """Whether a watched figure moves while another value stands in a cell, and the checks that look."""
        row, col = cell_place(cell.cell)
        place = (cell.sheet, row + 1, col + 1)
        before = self.engine.get_value(*place)
        self.engine.set_value(*place, another(before))
        self.engine.evaluate_all()
        moved, looks = self.watched() != self.sound, self.looks()
        self.engine.set_formula(*place, f"={cell.text}")
        self.engine.evaluate_all()
        return moved, looks


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory, formualizer: Formualizer) -> Book:
    return Book(tmp_path_factory.mktemp("foundry"))


def some_cells(book: Book, step: int) -> Iterator[CellFormula]:
    """One cell of each of the second furnace's figures: of a column one in which something stands."""
    names = dict.fromkeys(cell.name for cell in book.cells.values() if cell.name.endswith("_second"))
    for name in list(names)[::step]:
        rows = [row for one, row in book.cells if one == name and (row is None or isinstance(row, int))]
        filled = [row for row in rows if book.engine.get_value(*book.place(name, row)) not in (None, "", 0)]
        if rows:
            yield book.cells[name, (filled or rows)[len(filled or rows) // 3]]


def unseen(book: Book, step: int) -> set[str]:
    found = {cell.name: book.typed_over(cell) for cell in some_cells(book, step)}
    assert sum(moved for moved, _ in found.values()) * step > 60
    return {name for name, (moved, looks) in found.items() if moved and not looks}


def test_no_check_looks_in_the_sound_book(book: Book) -> None:
    assert book.looks() == []


def test_some_formulas_typed_over_are_seen(book: Book) -> None:
    assert unseen(book, QUICK) <= UNSEEN


@pytest.mark.exhaustive
def test_every_figure_typed_over_is_seen(book: Book) -> None:
    assert unseen(book, 1) <= UNSEEN


@pytest.mark.parametrize(
    ("name", "row", "value", "looks"),
    [
        ("log_kind_second", 3, "Charging", ["log_kinds_second"]),
        ("log_reading_second", 6, 1.0, ["readings_back_second"]),
        ("log_glass_second", 1, "Nobody's", ["glass_names_second"]),
        ("part_cost_second", 1, None, ["part_rows_second"]),
        ("furnace_purchase_second", None, "12,50", ["shop_numbers_second"]),
        ("pot_kind_second", None, "Crown", ["unknown_names_second"]),
        ("tariff_share_one_fuel", 0, 0.4, ["tariff_shares_fuel"]),
        ("piece_furnace", 2, "Nowhere", ["unknown_names"]),
        ("machine_source", 0, "Gas", ["unknown_names"]),
    ],
)
def test_a_fault_is_caught_by_the_check_of_its_furnace(
    book: Book, name: str, row: int | None, value: object, looks: list[str]
) -> None:
    place = book.place(name, row)
    before = book.engine.get_value(*place)
    book.engine.set_value(*place, value)
    book.engine.evaluate_all()
    found = book.looks()
    book.engine.set_value(*place, before)
    book.engine.evaluate_all()
    assert set(looks) <= set(found), found
    assert book.looks() == []


def test_the_checks_of_a_further_furnace_are_checks() -> None:
    assert len(set(FURNACE_CHECKS)) == len(FURNACE_CHECKS) == 28
