"""`meltbook check`: whatever an owner does to a workbook is found, and what is harmless is not."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from meltbook.workbook.a_one import shifted
from meltbook.workbook.address import cell_address
from meltbook.workbook.edited import EditedBook, read_book
from tests.unit.cli.conftest import Typed, Value, address
from tests.unit.cli.run import run
from tests.unit.workbook import edits


def check(path: Path, code: int = 1) -> list[dict[str, Any]]:
    """The problems that the command prints."""
    result = run("check", path, "--json")
    assert result.exit_code == code, result.output
    document = json.loads(result.stdout)
    assert document["ok"] is (code == 0)
    problems: list[dict[str, Any]] = document["problems"]
    return problems


def test_text_says_the_same_as_json(typed: Typed) -> None:
    file = typed(("log_weight", 1, "12,50"), ("log_kind", 2, "Chrage"), ("energy_used", 3, 1.0))
    document = json.loads(run("check", file, "--json").stdout)
    said = run("check", file)
    assert said.exit_code == document["exit_code"] == 1
    lines = said.stdout.splitlines()
    assert len(lines) == len(document["problems"]) + len(document["notes"]) + 1
    for line, problem in zip(lines, document["problems"], strict=False):
        assert line.startswith(f"{problem['sheet']}, row {problem['row']}, {problem['column']}: found ")
    assert lines[-1].startswith(f"{len(document['problems'])} problems")


def only(path: Path) -> dict[str, Any]:
    problems = check(path)
    assert len(problems) == 1, problems
    return problems[0]


# --------------------------------------------------------------------------------------- nothing is wrong


@pytest.mark.parametrize("start", ["blank", "lakeside-lb", "harbour-kg"])
def test_new_books_are_fine(start: str, tmp_path: Path) -> None:
    assert run("new", tmp_path / "book.xlsx", "--from", start, "--rows", "400").exit_code == 0
    assert check(tmp_path / "book.xlsx", 0) == []


def test_a_blank_book_is_not_called_right(tmp_path: Path) -> None:
    assert run("new", tmp_path / "book.xlsx", "--rows", "400").exit_code == 0
    said = run("check", tmp_path / "book.xlsx")
    assert (said.exit_code, said.stdout) == (0, "Nothing is typed yet, so there is nothing to check.\n")


def test_words_are_the_same_in_small_letters(typed: Typed, demo_read: EditedBook) -> None:
    kind = demo_read.studio.log[0].kind
    assert kind is not None
    assert check(typed(("log_kind", 1, kind.lower())), 0) == []


def test_an_input_may_be_a_formula(typed: Typed, demo_read: EditedBook, demo: Path, tmp_path: Path) -> None:
    sheet, cell = address(demo_read, "ordinary_hours")
    parts = edits.unzip(demo)
    part = edits.part_of(demo, sheet)
    content = parts[part].decode()
    pattern = rf'(<c r="{cell}"[^>]*>)<v>([^<]*)</v>'
    assert re.search(pattern, content)
    parts[part] = re.sub(pattern, r"\1<f>25*48</f><v>\2</v>", content).encode()
    assert check(edits.rezip(parts, tmp_path / "edited.xlsx"), 0) == []


def test_sheets_and_columns_may_move(demo: Path, demo_read: EditedBook, tmp_path: Path) -> None:
    sheet, cell = address(demo_read, "log_weight", 1)
    column = re.sub(r"\d", "", cell)
    one = edits.insert_column(demo, tmp_path / "one.xlsx", sheet, column)
    two = edits.rename_sheet(one, tmp_path / "two.xlsx", sheet, "Ofen '26")
    assert read_book(two).placement.columns["log_weight"].sheet == "Ofen '26"
    assert check(two, 0) == []


def test_rows_of_a_sheet_above_a_table_may_move(demo: Path, demo_read: EditedBook, tmp_path: Path) -> None:
    sheet, _ = address(demo_read, "log_date", 1)
    assert check(edits.insert_rows(demo, tmp_path / "edited.xlsx", sheet, 3, 2), 0) == []


# ------------------------------------------------------------------------------------------------ typed cells


@pytest.mark.parametrize(
    ("name", "row", "value", "found", "expected", "do"),
    [
        ("log_weight", 1, "12,50", "the text '12,50'", "a number, 0 or more", "type 12.50 as a number"),
        ("log_weight", 1, "1.234,5", "the text '1.234,5'", "a number", "1234.5"),
        ("log_weight", 1, "12.50", "the text '12.50'", "a number", "again, as a number"),
        ("log_weight", 1, "about 40", "the text 'about 40'", "a number", "alone"),
        ("log_weight", 1, " ", "only spaces", "a number", "looks empty"),
        ("log_weight", 1, True, "true", "a number", ""),
        ("log_weight", 1, -5.0, "-5", "a number, 0 or more", "minus"),
        ("log_days", 1, 1.5, "1.5", "a whole number", "Round it"),
        ("log_days", 1, 3661.0, "3661", "a whole number from 0 to 3660", "split it"),
        ("log_days", 5, 1e9, "1000000000", "a whole number from 0 to 3660", "split it"),
        ("log_date", 1, "2026-03-02", "the text '2026-03-02'", "a date", "again as a date"),
        ("log_date", 1, "2/3/26", "the text '2/3/26'", "a date", "again as a date"),
        ("log_date", 1, 20260302.0, "the number 20260302", "a date from 1950", "2026-03-02"),
        ("log_date", 1, 2026.0, "the number 2026", "a date from 1950", ""),
        ("log_date", 1, 46023.5, "a date with a time of day", "a date", "2026-01-01 alone"),
        ("log_kind", 1, "Chrage", "the text 'Chrage'", "Heat-up, Charge", "Did you mean Charge?"),
        ("log_kind", 1, "Charge ", "with a space too many", "Heat-up, Charge", "Choose Charge"),
        ("log_kind", 1, 2.0, "2", "Heat-up, Charge", "Choose one"),
        ("tariff_tax", 1, 8.0, "8", "a number from 0 to 1", "Type 8 % as 0.08."),
        ("tariff_price", 1, "0,14", "the text '0,14'", "a number", "type 0.14"),
        ("connected_kw", None, "12 kW", "the text '12 kW'", "a number", "alone"),
        ("sales_tax", None, 7.0, "7", "from 0 to 1", "0.07"),
        ("tag_step", None, 0.0, "0", "above 0", ""),
        ("meter_kind", None, None, "an empty cell", "Hour meter, kWh meter, Gas meter or No meter", "emptied"),
        ("measured_phases", None, 2.0, "2", "1 or 3", ""),
        ("piece_name", 1, "Bowl *", "the text 'Bowl *'", "a name without *", "patterns"),
        ("piece_name", 1, "<5 in bowl", "the text '<5 in bowl'", "a name without *", "patterns"),
        ("glass_name", 2, "Cullet ", "with a space at its start or end", "the name alone", ""),
        ("studio_name", None, "x" * 301, "the text 'xxx", "text of at most 300 characters", "shorter"),
        ("weight_unit", None, "oz", "'oz'", "lb or kg", "can't be changed"),
        ("currency_code", None, "$", "'$'", "a currency", "can't be changed"),
    ],
)
def test_what_is_typed(
    typed: Typed,
    name: str,
    row: int | None,
    value: Value,
    found: str,
    expected: str,
    do: str,
    demo_read: EditedBook,
) -> None:
    file = typed((name, row, value))
    sheet, cell = address(demo_read, name, row)
    problem = next(one for one in check(file) if found in one["found"])
    assert (problem["sheet"], problem["row"]) == (sheet, int(re.sub(r"\D", "", cell)))
    assert problem["column"] == demo_read.label(name)
    assert expected in problem["expected"]
    assert do in problem["do"]


def test_a_formula_in_an_input_without_its_value(typed: Typed) -> None:
    (problem,) = (one for one in check(typed(("ordinary_hours", None, "=25*48"))) if "formula" in one["found"])
    assert "save it there" in problem["do"]


def test_an_error_in_an_input_is_told_where_it_begins(demo: Path, demo_read: EditedBook, tmp_path: Path) -> None:
    sheet, cell = address(demo_read, "ordinary_hours")
    parts = edits.unzip(demo)
    part = edits.part_of(demo, sheet)
    content = re.sub(
        rf'<c r="{cell}"([^>]*)><v>[^<]*</v>',
        rf'<c r="{cell}"\1 t="e"><f>#REF!*2</f><v>#REF!</v>',
        parts[part].decode(),
    )
    parts[part] = content.encode()
    found = [one["found"] for one in check(edits.rezip(parts, tmp_path / "edited.xlsx"))]
    assert "the error #REF!" in found


def test_names_that_no_list_has(typed: Typed, demo_read: EditedBook) -> None:
    charge = next(n for n, row in enumerate(demo_read.studio.log, 1) if row.weight)
    problems = check(
        typed(
            ("log_glass", charge, "Claer"),
            ("log_glass", charge + 1, "clear"),
            ("piece_glass", 1, "Opal"),
            ("part_name", 1, "Pott"),
            ("rank_channel", None, "Fair"),
            ("picture_piece", None, "Vase 99"),
        )
    )
    assert len(problems) == 5
    by_column = {problem["column"]: problem for problem in problems}
    assert "Did you mean Clear?" in {problem["do"] for problem in problems}
    assert "Did you mean Pot?" in {problem["do"] for problem in problems}
    for name in ("log_glass", "piece_glass"):
        assert "one of Clear, Own cullet" in by_column[demo_read.label(name)]["expected"]
    assert "one of Pot, Elements" in by_column[demo_read.label("part_name")]["expected"]
    assert "one of Own shop" in by_column[demo_read.label("rank_channel")]["expected"]
    assert "the text 'Vase 99'" in by_column[demo_read.label("picture_piece")]["found"]


def test_a_number_is_not_the_same_name_as_its_text(typed: Typed, demo_read: EditedBook) -> None:
    charge = next(n for n, row in enumerate(demo_read.studio.log, 1) if row.weight)
    problems = check(typed(("glass_name", 1, 96.0), ("log_glass", charge, "96")))
    assert any(one["found"] == "the text 96" and "the number 96" in one["expected"] for one in problems)


# ------------------------------------------------------------------------------------- what the checks list finds


def test_findings_name_their_rows(typed: Typed, demo_read: EditedBook) -> None:
    problems = check(typed(("log_date", 5, 45000.0), ("piece_name", 2, demo_read.studio.pieces[0].name)))
    rows = {(problem["column"], problem["row"]) for problem in problems}
    columns = demo_read.placement.columns
    assert (demo_read.label("log_date"), columns["log_date"].first + 5) in rows
    assert (demo_read.label("piece_name"), columns["piece_name"].first + 2) in rows


def test_what_may_follow_from_a_cell_names_that_cell(typed: Typed, demo_read: EditedBook) -> None:
    """A kind of day that is none takes its days away: they are missing before the next row."""
    (root, follows) = check(typed(("log_kind", 2, "Blowing")))
    assert root["column"] == "Kind of day"
    assert follows["row"] == root["row"] + 1
    assert follows["do"].startswith(f"First correct Kind of day in row {root['row']}: this may follow from it. ")
    alone = check(typed(("log_days", 2, 1.0)))
    assert [problem["do"].startswith("First correct") for problem in alone] == [False]


def test_a_part_whose_date_is_a_text_is_told_at_the_date(typed: Typed, demo_read: EditedBook) -> None:
    (root, follows) = check(typed(("part_installed", 1, "Pot")))
    assert (root["column"], root["found"]) == ("Installed", "the text 'Pot'")
    assert root["do"] == "Type a date, year-month-day, or leave it empty."
    assert (follows["column"], follows["found"]) == ("Part", "a row with something missing or wrong")
    assert follows["do"].startswith("First correct Installed in this row: this may follow from it. ")


def test_notes_are_no_problems(typed: Typed, demo_read: EditedBook) -> None:
    free = len(demo_read.studio.log) + 1
    result = run("check", typed(("log_kind", free, "Idle"), ("log_days", free, 3.0)), "--json")
    document = json.loads(result.stdout)
    assert result.exit_code == 0
    assert any("from here on" in note["found"] for note in document["notes"])


def test_rows_below_the_last(typed: Typed, demo_read: EditedBook) -> None:
    column = demo_read.placement.columns["log_date"]
    below = column.rows + 2
    problems = check(typed(("log_date", below, 46300.0), ("log_kind", below, "Idle"), ("log_weight", below + 1, 9.0)))
    assert [problem["row"] for problem in problems if "below" in problem["found"]] == [
        column.bottom + 2,
        column.bottom + 3,
    ]


def test_a_number_in_the_end_row(typed: Typed, demo_read: EditedBook) -> None:
    problems = check(typed(("log_weight", -1, 9.0)))
    assert any("in the table's last line" in problem["found"] for problem in problems)


# --------------------------------------------------------------------------------------------------- formulas


@pytest.mark.parametrize(
    ("name", "row"),
    [("energy_used", 7), ("log_status", 3), ("cost_good", 2), ("price_hot", None), ("check_found", 4)],
)
def test_formulas_typed_over_changed_and_emptied(
    typed: Typed, demo_read: EditedBook, name: str, row: int | None
) -> None:
    sheet, _ = address(demo_read, name, row)
    for value, found in ((5.0, "5 in place of the formula"), ("=1+1", "=1+1"), (None, "no formula")):
        problem = only(typed((name, row, value)))
        assert problem["sheet"] == sheet
        assert problem["column"] == demo_read.label(name)
        assert problem["found"] == found
        assert problem["expected"].startswith("=")


def test_a_formula_that_names_the_row_above_is_a_changed_one(typed: Typed, demo_read: EditedBook) -> None:
    text = demo_read.cell("energy_used", 7).formula
    assert text is not None
    problem = only(typed(("energy_used", 8, f"={shifted(text, -1, 0)}")))
    assert problem["found"] == f"={shifted(text, -1, 0)}"
    assert problem["expected"] == f"={text}"


def test_other_spellings_of_a_formula_are_not_changes(typed: Typed, demo_read: EditedBook) -> None:
    text = demo_read.cell("energy_used", 7).formula
    assert text is not None
    assert check(typed(("energy_used", 8, "= (" + text.replace("$", "").lower() + ")")), 0) == []


def test_a_run_of_rows_is_told_once(typed: Typed) -> None:
    problem = only(typed(*(("energy_used", row, 1.0) for row in range(4, 30))))
    assert re.search(r"\(rows \d+ to \d+\)$", problem["found"])


def test_seed_and_end_rows_are_looked_at(typed: Typed) -> None:
    assert only(typed(("campaign_no", 0, 7.0)))["found"] == "7"
    assert "in place of" in only(typed(("reading_base", 0, 7.0)))["found"]


def test_constants_are_not_to_be_changed(typed: Typed, demo_read: EditedBook) -> None:
    problem = only(typed(("days_in_year", None, 366.0)))
    assert (problem["found"], problem["expected"]) == ("366", "365")


def test_errors_are_told_once_a_sheet(demo: Path, tmp_path: Path, demo_read: EditedBook) -> None:
    sheet, _ = address(demo_read, "energy_used", 1)
    parts = edits.unzip(demo)
    part = edits.part_of(demo, sheet)
    content, count = re.subn(
        r'<c r="([A-Z]+)(2[0-9])"([^>]*?)(?: t="str")?><f>([^<]*)</f><v>[^<]*</v>',
        r'<c r="\1\2"\3 t="e"><f>\4</f><v>#VALUE!</v>',
        parts[part].decode(),
    )
    assert count > 100
    parts[part] = content.encode()
    problem = only(edits.rezip(parts, tmp_path / "edited.xlsx"))
    assert problem["sheet"] == sheet
    assert f"and {count - 1} more cells" in problem["found"]


# ---------------------------------------------------------------------------------------------- inserted rows


def _inserted(demo: Path, tmp_path: Path, book: EditedBook, at: int) -> tuple[Path, str, int]:
    """The book with a row inserted in the log, the sheet, and the sheet row (counted from 1) of the new one."""
    column = book.placement.columns["log_date"]
    row = column.first + at
    return edits.insert_rows(demo, tmp_path / "inserted.xlsx", column.sheet, row), column.sheet, row


def test_an_inserted_row_without_formulas(demo: Path, tmp_path: Path, demo_read: EditedBook) -> None:
    file, sheet, row = _inserted(demo, tmp_path, demo_read, 10)
    book = read_book(file)
    assert book.capacity.log == demo_read.capacity.log + 1
    assert book.log_rows_made == (demo_read.capacity.log,)
    problems = check(file)
    assert [one for one in problems if one["row"] == row and one["found"] == "no formulas"]
    # That the rows around it refer to one another, past the new one, is the same fault and told once.
    assert [(one["sheet"], one["row"]) for one in problems] == [(sheet, row)]


def filled_down(file: Path, target: Path, sheet: str, source: int, rows: range) -> Path:
    """Copy the formulas of a row down, as with the fill handle."""
    book = read_book(file)
    cells: dict[tuple[str, str], Value] = {}
    for (row, col), cell in list(book.file.sheet(sheet).cells.items()):
        if row == source - 1 and cell.formula is not None:
            for other in rows:
                cells[sheet, cell_address(other - 1, col)] = f"={shifted(cell.formula, other - source, 0)}"
    return edits.set_cells(file, target, cells)


def test_an_inserted_row_with_formulas(demo: Path, tmp_path: Path, demo_read: EditedBook) -> None:
    file, sheet, row = _inserted(demo, tmp_path, demo_read, 10)
    filled = filled_down(file, tmp_path / "filled.xlsx", sheet, row - 2, range(row - 1, row + 2))
    assert check(filled, 0) == []


def test_a_row_inserted_in_one_part_of_a_table_only(demo: Path, tmp_path: Path, demo_read: EditedBook) -> None:
    column = demo_read.placement.columns["piece_name"]
    file = edits.insert_rows(demo, tmp_path / "edited.xlsx", column.sheet, column.first + 4)
    problems = check(file)
    assert any("A row was added or deleted in one part only" in problem["do"] for problem in problems)


# ----------------------------------------------------------------------------------------------------- names


def test_a_name_that_is_gone(demo: Path, tmp_path: Path, demo_read: EditedBook) -> None:
    file = edits.change_names(demo, tmp_path / "e.xlsx", lambda name, text: None if name == "log_weight" else text)
    problem = check(file)[0]
    assert problem["found"] == "no name log_weight"
    assert problem["column"] == demo_read.label("log_weight")


def test_a_name_that_stands_for_nothing(demo: Path, tmp_path: Path) -> None:
    file = edits.change_names(demo, tmp_path / "e.xlsx", lambda name, text: "#REF!" if name == "price_hot" else text)
    assert "price_hot on no cell (#REF!)" in check(file)[0]["found"]


def test_a_sheet_that_is_gone(demo: Path, tmp_path: Path, demo_read: EditedBook) -> None:
    sheet = demo_read.placement.columns["cost_good"].sheet
    quoted = (f"'{sheet}'!", f"{sheet}!")
    file = edits.change_names(demo, tmp_path / "e.xlsx", lambda _, text: "#REF!" if text.startswith(quoted) else text)
    problems = [problem for problem in check(file) if problem["sheet"] == sheet]
    assert len(problems) == 1
    assert problems[0]["found"] == "none of its named cells"


def test_a_name_on_another_cell(demo: Path, tmp_path: Path) -> None:
    pricing = read_book(demo).file.names.areas["pricing_date"]
    text = f"'{pricing.sheet}'!${chr(65 + pricing.left)}${pricing.top + 1}"
    file = edits.change_names(demo, tmp_path / "e.xlsx", lambda name, old: text if name == "sales_tax" else old)
    problem = check(file)[0]
    assert problem["found"] == "the names pricing_date and sales_tax on one cell"


def test_a_copied_sheet(demo: Path, tmp_path: Path, demo_read: EditedBook) -> None:
    parts = edits.unzip(demo)
    log = demo_read.placement.columns["log_date"].sheet
    index = demo_read.file.sheet_names.index(log)
    own = f'<definedName name="sales_tax" localSheetId="{index}">\'{log}\'!$A$1</definedName>'
    book = parts["xl/workbook.xml"].replace(b"<definedNames>", f"<definedNames>{own}".encode())
    problem = only(edits.rezip({**parts, "xl/workbook.xml": book}, tmp_path / "e.xlsx"))
    assert problem["sheet"] == log
    assert "a copy of a sheet, with 1 name of its own" in problem["found"]


def test_a_name_twice(demo: Path, tmp_path: Path) -> None:
    parts = edits.unzip(demo)
    again = '<definedName name="sales_tax">Shop!$A$1</definedName></definedNames>'
    parts["xl/workbook.xml"] = parts["xl/workbook.xml"].replace(b"</definedNames>", again.encode())
    problem = only(edits.rezip(parts, tmp_path / "e.xlsx"))
    assert problem["found"] == "the name more than once"


# --------------------------------------------------------------------------------------------------- the file


def test_the_workbook_is_only_read(typed: Typed) -> None:
    file = typed(("log_weight", 1, "x"))
    before, entries = file.read_bytes(), sorted(file.parent.iterdir())
    check(file)
    assert file.read_bytes() == before
    assert sorted(file.parent.iterdir()) == entries


def test_a_workbook_that_is_open_elsewhere_is_read(demo: Path, tmp_path: Path) -> None:
    (tmp_path / "book.xlsx").write_bytes(demo.read_bytes())
    (tmp_path / "~$book.xlsx").touch()
    result = run("check", tmp_path / "book.xlsx")
    assert result.exit_code == 0
    assert "last saved state" in result.stderr


def test_findings_survive_lost_names(demo: Path, demo_read: EditedBook, tmp_path: Path, typed: Typed) -> None:
    """A glass that no list has, and the list itself is lost."""
    charge = next(n for n, row in enumerate(demo_read.studio.log, 1) if row.weight)
    file = edits.change_names(
        typed(("log_glass", charge, "Opal")),
        tmp_path / "e.xlsx",
        lambda name, text: None if name in ("glass_name", "log_glass", "checks_state") else text,
    )
    found = [problem["found"] for problem in check(file)]
    assert {"no name glass_name", "no name log_glass", "no name checks_state"} <= set(found)


def test_a_row_more_where_rows_have_their_meaning(demo: Path, tmp_path: Path, demo_read: EditedBook) -> None:
    column = demo_read.placement.columns["channel_fee"]
    file = edits.insert_rows(demo, tmp_path / "e.xlsx", column.sheet, column.first + 3)
    file = edits.set_cells(file, tmp_path / "f.xlsx", {(column.sheet, cell_address(column.first + 6, column.col)): 0.1})
    assert any(problem["found"] == "7 rows" for problem in check(file))


def test_numbers_without_measure(typed: Typed) -> None:
    """Each is allowed, and together they leave no digits behind the point: the sums still come out."""
    path = typed(("piece_minutes", 1, 1e12), ("person_rate", 1, 1e12), ("paid_factor", None, 1e12))
    result = run("check", path)
    assert result.exit_code in (0, 1)
    assert "Traceback" not in result.output


def test_ten_years_in_a_row_are_days_like_others(typed: Typed) -> None:
    """The most that a row may have: what is asked of it is the log's sense, and no longer the number."""
    result = run("check", typed(("log_days", 1, 3660.0)))
    assert "from 0 to 3660" not in result.output


