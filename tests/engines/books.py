"""Books to compare: written, their stored values poisoned, and what every formula cell must show."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from meltbook.fields.kernel import Figure
from meltbook.method.results import Value
from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio
from meltbook.workbook.book import BookParts, book_parts, make_book
from meltbook.workbook.expected import expected_value
from meltbook.workbook.formulas import CellFormula, RowIndex, iter_formulas
from tests.engines.compare import compare, describe
from tests.engines.poison import poison, poison_left
from tests.engines.runners import Engine
from tests.engines.values import Values, read_values

Cell = tuple[str, str]
"""The name of a sheet, and of a cell on it."""


@dataclass(frozen=True, slots=True)
class PoisonedBook:
    """A book in which every stored value is wrong, and what it must show once it is calculated.

    ``stored`` is what the generator had put there before the values were spoiled.
    """

    title: str
    path: Path
    parts: BookParts
    expected: Mapping[Cell, Value]
    stored: Values

    def figures(self) -> dict[Cell, str]:
        """Which figure stands in which cell, for messages."""
        return {(one.sheet, one.cell): figure_title(one) for one in formula_cells(self.parts)}


def formula_cells(parts: BookParts) -> list[CellFormula]:
    """Every cell of the book that holds a formula."""
    return list(iter_formulas(parts.vocabulary, parts.placement))


def figure_title(cell: CellFormula) -> str:
    """A figure and its row, the first of which is 1."""
    if cell.row is None:
        return cell.name
    return f"{cell.name}.{cell.row + 1 if isinstance(cell.row, int) else cell.row}"


def expected_cells(parts: BookParts) -> dict[Cell, Value]:
    """The value of every formula cell. A cell for which there is none is a DeclarationError."""
    return {(one.sheet, one.cell): expected_value(parts.results, one.name, one.row) for one in formula_cells(parts)}


def homeless(parts: BookParts) -> list[str]:
    """The reference values that no formula cell shows.

    A seed or an end that is a plain number stands in a cell without a formula: it is at home if it is that number.
    """
    shown: set[tuple[str, RowIndex]] = {(one.name, one.row) for one in formula_cells(parts)}
    results, lost = parts.results, []
    lost += [name for name in results.scalars if (name, None) not in shown]
    for name, values in results.columns.items():
        lost += [f"{name}.{row + 1}" for row in range(len(values)) if (name, row) not in shown]
    for edge, found in (("seed", results.seeds), ("end", results.ends)):
        for name, value in found.items():
            item = parts.vocabulary.columns[name][1]
            declared = getattr(item, edge) if isinstance(item, Figure) else None
            if (name, edge) not in shown and declared != value:
                lost.append(f"{name}.{edge}")
    return lost


def poisoned(title: str, studio: Studio, capacity: Capacity, path: Path) -> PoisonedBook:
    """Write the studio's book to ``path`` and spoil every stored value in it."""
    clean = path.with_suffix(".clean.xlsx")
    make_book(studio, clean, capacity=capacity)
    parts, stored = book_parts(studio, capacity), read_values(clean)
    expected = expected_cells(parts)
    assert poison(clean, path) == len(expected), "a formula cell has no reference value, or the other way round"
    clean.unlink()
    return PoisonedBook(title, path, parts, expected, stored)


def poisoned_all(studios: Mapping[str, Studio], capacity: Capacity, folder: Path) -> list[PoisonedBook]:
    """The books of several studios, each named for the messages."""
    folder.mkdir(parents=True, exist_ok=True)
    return [
        poisoned(title, studio, capacity, folder / f"{at:03d}.xlsx")
        for at, (title, studio) in enumerate(studios.items())
    ]


def differences(engine: str, book: PoisonedBook, shown: Values) -> list[str]:
    """Where an engine shows something else than the reference, or a wrong value that was stored."""
    wrong = compare(book.expected, shown, engine=engine)
    stale = poison_left(shown)
    if not wrong and not stale:
        return []
    figures = book.figures()
    said = [f"{book.title}: {len(wrong)} of {len(book.expected)} cells differ, {len(stale)} stored values survive"]
    said += [f"  {figures[one.sheet, one.cell]}, {describe([one])}" for one in wrong[:12]]
    said += [f"  {sheet}!{cell} still shows what was stored" for sheet, cell in stale[:3]]
    return said


def assert_all_agree(engine: Engine, books: Sequence[PoisonedBook], workdir: Path) -> None:
    """Calculate the books, all in one run of the engine, and compare every formula cell of each."""
    shown = engine.recalculate([book.path for book in books], workdir)
    said = [line for book in books for line in differences(engine.name, book, shown[book.path])]
    assert not said, "\n".join([engine.name, *said])


def assert_stored_right(books: Sequence[PoisonedBook]) -> None:
    """What the generator stored beside each formula is what the reference says."""
    said = [line for book in books for line in differences("as written", book, book.stored)]
    assert not said, "\n".join(said)
