"""An edit changes the cells that it names and nothing else, whichever program wrote the file."""

from __future__ import annotations

import warnings
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import openpyxl
import pytest
import xlsxwriter

from meltbook.errors import BookFileError, StudioError, UsageError
from meltbook.workbook.edit import CellChange, edit_cells
from tests.engines.runners import Engine, recalculate_one
from tests.engines.values import read_formulas, read_values
from tests.unit.workbook.edit_book import (
    PROGRAMS,
    assert_only_cells_changed,
    assert_same_but,
    cells_as_written,
    packed_parts,
    part_of,
    sheet_bytes,
    write_as,
    write_everything,
)

EDITS: dict[tuple[str, str], float | str | None] = {
    ("Log", "C5"): 99.125,  # a number in place of a number
    ("Log", "B6"): "Idle <1 & “ß”",  # a text in place of a shared text
    ("Log", "A12"): 46100,  # a prepared row, not filled in
    ("Log", "C12"): 7,
    ("Log", "C7"): None,  # cleared
    ("Log", "C40"): 3.5,  # a row that the file may not mention
    ("Log", "H9"): " two\n lines ",  # a cell that the file does not mention
}


@pytest.fixture(scope="module", params=PROGRAMS)
def everything(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    if request.param in ("libreoffice", "gnumeric"):
        request.getfixturevalue(request.param)
    return write_as(request.param, tmp_path_factory.mktemp(request.param))


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "book.xlsx"
    write_everything(path, total_row=True)
    return path


def loaded(path: Path) -> Any:
    """The log as openpyxl sees it."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it says what it would lose if it saved the workbook
        return openpyxl.load_workbook(path)["Log"]


# ------------------------------------------------------------------------------------- nothing else changes


def test_only_the_named_cells_change(everything: Path, tmp_path: Path) -> None:
    target = tmp_path / "target.xlsx"
    kept = everything.read_bytes()
    edit_cells(everything, target, EDITS)
    assert everything.read_bytes() == kept
    assert_same_but(everything, target, [part_of(everything, "Log")])
    named = {cell for _, cell in EDITS}
    assert_only_cells_changed(sheet_bytes(everything, "Log"), sheet_bytes(target, "Log"), named)


def test_the_new_values_are_read_back(everything: Path, tmp_path: Path) -> None:
    target = tmp_path / "target.xlsx"
    edit_cells(everything, target, EDITS)
    values = read_values(target)
    assert {key: values.get(key) for key in EDITS} == EDITS
    assert read_formulas(target) == read_formulas(everything)
    theirs = loaded(target)
    assert theirs["C40"].value == 3.5
    assert theirs["H9"].value == " two\n lines "
    assert theirs.max_row == 40


def test_every_program_reads_the_edited_file(everything: Path, tmp_path: Path, office_engine: Engine) -> None:
    target = tmp_path / "target.xlsx"
    edit_cells(everything, target, EDITS)
    values = recalculate_one(office_engine, target, tmp_path)
    assert {key: values.get(key) for key in EDITS} == EDITS
    assert values["Log", "E5"] == pytest.approx(99.125 * 0.25)
    assert values["Log", "E7"] is None


def test_many_edits_give_the_same_as_one_after_the_other(everything: Path, tmp_path: Path) -> None:
    at_once, step = tmp_path / "at_once.xlsx", everything
    edit_cells(everything, at_once, EDITS)
    for number, item in enumerate(EDITS.items()):
        edit_cells(step, tmp_path / f"{number}.xlsx", dict([item]))
        step = tmp_path / f"{number}.xlsx"
    assert step.read_bytes() == at_once.read_bytes()


def test_typing_what_was_there_gives_the_same_values(book: Path, tmp_path: Path) -> None:
    edit_cells(book, tmp_path / "a.xlsx", {("Log", "C5"): 1})
    before = read_values(book)["Log", "C5"]
    assert isinstance(before, float)
    edit_cells(tmp_path / "a.xlsx", tmp_path / "b.xlsx", {("Log", "C5"): before})
    assert cells_as_written(sheet_bytes(tmp_path / "b.xlsx", "Log")) == cells_as_written(sheet_bytes(book, "Log"))


def test_the_report_says_what_was_there(book: Path, tmp_path: Path) -> None:
    report = edit_cells(book, tmp_path / "target.xlsx", EDITS)
    assert report.changes[:3] == (
        CellChange("Log", "C5", 14.5, 99.125),
        CellChange("Log", "B6", "Charge", "Idle <1 & “ß”"),
        CellChange("Log", "A12", None, 46100),
    )
    assert report.backup is None
    assert report.target == tmp_path / "target.xlsx"


# ------------------------------------------------------------------------------------------------- formats


def style_of(path: Path, cell: str) -> str:
    return str(loaded(path)[cell].number_format)


def test_a_cell_keeps_its_format(everything: Path, tmp_path: Path) -> None:
    edit_cells(everything, tmp_path / "target.xlsx", EDITS)
    for cell in ("C5", "B6", "C7"):
        assert style_of(tmp_path / "target.xlsx", cell) == style_of(everything, cell)


def test_a_new_cell_takes_the_format_above_it(book: Path, tmp_path: Path) -> None:
    edit_cells(book, tmp_path / "target.xlsx", {("Log", "A40"): 46100, ("Log", "C40"): 1, ("Log", "K40"): 1})
    assert style_of(tmp_path / "target.xlsx", "A40") == "yyyy-mm-dd"
    assert style_of(tmp_path / "target.xlsx", "C40") == "#,##0.00"
    assert style_of(tmp_path / "target.xlsx", "K40") == "#,##0.00"  # the column's own format


def test_a_number_does_not_take_the_format_of_a_heading(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(tmp_path / "book.xlsx") as out:
        bold = out.add_format({"bold": True})
        log = out.add_worksheet("Log")
        log.write("A1", "Weight", bold)
        log.set_row(4, None, bold)
    edits: Mapping[tuple[str, str], float | str] = {("Log", "A2"): 1, ("Log", "A3"): "x", ("Log", "A5"): 2}
    edit_cells(tmp_path / "book.xlsx", tmp_path / "target.xlsx", edits)
    log = loaded(tmp_path / "target.xlsx")
    assert [log[cell].font.bold for cell in ("A2", "A3", "A5")] == [False, True, True]


# ---------------------------------------------------------------------------------------- what is refused


@pytest.mark.parametrize(
    ("key", "found"),
    [
        (("Log", "E5"), "a formula"),
        (("Log", "F4"), "a formula"),
        (("Log", "C1"), "a part of merged cells"),
        (("Mine & yours", "C3"), "a part of a formula that fills several cells"),
        (("Stock", "B2"), "the heading of a table"),
        (("Stock", "B6"), "the total row of a table"),
    ],
)
@pytest.mark.parametrize("value", [1.0, "text", None])
def test_some_cells_are_refused(
    book: Path, tmp_path: Path, key: tuple[str, str], found: str, value: float | str | None
) -> None:
    with pytest.raises(StudioError) as caught:
        edit_cells(book, tmp_path / "target.xlsx", {key: value, ("Log", "C5"): 1})
    (problem,) = caught.value.problems
    assert (problem.sheet, problem.column, problem.found) == (*key, found)
    assert problem.do
    assert [path.name for path in tmp_path.iterdir()] == ["book.xlsx"]


def test_all_refusals_are_told_at_once(book: Path, tmp_path: Path) -> None:
    edits: dict[tuple[str, str], float | str] = {
        ("Log", "E5"): 1,
        ("Stock", "B2"): "x",
        ("Log", "B5"): "a\x07b",
        ("Log", "B6"): "x" * 32_768,
    }
    with pytest.raises(StudioError) as caught:
        edit_cells(book, tmp_path / "target.xlsx", edits)
    assert {(problem.sheet, problem.column) for problem in caught.value.problems} == set(edits)


def test_the_first_of_merged_cells_and_the_body_of_a_table_may_be_typed_into(book: Path, tmp_path: Path) -> None:
    edit_cells(book, tmp_path / "target.xlsx", {("Log", "A1"): "My log", ("Stock", "C3"): 40})
    assert read_values(tmp_path / "target.xlsx")["Log", "A1"] == "My log"


@pytest.mark.parametrize(
    ("edits", "said"),
    [
        ({("Lgo", "C5"): 1}, "no sheet 'Lgo'"),
        ({("Log", "5C"): 1}, "not the name of a cell"),
        ({("Log", "c5"): 1}, "not the name of a cell"),
        ({("Log", "XFE1"): 1}, "not the name of a cell"),
        ({("Log", "A1048577"): 1}, "not the name of a cell"),
        ({("Log", "C5"): float("nan")}, "not a number that a cell can hold"),
        ({("Log", "C5"): 10**400}, "not a number that a cell can hold"),
        ({("Log", "C5"): True}, "neither a number nor a text"),
        ({("Log", "C5"): [1]}, "neither a number nor a text"),
    ],
)
def test_wrong_use(book: Path, tmp_path: Path, edits: dict[tuple[str, str], float], said: str) -> None:
    with pytest.raises(UsageError, match=said) as caught:
        edit_cells(book, tmp_path / "target.xlsx", edits)
    assert not (tmp_path / "target.xlsx").exists()
    if "Lgo" in said:
        assert caught.value.hint == "Did you mean 'Log'?"


@pytest.mark.parametrize("text", ["a\x00", "\x1b[1m", "a\rb", "\ud800", "\ufffe"])
def test_control_characters_are_refused(book: Path, tmp_path: Path, text: str) -> None:
    with pytest.raises(StudioError) as caught:
        edit_cells(book, tmp_path / "target.xlsx", {("Log", "B5"): text})
    assert "control character" in caught.value.problems[0].found


@pytest.mark.parametrize("text", ["=1+1", "_x0041_", "]]>", '"', "  ", "\t", "𝄞 音", "a" * 32_767, "'1", "<is>"])
def test_any_other_text_comes_back(everything: Path, tmp_path: Path, text: str) -> None:
    from meltbook.workbook.read import read_file

    edit_cells(everything, tmp_path / "target.xlsx", {("Log", "B5"): text})
    assert read_file(tmp_path / "target.xlsx").cell("Log", 4, 1).value == text


@pytest.mark.parametrize("number", [0, -0.0, 0.1 + 0.2, 1e-300, 1.7e308, 2**53 + 1, 10**20, -5, 46023])
def test_any_number_comes_back(book: Path, tmp_path: Path, number: float) -> None:
    edit_cells(book, tmp_path / "target.xlsx", {("Log", "C5"): number})
    assert read_values(tmp_path / "target.xlsx")["Log", "C5"] == float(number)


def test_an_empty_text_clears(book: Path, tmp_path: Path) -> None:
    report = edit_cells(book, tmp_path / "target.xlsx", {("Log", "B5"): ""})
    assert read_values(tmp_path / "target.xlsx")["Log", "B5"] is None
    assert report.changes[0].after is None


# -------------------------------------------------------------------------------------------- odd packages


def rewritten(path: Path, change: Callable[[str, bytes], bytes], **options: int) -> Path:
    """The same workbook with some parts changed."""
    target = path.with_name("odd.xlsx")
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            new.writestr(name, change(name, old.read(name)), **options)
    return target


def test_a_sheet_in_another_encoding_is_refused(book: Path, tmp_path: Path) -> None:
    def utf_16(name: str, data: bytes) -> bytes:
        if name != "xl/worksheets/sheet1.xml":
            return data
        return data.decode().replace("UTF-8", "UTF-16").encode("utf-16")

    odd = rewritten(book, utf_16)
    with pytest.raises(BookFileError, match="not written in UTF-8"):
        edit_cells(odd, tmp_path / "target.xlsx", {("Log", "C5"): 1})


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (b"<worksheet ", b"<!DOCTYPE x [<!ENTITY a 'b'>]><worksheet ", "document type"),
        (b'<row r="5"', b'<row r="2"', "rows out of order"),
        (b'r="C5"', b'r="A5"', "cells out of order"),
        (b'r="C5"', b'r="C6"', "wrong row"),
        (b"</sheetData>", b"", "damaged"),
        (b"sheetData", b"sheetDate", "without cells"),
        (b"worksheet", b"chartsheet", "no sheet of cells"),
    ],
)
def test_a_damaged_sheet_is_refused(book: Path, tmp_path: Path, old: bytes, new: bytes, said: str) -> None:
    def damage(name: str, data: bytes) -> bytes:
        return data.replace(old, new) if name == "xl/worksheets/sheet1.xml" else data

    odd = rewritten(book, damage)
    with pytest.raises(BookFileError, match=said):
        edit_cells(odd, tmp_path / "target.xlsx", {("Log", "C5"): 1})
    assert not (tmp_path / "target.xlsx").exists()


def test_a_text_that_is_not_there_is_refused(book: Path, tmp_path: Path) -> None:
    def point_elsewhere(name: str, data: bytes) -> bytes:
        if name != "xl/worksheets/sheet1.xml":
            return data
        start = data.index(b"<v>", data.index(b'r="B5"'))
        return data[:start] + b"<v>9999</v>" + data[data.index(b"</v>", start) + 4 :]

    odd = rewritten(book, point_elsewhere)
    with pytest.raises(StudioError) as caught:
        edit_cells(odd, tmp_path / "target.xlsx", {("Log", "B5"): 1})
    assert caught.value.problems[0].found == "a value that the file does not hold"


def test_a_signed_workbook_is_refused(book: Path, tmp_path: Path) -> None:
    with zipfile.ZipFile(book, "a") as package:
        package.writestr("_xmlsignatures/sig1.xml", "<Signature/>")
    with pytest.raises(BookFileError, match="is signed"):
        edit_cells(book, tmp_path / "target.xlsx", {("Log", "C5"): 1})


def test_dates_from_1904_are_refused(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(tmp_path / "book.xlsx", {"date_1904": True}) as out:
        out.add_worksheet("Log")
    with pytest.raises(BookFileError, match="1904"):
        edit_cells(tmp_path / "book.xlsx", tmp_path / "target.xlsx", {("Log", "A1"): 46023})


class Unseekable:
    """A stream that can't go back, so that a zip's sizes have to follow each part."""

    def __init__(self, path: Path) -> None:
        self.file = path.open("wb")

    def write(self, data: bytes) -> int:
        return self.file.write(data)

    def flush(self) -> None:
        self.file.flush()

    def close(self) -> None:
        self.file.close()


def test_a_zip_written_as_a_stream_keeps_its_kind(book: Path, tmp_path: Path) -> None:
    streamed = tmp_path / "streamed.xlsx"
    out = Unseekable(streamed)
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:  # type: ignore[arg-type]
        for name in old.namelist():
            with new.open(name, "w", force_zip64=name.endswith("sheet1.xml")) as part:
                part.write(old.read(name))
        new.comment = b"a remark"
    out.close()
    edit_cells(streamed, tmp_path / "target.xlsx", EDITS)
    with zipfile.ZipFile(tmp_path / "target.xlsx") as package:
        assert package.comment == b"a remark"
        assert all(info.flag_bits & 8 for info in package.infolist())
    assert_same_but(streamed, tmp_path / "target.xlsx", [part_of(book, "Log")])
    values = read_values(tmp_path / "target.xlsx")
    assert {key: values.get(key) for key in EDITS} == EDITS


def test_stored_parts_stay_stored_and_bytes_before_the_zip_stay(book: Path, tmp_path: Path) -> None:
    stored = tmp_path / "stored.xlsx"
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(stored, "w", zipfile.ZIP_STORED) as new:
        for info in reversed(old.infolist()):
            new.writestr(zipfile.ZipInfo(info.filename, (2024, 2, 29, 12, 30, 58)), old.read(info))
    edit_cells(stored, tmp_path / "target.xlsx", EDITS)
    assert_same_but(stored, tmp_path / "target.xlsx", [part_of(book, "Log")])
    assert {facts[1] for facts in packed_parts(tmp_path / "target.xlsx").values()} == {zipfile.ZIP_STORED}
    assert {facts[0] for facts in packed_parts(tmp_path / "target.xlsx").values()} == {(2024, 2, 29, 12, 30, 58)}


def test_a_part_that_is_there_twice_is_refused(book: Path, tmp_path: Path) -> None:
    with pytest.warns(UserWarning, match="Duplicate"), zipfile.ZipFile(book, "a") as package:
        package.writestr("xl/worksheets/sheet1.xml", b"<worksheet/>")
    with pytest.raises(BookFileError):
        edit_cells(book, tmp_path / "target.xlsx", {("Log", "C5"): 1})
