"""The written file: what stands in its cells, and that writing is safe."""

from __future__ import annotations

import hashlib
import os
import zipfile
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

from meltbook.errors import DeclarationError, StudioError, UsageError
from meltbook.fields.kernel import Figure, Fixed, Input, Vocabulary
from meltbook.method.results import Results
from meltbook.workbook.expected import expected_value
from meltbook.workbook.formulas import iter_formulas
from meltbook.workbook.place import Placement
from meltbook.workbook.write import BookOptions, write_book
from tests.engines.values import read_formulas, read_values
from tests.unit.workbook import sample


def write(path: Path, results: Results | None = None, **options: object) -> Placement:
    made = BookOptions(**options)  # type: ignore[arg-type]
    return write_book(path, sample.vocabulary(), sample.sheets(), sample.studio(), results or sample.results(), made)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Placement]:
    path = tmp_path_factory.mktemp("book") / "book.xlsx"
    return path, write(path)


def cell(placement: Placement, name: str, row: int | None = None) -> tuple[str, str]:
    if row is None:
        spot = placement.scalars[name]
        return spot.sheet, f"{openpyxl.utils.get_column_letter(spot.col + 1)}{spot.row + 1}"
    column = placement.columns[name]
    return column.sheet, f"{openpyxl.utils.get_column_letter(column.col + 1)}{column.first + row + 1}"


# ---------------------------------------------------------------------------------------------- what is in it


def test_every_formula_is_written_and_no_other(book: tuple[Path, Placement]) -> None:
    path, placement = book
    expected = {(one.sheet, one.cell): one.text for one in iter_formulas(sample.vocabulary(), placement)}
    assert read_formulas(path) == expected


def test_every_formula_carries_the_reference_value(book: tuple[Path, Placement]) -> None:
    path, placement = book
    values = read_values(path)
    for one in iter_formulas(sample.vocabulary(), placement):
        expected = expected_value(sample.results(), one.name, one.row)
        found = values[one.sheet, one.cell]
        assert found == pytest.approx(expected) if isinstance(expected, float | int) else found == expected, one.name


def test_what_the_studio_types_is_in_its_cells(book: tuple[Path, Placement]) -> None:
    path, placement = book
    values = read_values(path)
    assert values[cell(placement, "ordinary_weight")] == 2.5
    assert values[cell(placement, "pricing_date")] == 46082
    assert values[cell(placement, "log_date", 0)] == sample.FIRST_DAY
    assert values[cell(placement, "log_days", 1)] == 3
    assert values[cell(placement, "log_days", 2)] is None
    assert values[cell(placement, "weight_unit")] == "kg", "a constant without a value is the studio's choice"
    assert values[cell(placement, "days_year")] == 365


def test_text_that_looks_like_a_formula_is_text(book: tuple[Path, Placement]) -> None:
    path, placement = book
    values, formulas = read_values(path), read_formulas(path)
    for name, row, text in (
        ("studio_name", None, "=1+1"),
        ("log_note", 0, "@lit"),
        ("log_note", 1, "-"),
        ("log_note", 3, '=HYPERLINK("x")'),
        ("piece_name", 0, "+Bowl"),
    ):
        where = cell(placement, name, row)
        assert values[where] == text
        assert where not in formulas


def test_every_input_is_tinted_bordered_named_typed_and_says_what_to_type(
    book: tuple[Path, Placement],
) -> None:
    path, placement = book
    file = openpyxl.load_workbook(path)
    vocabulary = sample.vocabulary()
    for name, item in (*vocabulary.scalars.items(), *((n, i) for n, (_, i) in vocabulary.columns.items())):
        sheet_name, address = cell(placement, name, None if name in placement.scalars else 0)
        sheet = file[sheet_name]
        at = sheet[address]
        typed = at.fill.fgColor.rgb == "FFF7F7DD" and at.border.left.style == "thin"
        assert typed == isinstance(item, Input), name
        prompts = [rule for rule in sheet.data_validations.dataValidation if address in rule.sqref]
        assert bool(prompts) == isinstance(item, Input), name
        if not isinstance(item, Input):
            continue
        assert prompts[0].promptTitle and prompts[0].prompt
        beside = sheet.cell(at.row, 1).value if name in placement.scalars else None
        above = str(sheet.cell(placement_header(placement, name), at.column).value) if beside is None else ""
        assert beside == "type" or "type" in above, name


