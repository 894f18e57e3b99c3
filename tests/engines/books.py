"""Books to compare: written, their stored values poisoned, and what every formula cell must show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from meltbook.method.results import Value
from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio
from meltbook.workbook.book import book_parts, make_book
from meltbook.workbook.expected import expected_value
from meltbook.workbook.formulas import iter_formulas
from tests.engines.runners import Engine, assert_agrees, poison


@dataclass(frozen=True, slots=True)
class PoisonedBook:
    """A book in which every stored value is wrong, and what it must show once it is calculated."""

    path: Path
    expected: Mapping[tuple[str, str], Value]


def expected_cells(studio: Studio, capacity: Capacity) -> dict[tuple[str, str], Value]:
    """The value of every formula cell. A cell without one is an error of the project, not of the studio."""
    parts = book_parts(studio, capacity)
    return {
        (cell.sheet, cell.cell): expected_value(parts.results, cell.name, cell.row)
        for cell in iter_formulas(parts.vocabulary, parts.placement)
    }


def poisoned(studio: Studio, capacity: Capacity, path: Path) -> PoisonedBook:
    """Write the studio's book to ``path`` and spoil every stored value in it."""
    clean = path.with_suffix(".clean.xlsx")
    make_book(studio, clean, capacity=capacity)
    expected = expected_cells(studio, capacity)
    assert poison(clean, path) == len(expected), "a formula cell has no reference value, or the other way round"
    clean.unlink()
    return PoisonedBook(path, expected)


def assert_all_agree(engine: Engine, books: Sequence[PoisonedBook], workdir: Path) -> None:
    """Calculate the books, all in one run of the engine, and compare every formula cell of each."""
    shown = engine.recalculate([book.path for book in books], workdir)
    for book in books:
        assert_agrees(engine.name, book.expected, shown[book.path])
