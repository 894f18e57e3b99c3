"""Books with one to six furnaces in other programs: every formula cell shows what the reference engine says."""

from __future__ import annotations

from pathlib import Path

import pytest

from meltbook.studio.furnaces import FURNACE_WORDS, MOST_FURNACES, MoreFurnace
from meltbook.studio.model import Studio
from meltbook.workbook.book import book_parts
from tests.engines.books import (
    PoisonedBook,
    assert_all_agree,
    assert_stored_right,
    expected_cells,
    formula_cells,
    poisoned,
    poisoned_all,
)
from tests.engines.runners import Engine, Formulas
from tests.strategies.furnaces import furnace_studio, rooms
from tests.strategies.machines import ROOM, machines_on_two_sources
from tests.strategies.studios import TINY

QUICK = ((2, 1, True), (3, 3, False))
"""Furnaces, seed, and whether some run on a second source."""
EACH = 3
"""So many studios of each number of furnaces are compared in the exhaustive run."""


def book(furnaces: int, seed: int, folder: Path, *, second: bool) -> PoisonedBook:
    studio = furnace_studio(seed, furnaces, second=second)
    path = folder / f"{furnaces}-{seed}.xlsx"
    return poisoned(f"{furnaces} furnaces, studio {seed}", studio, rooms(furnaces), path)


@pytest.mark.parametrize("furnaces", range(2, MOST_FURNACES + 1))
def test_each_formula_cell_has_a_reference_value(furnaces: int) -> None:
    parts = book_parts(furnace_studio(furnaces, furnaces), rooms(furnaces))
    expected = expected_cells(parts)
    assert len(expected) == len(formula_cells(parts)), "two figures stand in one cell"
    assert {sheet for sheet, _ in expected} == {one.name for one in parts.sheets}
    words = {name.rpartition("_")[2] for name in parts.vocabulary.scalars if name.startswith("price_line_own_")}
    assert words == set(FURNACE_WORDS[1:furnaces])


def test_two_and_three_furnaces(quick_engine: Engine, tmp_path: Path) -> None:
    books = [book(furnaces, seed, tmp_path, second=second) for furnaces, seed, second in QUICK]
    assert_stored_right(books)
    assert_all_agree(quick_engine, books, tmp_path)


def test_machines_on_two_sources(thorough_engine: Engine, tmp_path: Path) -> None:
    """Each machine and each bill reads its source; with one source there is nothing to choose."""
    books = poisoned_all(machines_on_two_sources(), ROOM, tmp_path)
    assert_stored_right(books)
    assert_all_agree(thorough_engine, books, tmp_path)


@pytest.mark.exhaustive
@pytest.mark.parametrize("furnaces", range(2, MOST_FURNACES + 1))
def test_up_to_six_furnaces(quick_engine: Engine, furnaces: int, tmp_path: Path) -> None:
    seeds = range(100 * furnaces, 100 * furnaces + EACH)
    books = [book(furnaces, seed, tmp_path, second=seed % 2 == 0) for seed in seeds]
    assert_all_agree(quick_engine, books, tmp_path)


@pytest.mark.exhaustive
def test_two_furnaces_in_a_slow_engine(formulas_engine: Formulas, tmp_path: Path) -> None:
    base = furnace_studio(7, 2, second=False)
    studio = base.model_copy(
        update={
            "pieces": base.pieces[: TINY.pieces],
            "log": base.log[: TINY.log],
            "glasses": base.glasses[: TINY.glasses],
            "overheads": base.overheads[: TINY.overheads],
            "tariffs": base.tariffs[: TINY.tariffs],
            "part_kinds": base.part_kinds[: TINY.part_kinds],
            "ledger": base.ledger[: TINY.ledger],
            "bills": base.bills[: TINY.bills],
            "machines": base.machines[: TINY.machines],
            "courses": base.courses[: TINY.courses],
            "more_furnaces": tuple(_short(more) for more in base.more_furnaces),
        }
    )
    assert_all_agree(formulas_engine, [poisoned("small", studio, TINY, tmp_path / "small.xlsx")], tmp_path)


def _short(more: MoreFurnace) -> MoreFurnace:
    tables = {"log": TINY.log, "part_kinds": TINY.part_kinds, "ledger": TINY.ledger}
    return more.model_copy(update={table: getattr(more, table)[:rows] for table, rows in tables.items()})


def test_a_book_of_one_furnace_has_nothing_of_several() -> None:
    """A studio without further furnaces has none of the sheets and none of the fields."""
    alone = book_parts(Studio(), TINY)
    assert "furnaces" not in alone.vocabulary.tables
    assert not [sheet.name for sheet in alone.sheets if sheet.name.endswith(" 2")]
