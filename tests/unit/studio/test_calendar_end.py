"""A log that runs past the last day of the calendar, in a studio file and in a workbook."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from meltbook.errors import StudioError
from meltbook.studio.load import parse_studio
from meltbook.studio.model import Studio
from meltbook.workbook.audit import audit
from meltbook.workbook.book import make_book
from meltbook.workbook.edited import read_book
from tests.strategies.studios import TINY
from tests.unit.workbook.edits import set_cells

WANTED = "a row that ends by 9999-12-31"


def log(*rows: str, table: str = "log") -> str:
    return "".join(f"[[{table}]]\n{row}\n" for row in rows)


def told(text: str) -> list[tuple[str, int | None, str, str, str]]:
    with pytest.raises(StudioError) as caught:
        parse_studio(text, "mine.toml")
    return [(one.sheet, one.row, one.column, one.found, one.expected) for one in caught.value.problems]


FIRST = 'date = 9999-12-30\nkind = "Charge"\ndays = 2'


def test_the_last_day_there_is_can_be_logged() -> None:
    found = parse_studio(log(FIRST), "mine.toml").studio
    assert found.log[0].days == 2


@pytest.mark.parametrize(
    ("rows", "row", "key", "value"),
    [
        ((FIRST.replace("days = 2", "days = 3"),), 1, "days", "3"),
        ((FIRST, 'kind = "Idle"\ndays = 30'), 2, "days", "30"),
        ((FIRST, "", 'kind = "Idle"', 'kind = "Idle"\ndays = 5'), 3, "date", "nothing"),
    ],
)
def test_the_first_row_past_it_is_told(rows: tuple[str, ...], row: int, key: str, value: str) -> None:
    assert told(log(*rows)) == [("log", row, key, value, WANTED)]


def test_a_further_furnaces_log_is_told_as_its_own() -> None:
    text = "[[more_furnaces]]\n" + log(FIRST, 'kind = "Idle"', table="more_furnaces.log")
    assert told(text) == [("furnace 2, log", 2, "date", "nothing", WANTED)]


def test_a_workbook_that_runs_past_it_is_told_and_read(tmp_path: Path) -> None:
    """The cells of a workbook take dates until 2199 and ten years a row: hundreds of rows may still get there."""
    room = replace(TINY, log=790)
    path = tmp_path / "far.xlsx"
    make_book(Studio(), path, capacity=room)
    edits: dict[tuple[str, str], float | str | bool | None] = {("Furnace log", "B10"): 109000.0}  # in 2198
    for row in range(10, 800):
        edits |= {("Furnace log", f"C{row}"): "Cold", ("Furnace log", f"D{row}"): 3660.0}
    found = audit(read_book(set_cells(path, tmp_path / "typed.xlsx", edits)))
    told = [(one.sheet, one.row, one.column, one.found) for one in found.problems if one.expected == WANTED]
    # from that day to the last one, number 2958465, there is room for 778 such rows
    assert told == [("Furnace log", 788, "Days", "3660")]
