"""The engines are only worth as much as the way they are run: no stale value may pass, and no wrong one."""

from __future__ import annotations

import datetime as dt
import time
import zipfile
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter

from tests.engines.compare import Mismatch, assert_agrees, compare, describe, same
from tests.engines.poison import POISON_NUMBER, POISON_TEXT, poison, poison_left
from tests.engines.runners import ENGINES, Engine, LibreOffice, recalculate_one
from tests.engines.values import CellError, Values, read_formulas, read_values

DAY = dt.datetime(2024, 2, 3)
DAY_NUMBER = 45325.0

EXPECTED: Values = {
    ("Sums & more", "B1"): 6.0,
    ("Sums & more", "B2"): True,
    ("Sums & more", "B3"): "1 ≤ 2",
    ("Sums & more", "B4"): None,
    ("Sums & more", "B5"): DAY_NUMBER + 1,
    ("Sums & more", "B6"): CellError("#DIV/0!"),
    ("Sums & more", "B7"): 1 / 3,
    ("Sums & more", "B8"): False,
}


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A workbook whose cached values are what XlsxWriter writes by default: 0 in every cell."""
    path = tmp_path / "book.xlsx"
    with xlsxwriter.Workbook(path) as out:
        date = out.add_format({"num_format": "yyyy-mm-dd"})
        typed = out.add_worksheet("Typed here")
        typed.write_column("A1", [1, 2, 3])
        typed.write_datetime("A4", DAY, date)
        typed.write_string("A5", "≤")
        typed.write_boolean("A6", True)
        out.define_name("melt_weight", "='Typed here'!$A$1:$A$3")
        out.define_name("melt_day", "='Typed here'!$A$4")
        sums = out.add_worksheet("Sums & more")
        for row, formula in enumerate(
            [
                "=SUM(melt_weight)",
                "=SUM(melt_weight)>5",
                """='Typed here'!A1&" "&'Typed here'!A5&" "&'Typed here'!A2""",
                '=IF(SUM(melt_weight)>5,"",1)',
                "=melt_day+1",
                "=1/(SUM(melt_weight)-6)",
                "=1/3",
                "=SUM(melt_weight)<5",
            ]
        ):
            is_text = row in (2, 3)
            sums.write_formula(row, 1, formula, date if row == 4 else None, "old" if is_text else 0)
    return path


@pytest.fixture
def poisoned(book: Path, tmp_path: Path) -> Path:
    path = tmp_path / "poisoned.xlsx"
    assert poison(book, path) == len(EXPECTED)
    return path


# -------------------------------------------------------------------------------------------------- reading


def test_values_are_read_as_they_are_stored(book: Path) -> None:
    values = read_values(book)
    assert values["Typed here", "A1"] == 1.0
    assert values["Typed here", "A4"] == DAY_NUMBER
    assert values["Typed here", "A5"] == "≤"
    assert values["Typed here", "A6"] is True
    assert values["Sums & more", "B1"] == 0.0


def test_values_agree_with_openpyxl(book: Path) -> None:
    theirs = {
        (sheet.title, cell.coordinate): cell.value
        for sheet in openpyxl.load_workbook(book, data_only=True)
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None and not cell.is_date
    }
    ours = read_values(book)
    assert theirs
    assert {key: ours[key] for key in theirs} == theirs


def test_formulas_are_read_without_the_equals_sign(book: Path) -> None:
    formulas = read_formulas(book)
    assert set(formulas) == set(EXPECTED)
    assert formulas["Sums & more", "B1"] == "SUM(melt_weight)"


# ------------------------------------------------------------------------------------------------ poisoning


def test_every_formula_cell_is_poisoned_and_nothing_else(book: Path, poisoned: Path) -> None:
    before, after = read_values(book), read_values(poisoned)
    assert set(poison_left(after)) == set(EXPECTED)
    assert {key: value for key, value in after.items() if key not in EXPECTED} == {
        key: value for key, value in before.items() if key not in EXPECTED
    }
    assert after["Sums & more", "B1"] == POISON_NUMBER
    assert after["Sums & more", "B3"] == POISON_TEXT
    assert read_formulas(book) == read_formulas(poisoned)


def test_a_large_workbook_is_poisoned_quickly(tmp_path: Path) -> None:
    source, target = tmp_path / "large.xlsx", tmp_path / "target.xlsx"
    with xlsxwriter.Workbook(source) as out:
        sheet = out.add_worksheet("Large")
        for row in range(3_000):
            for column in range(10):
                sheet.write_formula(row, column, f"=ROW()+{column}")
    start = time.perf_counter()
    assert poison(source, target) == 30_000
    assert time.perf_counter() - start < 10  # 0.05 s where it was written; a machine may be busy


@pytest.mark.parametrize(
    "cell",
    [
        '<c r="A1"><f>1+1</f><v>2</v></c>',
        '<c r="A1"><f>1+1</f><v></v></c>',
        '<c r="A1" s="3"><f>1+1</f><v/></c>',
        '<c r="A1" s="3"><f>1+1</f></c>',
        '<c r="A1" t="b"><f>1+1</f><v>1</v></c>',
        '<c r="A1" t="e"><f>1+1</f><v>#N/A</v></c>',
        '<c r="A1" t="str"><f>1+1</f><v>two</v></c>',
        '<c r="A1" t="str" s="1"><f ca="1">1+1</f><v>two</v></c>',
        '<c r="A1"><f t="shared" si="0"/><v>2</v></c>',
    ],
)
def test_a_formula_cell_is_poisoned_however_it_is_written(tmp_path: Path, book: Path, cell: str) -> None:
    source, target = tmp_path / "source.xlsx", tmp_path / "target.xlsx"
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(source, "w") as new:
        for name in old.namelist():
            data = old.read(name)
            if name == "xl/worksheets/sheet2.xml":
                data = (
                    '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
                    f'<row r="1">{cell}<c r="B1"><v>5</v></c></row></sheetData></worksheet>'
                ).encode()
            new.writestr(name, data)
    assert poison(source, target) == 1
    assert poison_left(read_values(target)) == [("Sums & more", "A1")]
    assert read_values(target)["Sums & more", "B1"] == 5


# ------------------------------------------------------------------------------------------------ comparing


@pytest.mark.parametrize(
    ("expected", "found"),
    [(1.0, 1.0 + 1e-12), (1e12, 1e12 + 1), (0.0, 1e-12), (None, ""), ("", None), ("a", "a"), (2, 2.0)],
)
def test_same(expected: float | str | bool | None, found: float | str | bool | None) -> None:
    assert same(expected, found)


@pytest.mark.parametrize(
    ("expected", "found"),
    [
        (1.0, 1.0 + 1e-6),
        (0.0, None),
        (None, 0.0),
        ("1", 1.0),
        (1.0, "1"),
        (True, 1.0),
        (1.0, True),
        (False, None),
        ("a", "A"),
        ("a", "a "),
        (1.0, CellError("#N/A")),
        (CellError("#REF!"), CellError("#N/A")),
        (CellError("#N/A"), "#N/A"),
    ],
)
def test_not_same(
    expected: float | str | bool | CellError | None, found: float | str | bool | CellError | None
) -> None:
    assert not same(expected, found)


def test_a_mismatch_names_the_cell_and_both_values() -> None:
    wrong = compare({("Pots", "C4"): 2.5, ("Pots", "C5"): 1.0}, {("Pots", "C5"): 1.0})
    assert wrong == [Mismatch("Pots", "C4", 2.5, None)]
    assert describe(wrong) == "Pots!C4: expected 2.5, found nothing"
    many = [Mismatch("Pots", f"C{row}", CellError("#N/A"), "x") for row in range(1, 4)]
    assert describe(many, limit=1) == "Pots!C1: expected #N/A, found 'x'\n... and 2 more"


# -------------------------------------------------------------------------------------------------- engines


def test_an_engine_works_every_formula_out(engine: Engine, poisoned: Path, tmp_path: Path) -> None:
    before = poisoned.read_bytes()
    values = recalculate_one(engine, poisoned, tmp_path / "work")
    assert_agrees(engine.name, EXPECTED, values)
    assert values["Typed here", "A4"] == DAY_NUMBER
    assert values["Typed here", "A6"] is True
    assert poisoned.read_bytes() == before


def test_an_engine_works_several_files_out(engine: Engine, poisoned: Path, tmp_path: Path) -> None:
    (tmp_path / "other").mkdir()
    twin = tmp_path / "other" / poisoned.name  # the same file name in another folder
    twin.write_bytes(poisoned.read_bytes())
    found = engine.recalculate([poisoned, twin], tmp_path / "work")
    assert set(found) == {poisoned, twin}
    for values in found.values():
        assert_agrees(engine.name, EXPECTED, values)


def test_a_stale_value_is_caught(poisoned: Path) -> None:
    unchanged = read_values(poisoned)
    with pytest.raises(AssertionError, match=r"kept 8 cached values, the first in Sums & more!B1"):
        assert_agrees("a lazy engine", EXPECTED, unchanged)


def test_a_stale_value_that_libreoffice_believes_is_caught(
    libreoffice: LibreOffice, poisoned: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(libreoffice, "_write_profile", lambda folder: None)
    values = recalculate_one(libreoffice, poisoned, tmp_path / "work")
    assert poison_left(values), "LibreOffice now recalculates by itself: the profile may go"


def test_a_wrong_value_is_caught(engine: Engine, poisoned: Path, tmp_path: Path) -> None:
    values = recalculate_one(engine, poisoned, tmp_path / "work")
    mistakes: Values = {
        ("Sums & more", "B1"): 6.00001,
        ("Sums & more", "B2"): False,
        ("Sums & more", "B3"): "1 < 2",
        ("Sums & more", "B4"): 0.0,
        ("Sums & more", "B6"): CellError("#N/A"),
    }
    for key, wrong in mistakes.items():
        with pytest.raises(AssertionError, match=r"differs in 1 of 8 cells:\nSums & more!" + key[1]):
            assert_agrees(engine.name, {**EXPECTED, key: wrong}, values)


def test_every_engine_says_why_it_cannot_run(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tests.engines.runners.find_spec", lambda name: None)
    monkeypatch.setattr("tests.engines.runners.shutil.which", lambda name: None)
    assert all(make().available() for make in ENGINES.values())
