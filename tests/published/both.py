"""A studio worked out twice: by the reference engine, and by the workbook's own formulas in another program."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from meltbook.method.results import Results, Value
from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio
from meltbook.workbook.address import cell_address
from meltbook.workbook.book import book_parts, make_book
from meltbook.workbook.placement import Placement
from tests.engines.compare import same
from tests.engines.runners import Engine, Formualizer, poison
from tests.engines.values import Values

CAPACITY = Capacity(log=30, tariffs=4, ledger=4, part_kinds=3, glasses=2, overheads=3, pieces=4, campaigns=3)
ROOT = Path(__file__).parents[2]


@cache
def published() -> dict[str, dict[str, Any]]:
    """The project's published values, by id."""
    return _entries("published.toml", "value")


@cache
def units() -> dict[str, dict[str, Any]]:
    """The factors between units, by id."""
    return _entries("units.toml", "unit")


def given(name: str) -> Any:
    """What the source of a value starts from: a test poses the problem with these, and with nothing else."""
    return published()[name]["given"]


def answer(name: str) -> Any:
    """What the source says comes out."""
    return published()[name]["value"]


def factor(name: str) -> float:
    """A factor between units."""
    return float(units()[name]["value"])


def _entries(file: str, kind: str) -> dict[str, dict[str, Any]]:
    entries = tomllib.loads((ROOT / "shared" / file).read_text(encoding="utf-8"))[kind]
    by_id = {entry["id"]: entry for entry in entries}
    assert len(by_id) == len(entries), f"an id stands twice in {file}"
    return by_id


@dataclass(frozen=True, slots=True)
class Both:
    """Two answers to each question; they must agree before either is given."""

    results: Results
    placement: Placement
    shown: Values

    def value(self, name: str, row: int | None = None) -> Value:
        """A figure, or that of a row of a column (the first row is 1)."""
        reference = self.results.value(name, row)
        if row is None:
            spot = self.placement.scalars[name]
            key = (spot.sheet, cell_address(spot.row, spot.col))
        else:
            column = self.placement.columns[name]
            key = (column.sheet, cell_address(column.first + row - 1, column.col))
        assert same(reference, self.shown.get(key)), (
            f"{name}: {reference!r}, but the workbook shows {self.shown.get(key)!r}"
        )
        return reference

    def number(self, name: str, row: int | None = None) -> float:
        """The same, for a figure that must be a number."""
        value = self.value(name, row)
        assert isinstance(value, int | float), f"{name} is {value!r}"
        return float(value)


def both(folder: Path, **sections: Any) -> Both:
    """Work a studio out in both ways."""
    return all_both(folder, [Studio.model_validate(sections)])[0]


def all_both(
    folder: Path, studios: Sequence[Studio], engine: Engine | None = None, *, capacity: Capacity = CAPACITY
) -> list[Both]:
    """Work studios out in both ways, the workbooks in formualizer or in another program."""
    books = []
    for number, studio in enumerate(studios):
        clean, book = folder / f"clean-{number}.xlsx", folder / f"book-{number}.xlsx"
        make_book(studio, clean, capacity=capacity, overwrite=True)
        poison(clean, book)
        books.append(book)
    shown = (engine or Formualizer()).recalculate(books, folder)
    parts = [book_parts(studio, capacity) for studio in studios]
    return [Both(part.results, part.placement, shown[book]) for part, book in zip(parts, books, strict=True)]
