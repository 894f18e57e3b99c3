"""Results are spliced into the bytes column by column where that can be done; cell by cell they come out the same."""

from __future__ import annotations

import zipfile
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from meltbook.errors import BookFileError
from meltbook.workbook import caches
from meltbook.workbook.address import column_letters
from meltbook.workbook.amend import amend
from meltbook.workbook.caches import Method
from meltbook.workbook.cells import CellValue
from meltbook.workbook.differences import figure_runs, figure_values, reference
from meltbook.workbook.edited import EditedBook, read_book
from meltbook.workbook.formulas import Compiler, Template
from meltbook.workbook.known import Known, Runs
from meltbook.workbook.package import open_package
from meltbook.workbook.plain_formulas import NOTHING, Stored, formulas_of, plain_formulas
from meltbook.workbook.plain_sheet import PlainSheet
from meltbook.workbook.proof import check_splices, read_back
from meltbook.workbook.read import read_file
from meltbook.workbook.repack import repacked
from meltbook.workbook.sheet_xml import patched
from meltbook.workbook.stored_xml import value_xml
from tests.engines.compare import compare, describe
from tests.engines.values import read_values
from tests.tariff.books import START, demo_book, everything_in, place, tariff
from tests.tariff.owners_book import saved_by, written
from tests.unit.cli.run import run

TAG = 77.0


def refuse(_: bytes) -> dict[str, Any]:
    raise RuntimeError("not today")


def with_a_tag(book: EditedBook) -> EditedBook:
    """The book with another tag on its first piece."""
    first, *others = book.studio.pieces
    pieces = (first.model_copy(update={"tag": TAG}), *others)
    return replace(book, studio=book.studio.model_copy(update={"pieces": pieces}))


def amended(source: Path, target: Path, known: Known | Runs, *, vouched: bool = False, shared: bool = False) -> bytes:
    book = read_book(source)
    if shared:
        for sheet in book.file.sheet_names:
            book.file.sheet(sheet)
    report = amend(
        source, target, {place(book, "piece_tag", 1): TAG}, known, vouched=vouched, read=book.file if shared else None
    )
    assert report.caches.method is Method.FILLED
    assert report.caches.stored == report.caches.verified == len(figure_values(book, reference(book)))
    return target.read_bytes()


