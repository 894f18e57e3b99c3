"""The workbook in other programs: every formula cell shows what the reference engine says."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from meltbook.studio.capacity import Capacity
from meltbook.studio.starts import load_start, start_names
from meltbook.workbook.book import make_book
from tests.engines.books import PoisonedBook, assert_all_agree, expected_cells, poisoned
from tests.engines.compare import compare, describe
from tests.engines.runners import Engine, Formulas, LibreOffice, recalculate_one
from tests.engines.values import read_values
from tests.strategies.studios import MANY_TARIFFS, SMALL, TINY, corpus
from tests.worked.cases import load_cases

BATCH = 25

Books = Callable[[], list[PoisonedBook]]


@pytest.fixture(scope="module")
def starts(tmp_path_factory: pytest.TempPathFactory) -> list[PoisonedBook]:
    folder = tmp_path_factory.mktemp("starts")
    return [poisoned(load_start(name).studio, Capacity(), folder / f"{name}.xlsx") for name in start_names()]


@pytest.fixture(scope="module")
def worked(tmp_path_factory: pytest.TempPathFactory) -> list[PoisonedBook]:
    folder = tmp_path_factory.mktemp("worked")
    return [poisoned(case.studio, case.capacity, folder / f"{case.name}.xlsx") for case in load_cases()]


@pytest.fixture(scope="module", params=["libreoffice", "gnumeric", "formualizer"])
def quick_engine(request: pytest.FixtureRequest) -> Iterator[Engine]:
    yield request.getfixturevalue(request.param)


def test_the_shipped_starts(quick_engine: Engine, starts: list[PoisonedBook], tmp_path: Path) -> None:
    assert_all_agree(quick_engine, starts, tmp_path)


def test_the_cases_worked_by_hand(quick_engine: Engine, worked: list[PoisonedBook], tmp_path: Path) -> None:
    """The reference meets the hand-worked values in tests/worked; here the programs meet the reference."""
    assert_all_agree(quick_engine, worked, tmp_path)


def test_a_few_generated_studios(quick_engine: Engine, tmp_path: Path) -> None:
    books = [poisoned(studio, SMALL, tmp_path / f"{at}.xlsx") for at, studio in enumerate(corpus(8))]
    assert_all_agree(quick_engine, books, tmp_path)


@pytest.mark.exhaustive
@pytest.mark.parametrize("batch", range(8))
def test_many_generated_studios(quick_engine: Engine, batch: int, tmp_path: Path) -> None:
    """200 studios; 25 of a batch at a time, so that a program starts once for all of them."""
    chosen = corpus(8 * BATCH)[batch * BATCH : (batch + 1) * BATCH]
    books = [poisoned(studio, SMALL, tmp_path / f"{at}.xlsx") for at, studio in enumerate(chosen)]
    assert_all_agree(quick_engine, books, tmp_path)


@pytest.mark.exhaustive
def test_many_tariffs(quick_engine: Engine, tmp_path: Path) -> None:
    chosen = [studio for studio in corpus(60, MANY_TARIFFS) if len(studio.tariffs) > 15][:8]
    assert len(chosen) >= 5
    books = [poisoned(studio, MANY_TARIFFS, tmp_path / f"{at}.xlsx") for at, studio in enumerate(chosen)]
    assert_all_agree(quick_engine, books, tmp_path)


@pytest.mark.exhaustive
def test_a_small_book_in_a_slow_engine(formulas_engine: Formulas, tmp_path: Path) -> None:
    studio = max(corpus(40, TINY), key=lambda one: len(one.log) + 3 * len(one.pieces) + len(one.ledger))
    assert_all_agree(formulas_engine, [poisoned(studio, TINY, tmp_path / "tiny.xlsx")], tmp_path)


@pytest.mark.exhaustive
def test_another_locale_shows_the_same(libreoffice: LibreOffice, starts: list[PoisonedBook], tmp_path: Path) -> None:
    """No formula depends on the locale, and no text holds a number that it would write differently."""
    german = LibreOffice(locale="de-DE")
    for book in starts:
        shown = recalculate_one(german, book.path, tmp_path)
        mismatches = compare(book.expected, shown, engine="LibreOffice de-DE")
        assert not mismatches, describe(mismatches)


def test_stored_values_are_right_as_written(tmp_path: Path) -> None:
    for name in start_names():
        studio, path = load_start(name).studio, tmp_path / f"{name}.xlsx"
        make_book(studio, path)
        mismatches = compare(expected_cells(studio, Capacity()), read_values(path), engine="as written")
        assert not mismatches, describe(mismatches)


@pytest.mark.exhaustive
def test_stored_values_are_right_in_a_log_of_ten_thousand_rows(tmp_path: Path) -> None:
    studio, capacity = load_start("lakeside-lb").studio, Capacity(log=10_000, campaigns=300)
    studio = studio.model_copy(update={"log": studio.log * 60})
    make_book(studio, tmp_path / "long.xlsx", capacity=capacity)
    mismatches = compare(expected_cells(studio, capacity), read_values(tmp_path / "long.xlsx"), engine="as written")
    assert not mismatches, describe(mismatches)
