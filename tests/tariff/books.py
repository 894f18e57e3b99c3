"""Books that a letter is laid over, what the command says of them, and what stands in their cells."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from meltbook.studio.capacity import Capacity
from meltbook.studio.letter import Letter
from meltbook.studio.model import Studio
from meltbook.studio.starts import load_start
from meltbook.workbook.address import cell_address
from meltbook.workbook.book import make_book
from meltbook.workbook.edited import EditedBook, read_book
from tests.unit.cli.run import run
from tests.unit.workbook import edits

ROOM = Capacity(log=200, tariffs=8, ledger=30, pieces=16, campaigns=12)
"""Room for the demonstration studios, and a little more."""

START, PRICE = "2027-01-01", "0.35"
"""A letter that makes harbour-kg retag, and that jumps for nobody."""

Cell = tuple[str, str]
Typed = float | str | None


def demo_studio(name: str, **update: Any) -> Studio:
    return load_start(name).studio.model_copy(update=update)


def demo_book(name: str, path: Path, **update: Any) -> Path:
    """A demonstration studio's workbook, as `meltbook new` writes it but for the room in it."""
    make_book(demo_studio(name, **update), path, capacity=ROOM)
    return path


def tariff(book: Path, *words: Any, code: int = 0) -> dict[str, Any]:
    """The document that the command prints."""
    result = run("tariff", book, *words, "--json")
    assert result.exit_code == code, result.output
    document: dict[str, Any] = json.loads(result.stdout)
    assert document["ok"] is (code == 0)
    assert document["exit_code"] == code
    return document


def refused(book: Path, *words: Any, code: int = 2) -> str:
    """What the command says when it refuses: the error, where, and what to do."""
    error = tariff(book, *words, code=code)
    problems = " ".join(" ".join(str(part) for part in problem.values()) for problem in error["problems"])
    return f"{error['error']['message']} {problems} {error['error']['hint']}"


def everything_in(folder: Path) -> dict[str, tuple[bytes, int]]:
    """Each file of a folder: its bytes and when it was last written."""
    return {path.name: (path.read_bytes(), path.stat().st_mtime_ns) for path in folder.iterdir()}


def place(book: EditedBook, name: str, row: int | None = None) -> Cell:
    """The sheet and cell of a field; ``row`` counts the data rows of a column from 1."""
    if row is None:
        spot = book.placement.scalars[name]
        return spot.sheet, cell_address(spot.row, spot.col)
    column = book.placement.columns[name]
    return column.sheet, cell_address(column.first + row - 1, column.col)


def typed_into(source: Path, target: Path, fields: dict[tuple[str, int | None], Typed]) -> Path:
    """The workbook with something else in these fields. Stored values are as old as they were."""
    book = read_book(source)
    return edits.set_cells(source, target, {place(book, *field): value for field, value in fields.items()})


def letter_typed(source: Path, target: Path, letter: Letter) -> Path:
    """The workbook with the letter typed on its sheet, as its owner would."""
    from meltbook.workbook.typed import typed_values

    values = typed_values(Studio(letter=letter)).scalars
    names = [name for name in values if name.startswith("letter_")]
    return typed_into(source, target, {(name, None): values[name] for name in names})
