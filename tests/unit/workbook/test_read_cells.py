"""Cells read from the XML: values as they are stored, and formulas."""

from __future__ import annotations

from pathlib import Path

import pytest

from meltbook.errors import BookFileError
from meltbook.workbook.cells import Cell, CellError, CellValue, SheetCells
from meltbook.workbook.read import Area, parse_area, read_file
from tests.unit.workbook.small_books import parts, write


def read(tmp_path: Path, rows: str, *, strings: str = "") -> SheetCells:
    return read_file(write(tmp_path / "book.xlsx", parts({"One": rows}, strings=strings))).sheet("One")


@pytest.mark.parametrize(
    ("cell", "value"),
    [
        ('<c r="A1"><v>12.5</v></c>', 12.5),
        ('<c r="A1" t="n"><v>1E-09</v></c>', 1e-9),
        ('<c r="A1" t="b"><v>1</v></c>', True),
        ('<c r="A1" t="b"><v>0</v></c>', False),
        ('<c r="A1" t="e"><v>#DIV/0!</v></c>', CellError("#DIV/0!")),
        ('<c r="A1" t="str"><v>plain</v></c>', "plain"),
        ('<c r="A1" t="inlineStr"><is><t>in line</t></is></c>', "in line"),
        ('<c r="A1" t="inlineStr"><is><r><t>two </t></r><r><t>runs</t></r></is></c>', "two runs"),
        ('<c r="A1" t="d"><v>2026-01-01</v></c>', 46023.0),
        ('<c r="A1" t="s"><v>0</v></c>', "Glass & co"),
        ('<c r="A1" t="s"><v>1</v></c>', "rich text"),
        ('<c r="A1" t="s"><v>2</v></c>', "漢字"),
        ('<c r="A1" t="s"><v>3</v></c>', "two\r\nlines"),
        ('<c r="A1" s="3"/>', None),
        ("<c><v>7</v></c>", 7.0),
    ],
)
def test_values(cell: str, value: CellValue, tmp_path: Path) -> None:
    strings = (
        "<si><t>Glass &amp; co</t></si><si><r><t>rich</t></r><r><t xml:space='preserve'> text</t></r></si>"
        "<si><t>漢字</t><rPh sb='0' eb='2'><t>かんじ</t></rPh></si><si><t>two_x000D_\nlines</t></si>"
    )
    assert read(tmp_path, f'<row r="1">{cell}</row>', strings=strings).at(0, 0).value == value


@pytest.mark.parametrize(
    ("cell", "expected"),
    [
        ('<c r="A1"><f>B1+1</f><v>3</v></c>', Cell(3.0, "B1+1")),
        ('<c r="A1"><f>B1+1</f></c>', Cell(None, "B1+1", stored=False)),
        ('<c r="A1"><f>B1+1</f><v></v></c>', Cell(None, "B1+1")),
        ('<c r="A1"><f>B1+1</f><v/></c>', Cell(None, "B1+1")),
        ('<c r="A1" t="str"><f>B1&amp;""</f><v></v></c>', Cell("", 'B1&""')),
        ('<c r="A1" t="e"><f>1/0</f><v>#DIV/0!</v></c>', Cell(CellError("#DIV/0!"), "1/0")),
    ],
)
def test_formulas(cell: str, expected: Cell, tmp_path: Path) -> None:
    assert read(tmp_path, f'<row r="1">{cell}</row>').at(0, 0) == expected


def test_a_formula_written_once_for_many_cells(tmp_path: Path) -> None:
    sheet = read(
        tmp_path,
        '<row r="1"><c r="B1"><f t="shared" ref="B1:B3" si="0">$A1*A$9+log_date+IF(A1="A1",1,B2)</f>'
        "<v>1</v></c></row>"
        '<row r="2"><c r="B2"><f t="shared" si="0"/><v>2</v></c></row>'
        '<row r="3"><c r="C3"><f t="shared" si="0"/><v>3</v></c></row>',
    )
    assert sheet.at(1, 1).formula == '$A2*A$9+log_date+IF(A2="A1",1,B3)'
    assert sheet.at(2, 2).formula == '$A3*B$9+log_date+IF(B3="A1",1,C4)'


def test_rows_and_cells_without_addresses(tmp_path: Path) -> None:
    sheet = read(tmp_path, "<row><c><v>1</v></c><c><v>2</v></c></row><row r='5'><c><v>3</v></c></row>")
    assert {place: cell.value for place, cell in sheet.cells.items()} == {
        (0, 0): 1.0,
        (0, 1): 2.0,
        (4, 0): 3.0,
    }


def test_more_cells_than_any_book_has(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    file = read_file(write(tmp_path / "book.xlsx", parts({"One": "<row><c><v>1</v></c><c><v>2</v></c></row>"})))
    file._room = 1
    with pytest.raises(BookFileError, match="more than"):
        file.sheet("One")


SHEETS = {name.casefold(): name for name in ("Log", "What's new", "Größe")}


@pytest.mark.parametrize(
    ("text", "area"),
    [
        ("Log!$B$3", Area("Log", 2, 1, 2, 1)),
        ("'Log'!$B$3:$B$12", Area("Log", 2, 1, 11, 1)),
        ("Log!$B$3:Log!$B$12", Area("Log", 2, 1, 11, 1)),
        ("$Log!$B$12:$B$3", Area("Log", 2, 1, 11, 1)),
        ("=LOG!b3", Area("Log", 2, 1, 2, 1)),
        ("'What''s new'!$AA$1", Area("What's new", 0, 26, 0, 26)),
        ("Größe!$A$1", Area("Größe", 0, 0, 0, 0)),
        ("Gone!$A$1", None),
        ("Log!#REF!", None),
        ("#REF!", None),
        ("12", None),
        ("Log!$A$1,Log!$A$5", None),
        ("OFFSET(Log!$A$1,1,1)", None),
        ("[1]Log!$A$1", None),
        ("", None),
    ],
)
def test_what_a_name_stands_for(text: str, area: Area | None) -> None:
    assert parse_area(text, SHEETS) == area


def test_names_of_a_file(tmp_path: Path) -> None:
    names = (
        '<definedName name="Log_Date">One!$A$1</definedName>'
        '<definedName name="log_kind">#REF!</definedName>'
        '<definedName name="log_days">One!$A$2</definedName>'
        '<definedName name="LOG_DAYS">One!$A$3</definedName>'
        '<definedName name="log_days" localSheetId="1">Two!$A$2</definedName>'
        '<definedName name="log_note" localSheetId="0">One!$A$7</definedName>'
        '<definedName name="_xlnm.Print_Area" localSheetId="0">One!$A$1:$B$2</definedName>'
    )
    found = read_file(write(tmp_path / "book.xlsx", parts({"One": "", "Two": ""}, names=names))).names
    assert found.areas["log_date"] == Area("One", 0, 0, 0, 0)
    assert found.areas["log_days"] == Area("One", 1, 0, 1, 0)
    assert found.areas["log_note"] == Area("One", 6, 0, 6, 0)
    assert found.broken == {"log_kind": "#REF!"}
    assert found.twice == ("log_days",)
    assert found.local == {"Two": 1}