def placement_header(placement: Placement, name: str) -> int:
    return placement.columns[name].top  # the row above the named range, counted from 1


def test_seed_and_end_rows_hold_no_words(book: tuple[Path, Placement]) -> None:
    path, placement = book
    values = read_values(path)
    sheet, last = placement.columns["log_date"].sheet, placement.columns["log_date"].bottom + 1
    assert values[sheet, f"A{last}"] == "Add rows above this line"
    assert values[sheet, f"A{placement.columns['log_date'].top + 1}"] == "Start"
    assert values[cell(placement, "run_total", -1)] == 0
    assert values[cell(placement, "run_kind", -1)] == "none yet"
    texts = [
        values.get(cell(placement, name, sample.LOG_ROWS)) for name in placement.columns if name.startswith("log_")
    ]
    assert set(texts) == {None}


def test_names_are_defined_for_all_fields(book: tuple[Path, Placement]) -> None:
    path, placement = book
    names = openpyxl.load_workbook(path).defined_names
    assert set(names) == {*placement.scalars, *placement.columns}
    assert names["log_date"].attr_text == "'Furnace log'!$B$9:$B$16"


def test_every_sheet_has_its_top_lines_and_page(book: tuple[Path, Placement]) -> None:
    path, _ = book
    file, formulas = openpyxl.load_workbook(path), read_formulas(path)
    for declared in sample.sheets():
        sheet = file[declared.name]
        col = "B" if declared.role == "print" else "A"
        assert (sheet[f"{col}1"].value, sheet[f"{col}2"].value) == (declared.title, declared.purpose)
        assert formulas[declared.name, "B3"] == "checks_state"
        if declared.key != "start":
            assert sheet["A3"].hyperlink.location == "'Start'!A1"
        assert sheet.freeze_panes is not None
        assert sheet.sheet_view.showGridLines is False
        assert sheet.page_setup.fitToHeight == (None if declared.one_page else 0)
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        assert sheet.page_setup.paperSize == 1
        assert sheet.page_setup.orientation == ("landscape" if declared.landscape else "portrait")
        assert "&A" in (sheet.oddHeader.right.text or "") and "&P" in (sheet.oddFooter.center.text or "")


def test_the_first_sheet_leads_to_all_others(book: tuple[Path, Placement]) -> None:
    sheet = openpyxl.load_workbook(book[0])["Start"]
    targets = {at.hyperlink.location for row in sheet.iter_rows() for at in row if at.hyperlink}
    assert targets == {f"'{one.name}'!A1" for one in sample.sheets()[1:]}


def test_what_is_printed_leaves_the_workings_out(book: tuple[Path, Placement]) -> None:
    path, placement = book
    sheet = openpyxl.load_workbook(path)["Furnace log"]
    area = sheet.print_area.rpartition("$")[0].split(":")[1].strip("$")
    assert openpyxl.utils.column_index_from_string(area) - 1 < placement.columns["run_total"].col
    row = [sheet.cell(r, placement.columns["run_total"].col + 1).value for r in range(4, 8)]
    assert "Workings: nothing to type here" in row


def test_units_and_currency_are_the_studios(book: tuple[Path, Placement]) -> None:
    path, placement = book
    sheet = openpyxl.load_workbook(path)["Furnace log"]
    heads = {sheet.cell(placement_header(placement, "log_date"), col).value for col in range(2, 9)}
    assert {"Weight\ntype here, kg", "Cost\nEUR", "Date\ntype here", "State"} <= heads


def test_numbers_look_like_what_they_are(book: tuple[Path, Placement]) -> None:
    path, placement = book
    file = openpyxl.load_workbook(path)
    for name, row, code in (
        ("log_date", 0, "yyyy-mm-dd"),
        ("cost_total", None, "#,##0.00_);-#,##0.00_)"),
        ("run_total", 0, '#,##0.00_);-#,##0.00_);"–"_)'),
        ("piece_name", 0, "@"),
    ):
        sheet, address = cell(placement, name, row)
        assert file[sheet][address].number_format == code, name


def test_currencies_without_cents(tmp_path: Path) -> None:
    placement = write(tmp_path / "yen.xlsx", money_digits=0, paper="A4", words={"currency": "JPY"})
    file = openpyxl.load_workbook(tmp_path / "yen.xlsx")
    sheet, address = cell(placement, "cost_total")
    assert file[sheet][address].number_format == "#,##0_);-#,##0_)"
    assert file["Start"].page_setup.paperSize == 9


