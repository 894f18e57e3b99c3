"""After an edit, what is stored beside a formula is right or absent, and nothing else has changed."""

from __future__ import annotations

import math
import re
import zipfile
from pathlib import Path

import formualizer
import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st

from meltbook.errors import BookFileError, UsageError
from meltbook.workbook import cache_cells, caches
from meltbook.workbook.amend import amend
from meltbook.workbook.cache_cells import FormulaCells, formula_cells
from meltbook.workbook.caches import Difference, Method, drop_caches, fill_caches, refresh
from meltbook.workbook.cells import CellError, CellValue
from meltbook.workbook.edit import edit_cells
from meltbook.workbook.plain_formulas import PlainFormulas, plain_formulas
from meltbook.workbook.read import read_file
from tests.engines import values as stored_values
from tests.engines.runners import LibreOffice, recalculate_one
from tests.engines.values import read_formulas, read_values
from tests.unit.workbook.edit_book import (
    PROGRAMS,
    assert_same_but,
    part_of,
    sheet_bytes,
    write_as,
    write_everything,
)

EDITS: dict[tuple[str, str], float | str | None] = {
    ("Log", "C5"): 99.125,
    ("Log", "A12"): 46100,
    ("Log", "C12"): 7,
    ("Log", "C7"): None,
    ("Log", "B40"): "below",
}
WEIGHTS = {row: 9.5 + row for row in range(4, 12)} | {5: 99.125, 12: 7.0, 7: None}


def known_values() -> dict[tuple[str, str], CellValue]:
    """What the log's formulas give after the edits, worked out here."""
    known: dict[tuple[str, str], CellValue] = {}
    so_far = 0.0
    for row in range(4, 16):
        weight = WEIGHTS.get(row)
        cost = None if weight is None else weight * 0.25
        so_far += cost or 0
        known |= {("Log", f"E{row}"): cost, ("Log", f"F{row}"): so_far}
    return known


KNOWN = known_values()
OWN: dict[tuple[str, str], CellValue] = {
    ("Mine & yours", "B2"): sum(weight for weight in WEIGHTS.values() if weight),
    ("Mine & yours", "B3"): "dear & <dear>",
    ("Mine & yours", "B4"): 0.25,
    ("Mine & yours", "B5"): True,
    ("Mine & yours", "B6"): CellError("#DIV/0!"),
}


@pytest.fixture(scope="module", params=PROGRAMS)
def everything(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    if request.param in ("libreoffice", "gnumeric"):
        request.getfixturevalue(request.param)
    return write_as(request.param, tmp_path_factory.mktemp(request.param))


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "book.xlsx"
    write_everything(path)
    return path


def agrees(one: CellValue, other: CellValue) -> bool:
    if isinstance(one, bool) or isinstance(other, bool):
        return one is other
    if isinstance(one, float | int) and isinstance(other, float | int):
        return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-12)
    return str(one or "") == str(other or "")


def stored(path: Path) -> dict[tuple[str, str], CellValue]:
    """What is stored beside each formula that has something stored, read by the project's own reader."""
    book = read_file(path)
    found: dict[tuple[str, str], CellValue] = {}
    for sheet, cell in read_formulas(path):
        here = book.cell(sheet, int(cell[1:]) - 1, ord(cell[0]) - 65)
        if here.stored:
            found[sheet, cell] = here.value
    return found


def sheets_with_formulas(path: Path) -> list[str]:
    return [part_of(path, sheet) for sheet in dict.fromkeys(sheet for sheet, _ in read_formulas(path))]


# -------------------------------------------------------------------------------------- right, or not there


def test_every_stored_value_is_right_after_an_edit(everything: Path, tmp_path: Path) -> None:
    target = tmp_path / "target.xlsx"
    report = amend(everything, target, EDITS, KNOWN).caches
    found = stored(target)
    assert KNOWN.keys() <= found.keys()
    assert [key for key, value in found.items() if not agrees(value, {**KNOWN, **OWN}.get(key, value))] == []
    assert report.verified == len(KNOWN)
    assert report.stored == len(found)
    assert report.formulas == len(read_formulas(target))
    assert report.differences == ()


def test_every_stored_value_is_what_libreoffice_works_out(
    everything: Path, tmp_path: Path, libreoffice: LibreOffice
) -> None:
    target = tmp_path / "target.xlsx"
    amend(everything, target, EDITS, KNOWN)
    worked_out = recalculate_one(libreoffice, target, tmp_path)
    found = read_values(target)
    assert len(stored(target)) >= len(KNOWN)
    for key in stored(target):
        assert agrees(_plain(found[key]), _plain(worked_out[key])), key


