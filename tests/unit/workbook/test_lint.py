"""The lint is clean on a written book, and finds each breakage that is put into one."""

from __future__ import annotations

import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from meltbook.workbook.lint import lint_book
from meltbook.workbook.lint_cells import formula_text_faults
from meltbook.workbook.write import BookOptions, write_book
from tests.unit.workbook import sample

LOG, COSTS = "xl/worksheets/sheet2.xml", "xl/worksheets/sheet3.xml"
BOOK, DRAWING, STYLES = "xl/workbook.xml", "xl/drawings/drawing1.xml", "xl/styles.xml"
ISO = 'formatCode="yyyy-mm-dd"'


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("lint") / "book.xlsx"
    write_book(path, sample.vocabulary(), sample.sheets(), sample.studio(), sample.results())
    return path


def test_a_written_book_is_clean(book: Path) -> None:
    assert lint_book(book) == []


@pytest.mark.parametrize(
    ("part", "old", "new", "says"),
    [
        (LOG, "</sheetData>", "</sheetDate>", "can't be read as XML"),
        (LOG, '<row r="9"', '<row r="3"', "row 3 is out of order"),
        (LOG, '<row r="9"', '<row hidden="1" r="9"', "row 9 is hidden"),
        (LOG, '<c r="B10"', '<c r="C10"', "C10 is out of order, or there twice"),
        (LOG, '<c r="B10"', '<c r="B11"', "no cell of row 10"),
        (LOG, ' s="1"', ' s="999"', "style 999 is not there"),
        (LOG, ' t="s"><v>', ' t="s"><v>99', "is not there"),
        (LOG, "<f>checks_state</f>", "<f>NOW()</f>", "uses NOW"),
        (LOG, "<f>checks_state</f>", "<f>SUM(A:A)</f>", "whole columns"),
        (LOG, "<f>checks_state</f>", "<f>[1]Log!A1</f>", "another workbook"),
        (LOG, "<f>checks_state</f>", "<f>#REF!+1</f>", "holds #REF!"),
        (LOG, "<f>checks_state</f>", '<f t="shared" si="0">A1</f>', "of the kind shared"),
        (LOG, "<sheetData>", '<mergeCells><mergeCell ref="A1:B1"/></mergeCells><sheetData>', "merged cells"),
        (LOG, '<col min="1"', '<col hidden="1" min="1"', "are hidden"),
        (LOG, 'showGridLines="0"', 'showGridLines="1"', "gridlines"),
        (LOG, 'state="frozen"', 'state="split"', "no frozen headings"),
        (LOG, '<pageSetUpPr fitToPage="1"/>', "", "one page wide"),
        (LOG, 'sqref="B3"', 'sqref="B3 H12"', "conditional formats overlap"),
        (LOG, 'dxfId="0"', 'dxfId="400"', "style that is not there"),
        (LOG, "location=\"'Start'!A1\"", "location=\"'Stop'!A1\"", "leads nowhere"),
        (BOOK, 'name="Checks"', 'name="Sheet5"', "no name for a sheet"),
        (BOOK, 'name="Checks"', 'name="R1C1"', "no name for a sheet"),
        (BOOK, 'name="Checks"', 'name="Start"', "same name"),
        (BOOK, 'sheetId="5"', 'state="hidden" sheetId="5"', "is hidden"),
        (BOOK, 'name="log_date"', 'name="logdate"', "not by the rule"),
        (BOOK, 'name="log_date"', 'name="log_days"', "defined twice"),
        (BOOK, 'name="log_date"', 'hidden="1" name="log_date"', "is hidden"),
        (BOOK, "'Furnace log'!$B$9:$B$16<", "'Furnace log'!$B:$B<", "not cells of one column"),
        (BOOK, ">'Furnace log'!$B$9:$B$16<", ">'Old log'!$B$9:$B$16<", "a sheet that is not there"),
        (DRAWING, 'descr="Two bars."', 'descr=" "', "no text for those who can't see it"),
        (STYLES, ISO, 'formatCode="dd/mm/yyyy"', "dates are shown as dd/mm/yyyy"),
        (STYLES, ISO, 'formatCode="0.00;[Red]0.00"', "by colour alone"),
        (STYLES, ISO, 'formatCode="$0.00"', "repeats the currency"),
        (LOG, "</sheetData>", '</sheetData><sheetProtection sheet="1" password="83AF"/>', "with a password"),
        (LOG, "</sheetData>", '</sheetData><sheetProtection sheet="1" sort="0"/>', "against insertRows"),
        ("xl/_rels/workbook.xml.rels", "worksheets/sheet5.xml", "worksheets/sheet9.xml", "not in the file"),
    ],
)
def test_each_breakage_is_found(book: Path, tmp_path: Path, part: str, old: str, new: str, says: str) -> None:
    def change(name: str, data: bytes) -> bytes:
        if name != part:
            return data
        assert old.encode() in data, "the breakage has nothing to break"
        return data.replace(old.encode(), new.encode(), 1)

    faults = lint_book(rebuilt(book, tmp_path / "broken.xlsx", change))
    assert any(says in fault for fault in faults), faults


def test_a_long_sheet_is_not_squeezed_onto_one_page(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    options = BookOptions(capacities={"log": 100})
    write_book(path, sample.vocabulary(), sample.sheets(), sample.studio(), None, options)

    def squeeze(name: str, data: bytes) -> bytes:
        return data.replace(b'fitToHeight="0"', b"") if name == LOG else data

    assert lint_book(path) == []
    faults = lint_book(rebuilt(path, tmp_path / "squeezed.xlsx", squeeze))
    assert faults == ["Furnace log: is squeezed into a number of pages when printed"]


def test_parts_that_have_no_place_are_found(book: Path, tmp_path: Path) -> None:
    broken = rebuilt(book, tmp_path / "broken.xlsx", lambda name, data: data, {"xl/vbaProject.bin": b"x"})
    assert any("vbaProject" in fault for fault in lint_book(broken))
    noisy = rebuilt(
        book,
        tmp_path / "other.xlsx",
        lambda name, data: data,
        {"xl/bomb.xml": b'<!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>'},
    )
    assert any("bomb.xml" in fault for fault in lint_book(noisy))


def test_what_is_no_workbook_is_said(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(b"not a zip")
    assert lint_book(path)[0].startswith("this is not a workbook")
    with zipfile.ZipFile(path, "w") as package:
        package.writestr("a.xml", "<a/>")
    assert lint_book(path) == ["xl/workbook.xml is missing"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "empty"),
        ("SUM($1:$3)", "whole columns or rows"),
        ("INDIRECT(a_b)", "uses INDIRECT"),
        ("SUM({1,2})", "array"),
        ("SUM(a_b", "do not pair up"),
        ("1" * 9000, "9000 characters"),
    ],
)
def test_formula_texts(text: str, says: str) -> None:
    assert any(says in fault for fault in formula_text_faults(text, frozenset({"SUM"}), 8192))


def test_what_is_inside_a_text_is_no_fault() -> None:
    assert formula_text_faults('IF(a_b=1,"NOW() [x] {1} A:A #REF! (","")', frozenset({"IF"}), 8192) == []


def rebuilt(
    source: Path, target: Path, change: Callable[[str, bytes], bytes], more: dict[str, bytes] | None = None
) -> Path:
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w") as new:
        for name in old.namelist():
            new.writestr(name, change(name, old.read(name)))
        for name, data in (more or {}).items():
            new.writestr(name, data)
    return target
