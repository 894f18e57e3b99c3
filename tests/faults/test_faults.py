"""Each fault that is put into a sound book trips the checks that it should, and no other."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.engines.runners import Formualizer
from tests.faults.book import CHECK_IDS, SoundBook, write_sound_book
from tests.faults.faults import ALWAYS, Fault, faults
from tests.faults.recalculate import Live, Run, States, in_office, states_of_file

TABLE = tuple(faults())
CELLS = tuple(fault for fault in TABLE if not fault.moves_rows)
ROWS = tuple(fault for fault in TABLE if fault.moves_rows)
EVERY_NTH = 6
"""Of the faults of single cells, so many are left out in LibreOffice for each one tried, unless all are asked for."""


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> SoundBook:
    return write_sound_book(tmp_path_factory.mktemp("faults"))


@pytest.fixture(scope="module")
def live(book: SoundBook, formualizer: Formualizer) -> Iterator[Live]:
    yield Live(book)


def wrong(fault: Fault, engine: str, found: States) -> dict[str, str]:
    """The checks that say something else than they should."""
    expected = fault.expected(engine)
    return {name: f"{found[name]}, not {expected[name]}" for name in CHECK_IDS if found[name] != expected[name]}


def test_the_sound_book_has_one_note(live: Live) -> None:
    assert {name for name, state in live.states().items() if state != "OK"} == ALWAYS


def test_each_fault_is_told_apart() -> None:
    assert len({fault.what for fault in TABLE}) == len(TABLE)


def test_every_check_is_tripped_by_some_fault() -> None:
    tripped = {name for fault in TABLE for name in (*fault.told["look"], *fault.told.get("note", ()))}
    assert tripped | ALWAYS == set(CHECK_IDS)


@pytest.mark.parametrize("fault", CELLS, ids=lambda fault: fault.what)
def test_a_fault_in_cells(fault: Fault, live: Live) -> None:
    assert not wrong(fault, "formualizer", live.with_cells(fault.run(live.book).cells)[0])


def test_the_book_is_sound_again_after_all_faults(live: Live) -> None:
    for fault in CELLS[:EVERY_NTH]:
        live.with_cells(fault.run(live.book).cells)
    assert {name for name, state in live.states().items() if state != "OK"} == ALWAYS


def told(some: tuple[Fault, ...], book: SoundBook, folder: Path | None = None) -> dict[str, dict[str, str]]:
    """What goes wrong in LibreOffice, by fault; the edited workbooks are kept in a folder."""
    runs = [fault.run(book, folder and folder / f"{number}.xlsx") for number, fault in enumerate(some)]
    found = in_office(book, [Run({}), *runs])
    assert {name for name, state in found[0].items() if state != "OK"} == ALWAYS
    all_wrong = {fault.what: wrong(fault, "LibreOffice", states) for fault, states in zip(some, found[1:], strict=True)}
    return {what: differs for what, differs in all_wrong.items() if differs}


def test_faults_in_cells_in_libreoffice(book: SoundBook, office: None) -> None:
    assert not told(CELLS[::EVERY_NTH], book)


@pytest.mark.exhaustive
def test_all_faults_in_cells_in_libreoffice(book: SoundBook, office: None) -> None:
    assert not told(CELLS, book)


def test_rows_inserted_deleted_cut_and_sorted(book: SoundBook, office: None, tmp_path: Path) -> None:
    """LibreOffice moves the rows and recalculates; formualizer recalculates what it has saved."""
    assert not told(ROWS, book, tmp_path)
    found = {
        fault.what: wrong(fault, "formualizer", states_of_file(tmp_path / f"{number}.xlsx", book))
        for number, fault in enumerate(ROWS)
    }
    assert not {what: differs for what, differs in found.items() if differs}