def test_the_sheet_asks_for_no_more_days_in_a_row(demo: Path, demo_read: EditedBook) -> None:
    sheet, cell = address(demo_read, "log_days", 5)
    rules = load_workbook(demo)[sheet].data_validations.dataValidation
    (rule,) = (rule for rule in rules if cell in rule.sqref)
    assert (rule.type, rule.operator or "between", rule.formula1, rule.formula2) == ("whole", "between", "0", "3660")


@pytest.mark.parametrize("command", ["check", "figures"])
@pytest.mark.parametrize("days", [1e9, 1e15])
def test_days_past_all_calendars_are_told(typed: Typed, command: str, days: float) -> None:
    result = run(command, typed(("log_days", 120, days)))
    assert result.exit_code == 1
    assert "Traceback" not in result.output
    if command == "check":
        assert "expected a whole number from 0 to 3660" in result.output


@pytest.mark.parametrize("value", ["nan", "inf", "1e999", "twelve"])
def test_a_number_that_is_none(demo: Path, tmp_path: Path, demo_read: EditedBook, value: str) -> None:
    sheet, cell = address(demo_read, "ordinary_hours")
    parts = edits.unzip(demo)
    part = edits.part_of(demo, sheet)
    parts[part] = re.sub(rf'(<c r="{cell}"[^>]*><v>)[^<]*', rf"\g<1>{value}", parts[part].decode()).encode()
    result = run("check", edits.rezip(parts, tmp_path / "e.xlsx"))
    assert result.exit_code == 1
    assert f"damaged in the sheet '{sheet}'" in result.stderr