@pytest.fixture(scope="module", params=["harbour", "xlsxwriter", "openpyxl", "libreoffice", "gnumeric"])
def source(request: pytest.FixtureRequest, harbour: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book as it was made, then with an owner's things in it, as four programs save it."""
    if request.param == "harbour":
        return harbour
    if request.param in ("libreoffice", "gnumeric"):
        request.getfixturevalue(request.param)  # skips where the program is missing
    folder = tmp_path_factory.mktemp(request.param)
    return saved_by(request.param, written(folder / "owners.xlsx"), folder)


def test_by_columns_and_cell_by_cell_the_file_is_the_same(
    source: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(caches.formualizer, "recalculate_xlsx_bytes", refuse)
    book = with_a_tag(read_book(source))
    results = reference(book)
    cell_by_cell = amended(source, tmp_path / "cells.xlsx", figure_values(book, results))
    runs = figure_runs(book, results)
    assert amended(source, tmp_path / "columns.xlsx", runs) == cell_by_cell
    assert amended(source, tmp_path / "shared.xlsx", runs, shared=True) == cell_by_cell
    assert amended(source, tmp_path / "vouched.xlsx", runs, vouched=True, shared=True) == cell_by_cell


def test_columns_are_the_way_of_a_book_as_it_is_made(
    harbour: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(caches, "_cell_by_cell", lambda *_: pytest.fail("went cell by cell"))
    monkeypatch.setattr(caches.formualizer, "recalculate_xlsx_bytes", lambda _: pytest.fail("was worked out"))
    book = with_a_tag(read_book(harbour))
    amended(harbour, tmp_path / "columns.xlsx", figure_runs(book, reference(book)), vouched=True, shared=True)


def test_without_a_second_calculation_the_values_are_those_that_it_gives(harbour: Path, tmp_path: Path) -> None:
    book = with_a_tag(read_book(harbour))
    edits = {place(book, "piece_tag", 1): TAG}
    report = amend(harbour, tmp_path / "worked out.xlsx", edits)
    assert report.caches.method is Method.RECALCULATED
    amended(harbour, tmp_path / "vouched.xlsx", figure_runs(book, reference(book)), vouched=True, shared=True)
    known = read_values(tmp_path / "worked out.xlsx")
    wrong = compare(
        {key: known[key] for key in figure_values(book, reference(book))}, read_values(tmp_path / "vouched.xlsx")
    )
    assert not wrong, describe(wrong)


def test_a_formula_of_the_owners_is_worked_out_in_a_second_program(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[bytes] = []
    real = caches.formualizer.recalculate_xlsx_bytes
    monkeypatch.setattr(caches.formualizer, "recalculate_xlsx_bytes", lambda data: asked.append(data) or real(data))
    plain = demo_book("harbour-kg", tmp_path / "plain.xlsx")
    words = ("--from", START, "--price", "0.35", "--apply")
    tariff(plain, *words)
    assert not asked
    tariff(written(tmp_path / "owners.xlsx"), *words)
    assert asked


def test_where_one_sheet_has_a_name_for_itself_nothing_is_vouched_for(book: Path) -> None:
    """There the book's own formula may read another cell than the reference engine thinks."""
    odd = book.with_name("odd.xlsx")
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(odd, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            data = old.read(name)
            if name == "xl/workbook.xml":
                local = b'<definedName name="price_now" localSheetId="1">Tariffs!$ZZ$1</definedName>'
                data = data.replace(b"<definedNames>", b"<definedNames>" + local, 1)
            new.writestr(name, data)
    assert read_file(odd).names.local
    before = everything_in(book.parent)
    assert run("tariff", odd, "--from", START, "--price", "0.35", "--apply").exit_code == 1
    assert everything_in(book.parent) == before


# ------------------------------------------------------------------------------------------ one sheet, both ways


def test_a_sheet_read_before_has_the_formulas_that_it_has_when_it_is_read_for_them(source: Path) -> None:
    file = read_file(source)
    package, _ = open_package(source)
    compared = 0
    for name in file.sheet_names:
        sheet = file.sheet(name)
        found = formulas_of(sheet) if isinstance(sheet, PlainSheet) else None
        other = plain_formulas(package.read(file._parts[name]))
        if found is None or other is None:
            continue
        compared += 1
        assert (found.names, found.formulas, found.values) == (other.names, other.formulas, other.values)
        assert found.as_valueless == other.as_valueless
        assert [found.index(one) for one in found.raw_names] == list(range(len(other)))
    assert compared or source.stem == "gnumeric"


def test_a_column_of_the_log_is_found(harbour: Path) -> None:
    book = read_book(harbour)
    spot = book.placement.columns["energy_cost"]
    found, letters = book.file.formulas(spot.sheet), column_letters(spot.col).encode()
    assert found is not None
    spots = found.column(letters, spot.first + 1, spot.rows)
    assert isinstance(spots, range)
    assert [found.raw_names[one] for one in spots] == [
        b"%b%d" % (letters, spot.first + 1 + row) for row in range(spot.rows)
    ]
    assert found.column(letters, spot.first + 1, spot.rows + 500) is None


def test_an_owners_formula_beside_a_few_rows_makes_a_column_uneven() -> None:
    rows = "".join(
        f'<row r="{row}"><c r="A{row}"><f>B{row}</f><v>{row}</v></c>'
        + (f'<c r="C{row}"><f>1+1</f><v>2</v></c>' if row in (2, 3) else "")
        + "</row>"
        for row in range(1, 7)
    )
    found = plain_formulas(sheet_of(rows))
    assert found is not None
    assert found.column(b"A", 1, 6) == [0, 1, 3, 5, 6, 7]
    assert found.unlike(found.column(b"A", 1, 6) or (), [1.0, 2.0, 3.5, 4.0, 5.0, ""]) == [(3, 3.5), (7, "")]
    assert found.column(b"C", 1, 2) is None


def sheet_of(rows: str) -> bytes:
    main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    return f'<worksheet xmlns="{main}"><sheetData>{rows}</sheetData></worksheet>'.encode()


# ------------------------------------------------------------------------------------------------------- proof

ROWS = (
    '<row r="1"><c r="A1"><f>B1</f><v>1</v></c><c r="B1"><v>7</v></c></row>'
    '<row r="2"><c r="A2" s="4" t="str"><f>B1&amp;""</f><v>7</v></c><c r="C2"><f>B1</f><v>7</v></c></row>'
)


def spliced(values: dict[str, CellValue]) -> tuple[bytes, bytes, list[Any]]:
    """The sheet before and after, and the cells that change."""
    found = plain_formulas(sheet_of(ROWS))
    assert found is not None
    changes = {
        found.names.index(name): NOTHING if value is None else Stored(*value_xml(value))
        for name, value in values.items()
    }
    patches = found.patches(changes)
    return found.data, patched(found.data, patches), patches


def proved(wanted: dict[str, CellValue], old: bytes, new: bytes, patches: list[Any], book: Path) -> None:
    package, _ = open_package(book)
    check_splices(package, "One", old, new, patches, wanted)


def test_a_splice_is_proved(book: Path) -> None:
    proved({"A1": 8.25, "A2": ""}, *spliced({"A1": 8.25, "A2": "", "C2": None}), book)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'<c r="B1"><v>7</v></c>', b'<c r="B1"><v>8</v></c>'),  # a typed cell
        (b"8.25", b"8.26"),
        (b"<f>B1</f><v>8.25", b"<f>C1</f><v>8.25"),
        (b'<c r="A2" s="4"', b'<c r="A2" s="5"'),
        (b'<c r="C2"><f>B1</f></c>', b'<c r="C2"><f>B1</f><v>7</v></c>'),
        (b"</worksheet>", b"</worksheet> "),
    ],
)
def test_any_other_change_is_no_splice(old: bytes, new: bytes, book: Path) -> None:
    before, after, patches = spliced({"A1": 8.25, "A2": "", "C2": None})
    assert after.count(old) == 1
    with pytest.raises(BookFileError, match="can't be given its values"):
        proved({"A1": 8.25, "A2": ""}, before, after.replace(old, new), patches, book)


def test_a_value_that_was_not_written_is_missed(book: Path) -> None:
    with pytest.raises(BookFileError, match="can't be given its values"):
        proved({"A1": 8.25, "A2": "x"}, *spliced({"A1": 8.25}), book)


def test_what_is_read_back_must_be_what_was_written(book: Path) -> None:
    package, workbook = open_package(book)
    changed = {workbook: package.read(workbook) + b"<!-- -->"}
    data = repacked(package, changed)
    read_back(package, data, changed)
    for bad in ({}, {workbook: changed[workbook] + b" "}, {**changed, "xl/styles.xml": b"<styleSheet/>"}):
        with pytest.raises(BookFileError, match="can't be written as it should be"):
            read_back(package, data, bad)


# ----------------------------------------------------------------------------------------------- the audit's side


def test_a_column_of_texts_is_the_texts_of_its_rows(harbour: Path) -> None:
    book = read_book(harbour)
    compiler = Compiler(book.vocabulary, book.placement)
    seen = 0
    for name, spot in book.placement.columns.items():
        made = compiler.column(name)
        if isinstance(made, Template):
            seen += 1
            assert made.column(spot.rows) == [made.at(row) for row in range(spot.rows)]
    assert seen > 100
    for template in (
        Template("A%d*1%%", (3,)),
        Template("A%d+B%d", (3, 2)),
        Template("7%%", ()),
        Template("A%d", (1,)),
    ):
        assert template.column(3) == [template.at(row) for row in range(3)]
