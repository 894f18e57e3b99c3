"""The workbook in other programs: every formula cell shows what the reference engine says."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from benchmarks.studios import long_studio
from meltbook.errors import DeclarationError
from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio
from meltbook.studio.starts import load_start, start_names
from meltbook.workbook.book import book_parts, make_book
from tests.engines.books import (
    PoisonedBook,
    assert_all_agree,
    assert_stored_right,
    differences,
    expected_cells,
    formula_cells,
    homeless,
    poisoned_all,
)
from tests.engines.compare import compare, describe
from tests.engines.runners import Engine, Formulas, LibreOffice
from tests.engines.values import read_values
from tests.strategies.bills import BILLS, bill_studios, gas_studios
from tests.strategies.letters import LETTERS, letter_studios
from tests.strategies.machines import ROOM as MACHINES
from tests.strategies.machines import machine_studios
from tests.strategies.studios import MANY_TARIFFS, SMALL, TINY, corpus
from tests.strategies.ties import ties
from tests.worked.cases import CAPACITY, load_cases

SAMPLE = 12
"""Generated studios that are always compared."""
BATCH, BATCHES = 25, 9
"""Further ones: so many in one run of a program, and so many runs. With the sample they are 237."""


class Shelf:
    """Books that were written already, so that each engine gets the same ones."""

    def __init__(self, folder: Path) -> None:
        self.starts = cache(lambda: poisoned_all(_starts(), Capacity(), folder / "starts"))
        self.worked = cache(lambda: poisoned_all(_worked(), CAPACITY, folder / "worked"))
        self.small = cache(lambda: poisoned_all(_numbered(0, SAMPLE) | ties(), SMALL, folder / "small"))
        self.many_tariffs = cache(lambda: poisoned_all(_many_tariffs(), MANY_TARIFFS, folder / "tariffs"))
        self._folder = folder
        self._batch: tuple[int, list[PoisonedBook]] = (-1, [])

    def batch(self, number: int) -> list[PoisonedBook]:
        """One batch of generated studios. Only the last one is kept: they are large."""
        if self._batch[0] != number:
            chosen = _numbered(SAMPLE + number * BATCH, BATCH)
            self._batch = (number, poisoned_all(chosen, SMALL, self._folder / f"batch-{number}"))
        return self._batch[1]


def _numbered(start: int, count: int, capacity: Capacity = SMALL) -> dict[str, Studio]:
    return {f"generated {start + at}": studio for at, studio in enumerate(corpus(count, capacity, start))}


def _starts() -> dict[str, Studio]:
    return {name: load_start(name).studio for name in start_names()}


def _worked() -> dict[str, Studio]:
    return {case.name: case.studio for case in load_cases()}


def _many_tariffs() -> dict[str, Studio]:
    """The first studios with a long table of letters; one of them fills it."""
    longest = sorted(_numbered(0, 60, MANY_TARIFFS).items(), key=lambda item: -len(item[1].tariffs))
    return dict(longest[:8])


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Shelf:
    return Shelf(tmp_path_factory.mktemp("books"))


# ------------------------------------------------------------------------------- a value for every formula cell


ONE_FURNACE = [name for name in start_names() if not load_start(name).studio.more_furnaces]
"""With several, the reference has figures of each furnace's that the shop has once."""


@pytest.mark.parametrize("name", ONE_FURNACE)
def test_each_formula_cell_has_a_reference_value_and_each_reference_value_a_cell(name: str) -> None:
    parts = book_parts(load_start(name).studio, Capacity())
    expected = expected_cells(parts)
    assert len(expected) == len(formula_cells(parts)), "two figures stand in one cell"
    assert {sheet for sheet, _ in expected} == {one.name for one in parts.sheets}, "a sheet without its state line"
    assert homeless(parts) == []


def test_a_formula_cell_without_a_value_is_an_error() -> None:
    parts = book_parts(Studio(), SMALL)
    del parts.results.scalars["price_hot"]
    with pytest.raises(DeclarationError, match="price_hot"):
        expected_cells(parts)


def test_a_value_without_a_cell_is_seen() -> None:
    parts = book_parts(Studio(), SMALL)
    parts.results.put(price_of_nothing=1)
    parts.results.seeds["row_kind"] = 7
    parts.results.columns["row_kind"].append(0)
    assert homeless(parts) == ["price_of_nothing", f"row_kind.{SMALL.log + 1}", "row_kind.seed"]


# ------------------------------------------------------------------------------------- the books in other programs


def test_the_shipped_starts(quick_engine: Engine, shelf: Shelf, tmp_path: Path) -> None:
    assert_all_agree(quick_engine, shelf.starts(), tmp_path)


