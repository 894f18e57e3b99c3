"""The written book calculates: engines that know nothing of this project find the reference values."""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path

import pytest
import xlsxwriter

from meltbook.fields.kernel import Vocabulary
from meltbook.sheets.kernel import Fields, Rows
from meltbook.workbook.expected import expected_value
from meltbook.workbook.formulas import Compiler, Template, iter_formulas
from meltbook.workbook.place import place
from meltbook.workbook.write import BookOptions, write_book
from tests.engines.compare import assert_agrees
from tests.engines.poison import poison
from tests.engines.runners import Engine, Formualizer, LibreOffice, recalculate_one
from tests.unit.workbook import sample


@pytest.mark.parametrize("rows", [sample.LOG_ROWS, 40])
def test_an_engine_finds_the_reference_values(engine: Engine, tmp_path: Path, rows: int) -> None:
    path, poisoned = tmp_path / "book.xlsx", tmp_path / "poisoned.xlsx"
    vocabulary, results = sample.vocabulary(), sample.results(rows)
    options = BookOptions(capacities={"log": rows})
    placement = write_book(path, vocabulary, sample.sheets(), sample.studio(), results, options)
    poison(path, poisoned)
    expected = {
        (one.sheet, one.cell): expected_value(results, one.name, one.row)
        for one in iter_formulas(vocabulary, placement)
    }
    assert_agrees(engine.name, expected, recalculate_one(engine, poisoned, tmp_path / "work"))


def test_empty_caches_are_worked_out(formualizer: Formualizer, libreoffice: LibreOffice, tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    vocabulary = sample.vocabulary()
    placement = write_book(path, vocabulary, sample.sheets(), sample.studio(), None)
    expected = {
        (one.sheet, one.cell): expected_value(sample.results(), one.name, one.row)
        for one in iter_formulas(vocabulary, placement)
    }
    for engine in (formualizer, libreoffice):
        assert_agrees(engine.name, expected, recalculate_one(engine, path, tmp_path / engine.name))


@pytest.mark.exhaustive
def test_a_long_log_takes_little_longer_than_xlsxwriter_alone(tmp_path: Path) -> None:
    """Two thousand rows with 35 formula columns, against the bare writing of the same cells."""
    rows, copies = 2_000, 35
    figure = next(item for item in sample.LOG.columns if item.name == "row_cost")
    names = [f"cost_{'abcdef'[number // 6]}_{'abcdef'[number % 6]}" for number in range(copies)]
    table = replace(
        sample.LOG,
        columns=(*sample.LOG.columns[:5], *(replace(figure, name=name) for name in names)),
        rows=rows,
    )
    vocabulary = Vocabulary.of(sample.SCALARS[:7], [table, sample.PIECES])
    sheets = (
        replace(
            sample.sheets()[1],
            blocks=(
                Fields("", tuple(item.name for item in sample.SCALARS[:7])),
                Rows("", "log", tuple(item.name for item in table.columns)),
                Rows("", "pieces", ("piece_name", "piece_minutes")),
            ),
        ),
    )
    compiler = Compiler(vocabulary, place(sheets, vocabulary))

    def bare() -> float:
        start = time.perf_counter()
        with xlsxwriter.Workbook(tmp_path / "bare.xlsx", {"in_memory": True}) as book:
            sheet, look = book.add_worksheet(), book.add_format({"num_format": "0.00"})
            for col in range(5):
                for row in range(rows):
                    sheet.write_blank(row, col, None, look)
            texts = [f'=IF(COUNT($D{row},day_price)<2,"",$D{row}*day_price)' for row in range(1, rows + 1)]
            for col in range(5, 5 + copies):
                for row in range(rows):
                    sheet.write_formula(row, col, texts[row], look, "")
        return time.perf_counter() - start

    def ours() -> float:
        start = time.perf_counter()
        write_book(tmp_path / "ours.xlsx", vocabulary, sheets, sample.studio(), None, BookOptions(overwrite=True))
        return time.perf_counter() - start

    assert isinstance(compiler.column(names[0]), Template)
    ratios = sorted(ours() / bare() for _ in range(3))
    assert ratios[0] < 1.3, f"{ratios} times the time of XlsxWriter alone"
