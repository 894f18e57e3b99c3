"""A demonstration book, made once for all tests of the commands."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from meltbook.workbook.edited import EditedBook, read_book
from tests.unit.cli.run import run
from tests.unit.workbook import edits

Value = float | str | bool | None
Typed = Callable[..., Path]


@pytest.fixture(scope="session")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The workbook of the first demonstration studio, as `meltbook new` writes it."""
    path = tmp_path_factory.mktemp("demo") / "demo.xlsx"
    result = run("new", path, "--from", "lakeside-lb", "--rows", "250")
    assert result.exit_code == 0, result.output
    return path


@pytest.fixture(scope="session")
def demo_read(demo: Path) -> EditedBook:
    return read_book(demo)


def address(book: EditedBook, name: str, row: int | None = None) -> tuple[str, str]:
    """Sheet and cell of a field; ``row`` is a data row counted from 1, 0 for the seed, -1 for the end row."""
    from meltbook.workbook.address import cell_address

    if row is None:
        spot = book.placement.scalars[name]
        return spot.sheet, cell_address(spot.row, spot.col)
    column = book.placement.columns[name]
    number = column.bottom if row == -1 else column.first + row - 1
    return column.sheet, cell_address(number, column.col)


@pytest.fixture
def typed(demo: Path, demo_read: EditedBook, tmp_path: Path) -> Typed:
    """Type values into fields of the demonstration book: ``typed(("log_weight", 1, 12.5), …)``."""

    def type_in(*changes: tuple[str, int | None, Value]) -> Path:
        cells = {address(demo_read, name, row): value for name, row, value in changes}
        return edits.set_cells(demo, tmp_path / "edited.xlsx", cells)

    return type_in