def test_the_cases_worked_by_hand(quick_engine: Engine, shelf: Shelf, tmp_path: Path) -> None:
    """Every cell as the reference has it; and what was worked out by hand, straight from the program."""
    shown = quick_engine.recalculate([book.path for book in shelf.worked()], tmp_path)
    said: list[str] = []
    for case, book in zip(load_cases(), shelf.worked(), strict=True):
        said += differences(quick_engine.name, book, shown[book.path])
        cells = {(one.name, one.row): (one.sheet, one.cell) for one in formula_cells(book.parts)}
        for expected in case.expected:
            cell = cells[expected.figure, None if expected.row is None else expected.row - 1]
            found = shown[book.path].get(cell)
            if not expected.met_by(found):
                said.append(f"{case.name}: {expected}; found {found!r}")
    assert not said, "\n".join(said)


def test_a_few_generated_studios_and_ties(quick_engine: Engine, shelf: Shelf, tmp_path: Path) -> None:
    assert_all_agree(quick_engine, shelf.small(), tmp_path)


def test_a_few_letters(quick_engine: Engine, tmp_path: Path) -> None:
    """Studios that sell, each with a letter: every figure of New tariff and of the retag list."""
    studios = {f"letter {at}": studio for at, studio in enumerate(letter_studios(4))}
    assert_all_agree(quick_engine, poisoned_all(studios, LETTERS, tmp_path), tmp_path)


def test_gas_and_bills(thorough_engine: Engine, tmp_path: Path) -> None:
    """Every unit that energy is billed in, and bills of every awkward kind."""
    assert_all_agree(thorough_engine, poisoned_all(gas_studios() | bill_studios(), BILLS, tmp_path), tmp_path)


def test_machines(thorough_engine: Engine, tmp_path: Path) -> None:
    """Machines of each way to run, alone and shared, on every price, with everything that can be missing."""
    assert_all_agree(thorough_engine, poisoned_all(machine_studios(), MACHINES, tmp_path), tmp_path)


@pytest.mark.exhaustive
def test_many_letters(quick_engine: Engine, tmp_path: Path) -> None:
    studios = {f"letter {at}": studio for at, studio in enumerate(letter_studios(30, 2))}
    assert_all_agree(quick_engine, poisoned_all(studios, LETTERS, tmp_path), tmp_path)


@pytest.mark.exhaustive
@pytest.mark.parametrize("number", range(BATCHES))
def test_many_generated_studios(number: int, quick_engine: Engine, shelf: Shelf, tmp_path: Path) -> None:
    assert_all_agree(quick_engine, shelf.batch(number), tmp_path)


@pytest.mark.exhaustive
def test_many_tariffs(quick_engine: Engine, shelf: Shelf, tmp_path: Path) -> None:
    assert max(len(studio.tariffs) for studio in _many_tariffs().values()) == MANY_TARIFFS.tariffs
    assert_all_agree(quick_engine, shelf.many_tariffs(), tmp_path)


@pytest.mark.exhaustive
def test_a_small_book_in_a_slow_engine(formulas_engine: Formulas, tmp_path: Path) -> None:
    """As small as the sheets allow, since each formula takes milliseconds there; all its pieces are on the list."""
    priced = {
        name: studio
        for name, studio in _numbered(0, 40, TINY).items()
        if book_parts(studio, TINY).results.value("list_count") == TINY.pieces
    }
    name, studio = next(iter(priced.items()))
    assert_all_agree(formulas_engine, poisoned_all({name: studio}, TINY, tmp_path / "books"), tmp_path)


@pytest.mark.exhaustive
def test_another_locale_shows_the_same(libreoffice: LibreOffice, shelf: Shelf, tmp_path: Path) -> None:
    """No formula depends on the locale, and no text holds a number that it would write differently."""
    assert_all_agree(LibreOffice(locale="de-DE"), [*shelf.starts(), *shelf.small()], tmp_path)


# ----------------------------------------------------------------------------------------------- stored values


def test_stored_values_are_right_as_written(shelf: Shelf) -> None:
    assert_stored_right([*shelf.starts(), *shelf.worked(), *shelf.small()])


@pytest.mark.exhaustive
def test_stored_values_are_right_in_a_log_of_ten_thousand_rows(tmp_path: Path) -> None:
    studio, capacity = long_studio(10_000)
    make_book(studio, tmp_path / "long.xlsx", capacity=capacity)
    expected = expected_cells(book_parts(studio, capacity))
    wrong = compare(expected, read_values(tmp_path / "long.xlsx"), engine="as written")
    assert not wrong, describe(wrong)
