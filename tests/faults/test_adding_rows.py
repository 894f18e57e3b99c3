"""Rows added to the log as How it works says: nothing is lost, every check passes, every figure is right.

LibreOffice inserts and copies as its owner would. What it saves is then read by ``meltbook check`` and by ``meltbook
figures``, which works everything out apart and compares each cell.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from meltbook.cli import main
from tests.faults.book import ROOM, Cell, SoundBook, write_sound_book
from tests.faults.faults import WIDEST
from tests.faults.recalculate import Run, in_office

NEW, USED = 40, 8
"""So many rows are added, and so many of them are typed on."""
LAST = ROOM.log
FILLED = {"log_kind": "Idle", "log_days": 2.0, "log_note": "A day that must stay"}


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SoundBook]:
    yield write_sound_book(tmp_path_factory.mktemp("rows"))


def filled(book: SoundBook, rows: range) -> dict[Cell, float | str | None]:
    return {book.cell(f"{name}.{row}"): value for row in rows for name, value in FILLED.items()}


def as_told(book: SoundBook, save: Path) -> Run:
    """Three rows are left. Insert above the last; copy a whole empty row over the new ones and their neighbours."""
    last = book.cell(f"log_date.{LAST}")
    insert = [{"do": "insert", "sheet": last.sheet, "row": last.row}] * NEW
    good = last.row - 2
    copies = [
        {"do": "copy", "sheet": last.sheet, "area": [1, good, WIDEST, good], "to": [row, 1]}
        for row in range(last.row - 1, last.row + NEW + 1)
    ]
    before = filled(book, range(27, LAST - 2))
    then = filled(book, range(LAST - 2, LAST + USED))
    then[book.cell(f"log_reading.{LAST + USED - 1}")] = 4_000.0
    return Run(before, [*insert, *copies], then, save)


def test_rows_added_as_the_book_says(book: SoundBook, office: None, tmp_path: Path) -> None:
    saved = tmp_path / "longer.xlsx"
    (states,) = in_office(book, [as_told(book, saved)])
    wrong = {name: state for name, state in states.items() if state == "LOOK"}
    assert not wrong, wrong
    runner = CliRunner()
    checked = runner.invoke(main, ["check", str(saved)])
    assert checked.exit_code == 0, checked.output
    figures = runner.invoke(main, ["figures", str(saved)])
    assert figures.exit_code == 0, figures.output
    assert "agree" in figures.output