def test_a_program_that_believes_stored_values_shows_right_ones(
    everything: Path, tmp_path: Path, libreoffice: LibreOffice, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(libreoffice, "_write_profile", lambda folder: None)  # it recalculates nothing unasked
    amend(everything, tmp_path / "target.xlsx", EDITS, KNOWN)
    shown = recalculate_one(libreoffice, tmp_path / "target.xlsx", tmp_path)
    for key, value in {**KNOWN, **OWN}.items():
        assert agrees(_plain(shown.get(key)), value), key


def _plain(value: stored_values.Value) -> CellValue:
    return CellError(value.code) if isinstance(value, stored_values.CellError) else value


def test_a_file_of_each_program_is_recalculated(everything: Path, tmp_path: Path) -> None:
    report = refresh(everything, tmp_path / "target.xlsx")
    assert report.method is Method.RECALCULATED
    assert report.dropped == 0
    assert "worked out and stored" in str(report)


# ----------------------------------------------------------------------------------- nothing else changes


def without_values(xml: bytes) -> bytes:
    return formula_cells(xml).with_values({})


def test_only_stored_values_change(everything: Path, tmp_path: Path) -> None:
    target = tmp_path / "target.xlsx"
    refresh(everything, target)
    assert_same_but(everything, target, sheets_with_formulas(everything))
    for sheet in read_file(everything).sheet_names:
        old, new = sheet_bytes(everything, sheet), sheet_bytes(target, sheet)
        assert without_values(new) == without_values(old)
    formulas = read_formulas(everything)
    typed = {key: value for key, value in read_values(everything).items() if key not in formulas}
    after = read_values(target)
    array = {("Mine & yours", cell) for cell in ("C3", "C4")}
    assert {key: after[key] for key in typed if key not in array} == {
        key: value for key, value in typed.items() if key not in array
    }


def test_amending_changes_the_named_cells_and_stored_values_alone(everything: Path, tmp_path: Path) -> None:
    edited, amended = tmp_path / "edited.xlsx", tmp_path / "amended.xlsx"
    edit_cells(everything, edited, EDITS)
    amend(everything, amended, EDITS, KNOWN)
    drop_caches(edited, edited)
    drop_caches(amended, amended)
    assert edited.read_bytes() == amended.read_bytes()


def test_the_engine_by_itself_leaves_the_rest_as_it_was_too(tmp_path: Path) -> None:
    """The claim that it rewrites stored values and no more, which nothing here relies on."""
    for write in ("xlsxwriter", "openpyxl"):
        source, target = write_as(write, tmp_path), tmp_path / "target.xlsx"
        formualizer.recalculate_xlsx_file(str(source), str(target))
        with zipfile.ZipFile(source) as old, zipfile.ZipFile(target) as new:
            assert new.namelist() == old.namelist()
            parts = sheets_with_formulas(source)
            differing = [name for name in old.namelist() if old.read(name) != new.read(name)]
            assert set(differing) <= set(parts)
        for sheet in read_file(source).sheet_names:
            assert without_values(sheet_bytes(target, sheet)) == without_values(sheet_bytes(source, sheet))


def test_refreshing_twice_changes_nothing_the_second_time(everything: Path, tmp_path: Path) -> None:
    refresh(everything, tmp_path / "once.xlsx")
    refresh(tmp_path / "once.xlsx", tmp_path / "twice.xlsx")
    assert (tmp_path / "once.xlsx").read_bytes() == (tmp_path / "twice.xlsx").read_bytes()


# ----------------------------------------------------------------------------------------- where it refuses


def test_where_the_engine_refuses_what_is_known_is_stored(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def panic(_: bytes) -> None:
        raise type("PanicException", (BaseException,), {})("the engine fell over")

    monkeypatch.setattr(caches.formualizer, "recalculate_xlsx_bytes", panic)
    report = amend(book, tmp_path / "target.xlsx", EDITS, KNOWN).caches
    assert report.method is Method.FILLED
    assert report.reason == "the engine fell over"
    assert report.stored == report.verified == len(KNOWN)
    assert report.dropped == len(read_formulas(book)) - len(KNOWN)
    assert all(agrees(value, KNOWN[key]) for key, value in stored(tmp_path / "target.xlsx").items())


def test_a_function_that_the_engine_lacks(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(tmp_path / "book.xlsx") as out:
        log = out.add_worksheet("Log")
        log.write_formula("A1", "=1+1")
        log.write_formula("A2", "=IFERROR(OWNFUNCTION(A1),5)", None, 7)
    report = refresh(tmp_path / "book.xlsx", tmp_path / "target.xlsx", {("Log", "A1"): 2})
    assert report.method is Method.FILLED
    assert "OWNFUNCTION" in report.reason
    assert stored(tmp_path / "target.xlsx") == {("Log", "A1"): 2}


@pytest.mark.parametrize("formula", ["=A2", "=A2/2+1"])
def test_a_circle_is_left_to_the_program(tmp_path: Path, formula: str) -> None:
    with xlsxwriter.Workbook(tmp_path / "book.xlsx") as out:
        log = out.add_worksheet("Log")
        log.write_formula("A1", formula, None, 3)
        log.write_formula("A2", "=A1", None, 4)
    assert refresh(tmp_path / "book.xlsx", tmp_path / "target.xlsx").method is Method.DROPPED
    assert stored(tmp_path / "target.xlsx") == {}


def test_a_workbook_that_calculates_with_rounded_figures(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(tmp_path / "book.xlsx") as out:
        out.add_worksheet("Log").write_formula("A1", "=1/3", None, 0.33)
    with zipfile.ZipFile(tmp_path / "book.xlsx") as old, zipfile.ZipFile(tmp_path / "odd.xlsx", "w") as new:
        for name in old.namelist():
            data = old.read(name).replace(b'fullCalcOnLoad="1"', b'fullPrecision="0"')
            new.writestr(name, data)
    report = refresh(tmp_path / "odd.xlsx", tmp_path / "target.xlsx", {("Log", "A1"): 1 / 3})
    assert report.method is Method.DROPPED
    assert "rounded" in report.reason
    assert not report.on_opening
    assert "Ctrl+Alt+F9" in str(report)


# --------------------------------------------------------------------------------- where the two disagree


def test_a_value_that_differs_leaves_none(book: Path, tmp_path: Path) -> None:
    edit_cells(book, tmp_path / "edited.xlsx", EDITS)
    wrong = {**KNOWN, ("Log", "F9"): 1.0}
    report = refresh(tmp_path / "edited.xlsx", tmp_path / "target.xlsx", wrong)
    assert report.method is Method.DROPPED
    right = KNOWN["Log", "F9"]
    (difference,) = report.differences
    assert difference == Difference("Log", "F9", 1.0, pytest.approx(right))
    assert "Log!F9" in str(report)
    assert stored(tmp_path / "target.xlsx") == {}


@pytest.mark.parametrize("engine", ["present", "absent"])
def test_a_formula_that_was_typed_over_leaves_none(
    book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, engine: str
) -> None:
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(tmp_path / "over.xlsx", "w") as new:
        for name in old.namelist():
            data = old.read(name)
            if name == "xl/worksheets/sheet1.xml":
                start = data.index(b"<f>", data.index(b'r="E4"'))
                data = data[:start] + b"<v>5</v>" + data[data.index(b"</v>", start) + 4 :]
            new.writestr(name, data)
    if engine == "absent":
        monkeypatch.setattr(caches.formualizer, "recalculate_xlsx_bytes", lambda _: 1 / 0)
    report = amend(tmp_path / "over.xlsx", tmp_path / "target.xlsx", EDITS, KNOWN).caches
    assert Difference("Log", "E4", 13.5 * 0.25, 5.0) in report.differences
    assert stored(tmp_path / "target.xlsx") == {}


def test_a_sheet_that_is_gone_leaves_none(book: Path, tmp_path: Path) -> None:
    report = refresh(book, tmp_path / "target.xlsx", {("Away", "A1"): 1.0, ("Away", "A2"): None})
    assert report.differences == (Difference("Away", "A1", 1.0, None),)
    assert stored(tmp_path / "target.xlsx") == {}


# -------------------------------------------------------------------------------------- filling and dropping

ODD: list[CellValue] = [
    0,
    1.5,
    -1e-12,
    1e20,
    "",
    None,
    "a",
    " a ",
    "<&>\n",
    "_x0041_",
    True,
    False,
    CellError("#N/A"),
]


@pytest.mark.parametrize("value", ODD)
def test_any_value_is_stored_and_read_back(everything: Path, tmp_path: Path, value: CellValue) -> None:
    report = fill_caches(everything, tmp_path / "target.xlsx", {("Log", "E5"): value, ("Log", "F5"): value})
    assert report.method is Method.FILLED
    assert stored(tmp_path / "target.xlsx") == {("Log", cell): "" if value is None else value for cell in ("E5", "F5")}
    assert read_formulas(tmp_path / "target.xlsx") == read_formulas(everything)


def test_dropping_leaves_no_value(everything: Path, tmp_path: Path) -> None:
    report = drop_caches(everything, tmp_path / "target.xlsx")
    assert stored(tmp_path / "target.xlsx") == {}
    assert (report.method, report.stored, report.dropped) == (
        Method.DROPPED,
        0,
        len(read_formulas(everything)),
    )
    assert_same_but(everything, tmp_path / "target.xlsx", sheets_with_formulas(everything))
    if everything.stem != "openpyxl":
        assert read_values(tmp_path / "target.xlsx")["Mine & yours", "C3"] is None  # below an array formula


def test_a_dropped_workbook_is_worked_out_on_opening(
    everything: Path, tmp_path: Path, libreoffice: LibreOffice, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(libreoffice, "_write_profile", lambda folder: None)  # it recalculates nothing unasked
    edit_cells(everything, tmp_path / "edited.xlsx", EDITS)
    drop_caches(tmp_path / "edited.xlsx", tmp_path / "target.xlsx")
    shown = recalculate_one(libreoffice, tmp_path / "target.xlsx", tmp_path)
    for key, value in {**KNOWN, **OWN}.items():
        assert agrees(_plain(shown.get(key)), value), key


SHEET = (
    '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>{}</sheetData></worksheet>'
)


@pytest.mark.parametrize(
    ("before", "filled", "dropped"),
    [
        ('<c r="A1"><f>B1</f><v>1</v></c>', '<c r="A1"><f>B1</f><v>5</v></c>', '<c r="A1"><f>B1</f></c>'),
        ('<c r="A1"><f>B1</f></c>', '<c r="A1"><f>B1</f><v>5</v></c>', '<c r="A1"><f>B1</f></c>'),
        ('<c r="A1"><f>B1</f><v/></c>', '<c r="A1"><f>B1</f><v>5</v></c>', '<c r="A1"><f>B1</f></c>'),
        (
            '<c r="A1" t="str"><f>B1</f><v>a</v></c>',
            '<c r="A1"><f>B1</f><v>5</v></c>',
            '<c r="A1"><f>B1</f></c>',
        ),
        (
            '<c s="1" t="e" vm="1" r="A1"><f ca="1"/><v>#N/A</v><extLst/></c>',
            '<c s="1" r="A1"><f ca="1"/><v>5</v><extLst/></c>',
            '<c s="1" r="A1"><f ca="1"/><extLst/></c>',
        ),
    ],
)
def test_only_the_value_and_its_kind_are_touched(before: str, filled: str, dropped: str) -> None:
    old = SHEET.format(f'<row r="1">{before}<c r="B1" t="s"><v>0</v></c></row>').encode()
    sheet = formula_cells(old)
    for values, after in (({"A1": 5.0}, filled), ({}, dropped)):
        assert sheet.with_values(values) == old.replace(before.encode(), after.encode())


@pytest.mark.parametrize("remark", ["", "<!-- so that it is not in plain spelling -->"])
@pytest.mark.parametrize(
    ("stored", "value", "kept"),
    [
        ("<f>B1</f><v>5.0</v>", 5.0, True),
        ("<f>B1</f><v>0.333333333333333</v>", 1 / 3, True),  # the 15 digits of an office program
        ("<f>B1</f><v>0.33333333333</v>", 1 / 3, False),
        ("<f>B1</f><v>0.333333333334</v>", 1 / 3, False),
        ("<f>B1</f><v>0.0</v>", 0, True),
        ("<f>B1</f><v>1e-300</v>", 0.0, False),
        ("<f>B1</f><v>1</v>", True, False),
        ("<f>B1</f><v></v>", None, False),
    ],
)
def test_a_value_that_is_there_already_keeps_its_spelling(
    stored: str, value: CellValue, kept: bool, remark: str
) -> None:
    old = SHEET.format(f'<row r="1">{remark}<c r="A1">{stored}</c></row>').encode()
    assert (formula_cells(old).with_values({"A1": value}) == old) is kept


def test_a_sheet_in_plain_spelling_is_read_as_the_tokenizer_reads_it(everything: Path) -> None:
    for sheet in read_file(everything).sheet_names:
        data = sheet_bytes(everything, sheet)
        plain = plain_formulas(data)
        if sheet == "Log" and everything.stem != "gnumeric":
            assert plain is not None and len(plain.names) == 24
        if plain is not None:
            assert_alike(plain, FormulaCells(data, cache_cells._any_cells(data)))


def assert_alike(plain: PlainFormulas, other: FormulaCells) -> None:
    """Both ways to read a sheet find the same, and write the same into it."""
    strings = ["text"] * 100
    assert (plain.names, plain.formula_names) == (other.names, other.formula_names)
    assert plain.stored(strings) == other.stored(strings)
    assert list(plain.formula_texts()) == list(other.formula_texts())
    assert plain.words_before_brackets() == {
        word.upper() for text in other.formula_texts() for word in re.findall(r"(\w+)\s*\(", text)
    }
    for value in (*ODD, 1.5, "<"):
        values = dict.fromkeys(plain.names[::2], value)
        assert plain.with_values(values) == other.with_values(values)
    assert plain.with_values(other.stored(strings)) == other.with_values(other.stored(strings))


CELLS = st.sampled_from(
    [
        '<c r="{}"/>',
        '<c r="{}" s="1" t="s"><v>0</v></c>',
        '<c r="{}"><f>A1</f></c>',
        '<c r="{}" s="3"><f>A1</f><v>1.5</v></c>',
        '<c r="{}" s="3" t="str"><f>A1&amp;"&lt;f>"</f><v>&lt;</v></c>',
        '<c r="{}" t="b"><f ca="1">A1</f> <v>1</v></c>',
        '<c r="{}"><f t="shared" si="0"/><v/></c>',
        "<c r='{}'><f>A1</f><v>1</v></c>",
        '<c s="1" r="{}"><f>A1</f><v>1</v></c>',
        '<c r="{}" t="inlineStr"><is><t>&lt;f&gt; f</t></is></c>',
        '<c r="{}"><!-- <f>1</f> --><v>1</v></c>',
        '<c r="{}" x="&lt;f>"><f>A1</f><v>1</v></c>',
        '<c r="{}"><f>A1</f><v>1</v><extLst><ext/></extLst></c>',
        '<c r="{}" vm="1"><f>A1</f><v>1</v></c>',
    ]
)


@given(st.lists(CELLS, max_size=6))
def test_the_pattern_finds_all_that_the_tokenizer_finds_or_nothing(cells: list[str]) -> None:
    row = "".join(cell.format(f"{letter}1") for letter, cell in zip("ABCDEF", cells, strict=False))
    data = SHEET.format(f'<row r="1">{row}</row>').encode()
    found = cache_cells._any_cells(data)
    plain = plain_formulas(data)
    if plain is not None:
        assert_alike(plain, FormulaCells(data, found))
    values: dict[str, CellValue] = {cell.name: 7.0 for cell in found}
    filled = formula_cells(formula_cells(data).with_values(values))
    assert filled.stored([]) == values
    assert filled.with_values({}) == formula_cells(data).with_values({})


def test_a_formula_that_fills_fewer_cells_than_before_leaves_no_old_value(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(tmp_path / "book.xlsx") as out:
        log = out.add_worksheet("Log")
        log.write_column("A1", [1, 2, 3])
        log.write_dynamic_array_formula("E1:E4", "=A1:A3*3", None, 99)
        log.write("E4", 99)
    refresh(tmp_path / "book.xlsx", tmp_path / "target.xlsx")
    found = read_values(tmp_path / "target.xlsx")
    assert [found["Log", f"E{row}"] for row in (1, 2, 3, 4)] == [3, 6, 9, None]


# ----------------------------------------------------------------------------------------------- the file


def test_another_file_is_not_written_over_unasked(book: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.xlsx"
    other.write_bytes(b"precious")
    for change in (drop_caches, refresh):
        with pytest.raises(UsageError, match="is there already"):
            change(book, other)
    assert other.read_bytes() == b"precious"
    refresh(book, other, overwrite=True)
    refresh(book, book)
    assert book.read_bytes() == other.read_bytes()
    assert {path.name for path in tmp_path.iterdir()} == {"book.xlsx", "other.xlsx"}


def test_a_damaged_value_is_said(tmp_path: Path, book: Path) -> None:
    with zipfile.ZipFile(book) as old, zipfile.ZipFile(tmp_path / "odd.xlsx", "w") as new:
        for name in old.namelist():
            new.writestr(name, old.read(name).replace(b'ref="C2:C4"', b'ref="C2:4"'))
    with pytest.raises(BookFileError, match="damaged"):
        drop_caches(tmp_path / "odd.xlsx", tmp_path / "target.xlsx")


def test_amending_in_place_keeps_the_old_file_and_never_shows_old_results(book: Path, tmp_path: Path) -> None:
    old = book.read_bytes()
    report = amend(book, book, EDITS, lambda: KNOWN)
    assert report.edit.backup is not None
    assert report.edit.backup.read_bytes() == old
    assert report.caches.method is Method.RECALCULATED
    assert stored(book)["Log", "F15"] == pytest.approx(KNOWN["Log", "F15"])
    assert {path.name for path in tmp_path.iterdir()} == {"book.xlsx", report.edit.backup.name}