def test_states_are_tinted_by_their_words(book: tuple[Path, Placement]) -> None:
    file = openpyxl.load_workbook(book[0])
    rules = {
        str(area.sqref): [rule.text for rule in block]
        for area, block in file["Furnace log"].conditional_formatting._cf_rules.items()
    }
    assert rules == {"B3": ["All", "OK", "look"], "H10:H16": ["OK", "LOOK", "NOTE"]}


def test_without_results_every_cached_value_is_empty(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    write_book(path, sample.vocabulary(), sample.sheets(), sample.studio(), None)
    values = read_values(path)
    assert {values[where] for where in read_formulas(path)} == {None}


# ------------------------------------------------------------------------------------------ how it is written


def test_the_same_book_has_the_same_bytes(tmp_path: Path) -> None:
    for name in ("one.xlsx", "two.xlsx"):
        write(tmp_path / name)
    one, two = (hashlib.sha256((tmp_path / name).read_bytes()).hexdigest() for name in ("one.xlsx", "two.xlsx"))
    assert one == two


def test_the_file_says_nothing_about_who_made_it_and_when(book: tuple[Path, Placement]) -> None:
    properties = openpyxl.load_workbook(book[0]).properties
    assert properties.title == "Costing workbook"
    assert not properties.creator and not properties.lastModifiedBy
    assert properties.created.year == 2000


def test_a_file_is_not_overwritten_unless_told(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(b"mine")
    with pytest.raises(UsageError, match="there already"):
        write(path)
    assert path.read_bytes() == b"mine"
    write(path, overwrite=True)
    assert zipfile.is_zipfile(path)
    assert [one.name for one in tmp_path.iterdir()] == ["book.xlsx"]


def test_an_interrupted_write_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "book.xlsx"
    path.write_bytes(b"old")

    def full(handle: int) -> None:
        raise OSError("no space left")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="no space left"):
        write(path, overwrite=True)
    assert path.read_bytes() == b"old"
    assert [one.name for one in tmp_path.iterdir()] == ["book.xlsx"]


def test_a_book_that_can_not_be_built_writes_nothing(tmp_path: Path) -> None:
    broken = sample.results()
    del broken.scalars["cost_total"]
    with pytest.raises(DeclarationError, match="no value for cost_total"):
        write(tmp_path / "book.xlsx", broken)
    assert list(tmp_path.iterdir()) == []


def test_a_missing_folder_is_said(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match=r"the folder .* is not there"):
        write(tmp_path / "none" / "book.xlsx")


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), True])
def test_values_that_no_cell_can_hold_are_refused(tmp_path: Path, bad: float) -> None:
    broken = sample.results()
    broken.columns["row_cost"][1] = bad
    with pytest.raises(DeclarationError, match="which no cell can hold"):
        write(tmp_path / "book.xlsx", broken)


def test_too_few_values_are_refused(tmp_path: Path) -> None:
    broken = sample.results()
    broken.columns["row_cost"].pop()
    with pytest.raises(DeclarationError, match="5 values for row_cost, which has 6 rows"):
        write(tmp_path / "book.xlsx", broken)
    broken = sample.results()
    broken.ends.clear()
    with pytest.raises(DeclarationError, match="no value for run_left, row end"):
        write(tmp_path / "book.xlsx", broken)


def test_a_studio_with_more_rows_than_the_book_is_refused(tmp_path: Path) -> None:
    with pytest.raises(StudioError) as caught:
        write(tmp_path / "book.xlsx", capacities={"log": 3})
    assert (
        str(caught.value.problems[0])
        == "Log, Date: found 4 rows; expected at most 3. Make the book with more rows (log)."
    )


def test_what_xlsxwriter_would_only_warn_of_is_an_error(tmp_path: Path) -> None:
    words = sample.vocabulary()
    long = replace(words.scalars["studio_name"], label="x" * 40_000)
    vocabulary = Vocabulary({**words.scalars, "studio_name": long}, words.tables, words.columns)
    with pytest.raises(DeclarationError, match="XlsxWriter"):
        write_book(tmp_path / "book.xlsx", vocabulary, sample.sheets(), sample.studio(), None)


def test_the_sample_holds_one_of_each(book: tuple[Path, Placement]) -> None:
    kinds = {type(item) for item in sample.SCALARS} | {type(item) for item in sample.LOG.columns}
    assert kinds == {Input, Fixed, Figure}
