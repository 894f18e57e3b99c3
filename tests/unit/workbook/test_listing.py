"""Plain lists: text stays text, rows are as high as they need, and they print one page wide."""

from __future__ import annotations

import io
from pathlib import Path

import openpyxl
import pytest

from meltbook.fields.kernel import Shape
from meltbook.workbook.lint import lint_book
from meltbook.workbook.listing import FIRST_ROW, Entry, Tab, heads, tab_name
from meltbook.workbook.paper import Paper
from meltbook.workbook.write import listing_bytes

LONG = "a text that is a good deal longer than the column in which it stands"
TAB = Tab(
    "A list",
    "Title",
    "What it is for.",
    (20.0, 12.0),
    (
        heads(("Name", "Amount\nin a unit")),
        (Entry("=1+2", manner="label"), Entry(0.25, Shape.SHARE)),
        (Entry(LONG, wraps=True), None),
        (Entry("0012"), Entry(None, manner="line")),
    ),
    frozen=(1, 1),
    repeated=0,
)


def test_what_is_written() -> None:
    sheet = openpyxl.load_workbook(io.BytesIO(listing_bytes([TAB], title="Lists")))["A list"]
    assert sheet["A1"].value == "Title" and sheet["A2"].value == "What it is for."
    first = FIRST_ROW + 2
    assert (sheet.cell(first, 1).value, sheet.cell(first, 1).data_type) == ("=1+2", "s")
    assert sheet.cell(first, 2).value == 0.25 and "%" in sheet.cell(first, 2).number_format
    assert sheet.cell(first + 2, 1).value == "0012" and sheet.cell(first + 2, 2).border.bottom.style == "thin"
    assert sheet.row_dimensions[first + 1].height > 3 * 11 > sheet.row_dimensions[FIRST_ROW + 1].height - 20
    assert sheet.freeze_panes == "B5" and sheet.print_title_rows == "$4:$4"


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_it_is_sound(paper: Paper, tmp_path: Path) -> None:
    path = tmp_path / "list.xlsx"
    path.write_bytes(listing_bytes([TAB], title="Lists", paper=paper))
    assert lint_book(path) == []
    assert path.read_bytes() == listing_bytes([TAB], title="Lists", paper=paper)
    assert openpyxl.load_workbook(path)["A list"].page_setup.paperSize == {"Letter": 1, "A4": 9}[paper]


def test_tab_names_are_allowed_and_no_two_the_same() -> None:
    taken: set[str] = set()
    names = [tab_name(text, taken) for text in ("Ada", "ada", "[x]/y", "'", "History", "n" * 40, "n" * 50, "ž\n")]
    assert names == ["Ada", "ada 2", "x y", "Sheet of one", "History 2", "n" * 31, f"{'n' * 29} 2", "ž"]


def test_sums_links_and_pages_of_a_size(tmp_path: Path) -> None:
    rows = (
        (Entry("=1+2", link="'A list'!A9"), Entry("Upright", manner="head", turned=True, wraps=True)),
        (Entry(2.5, manner="plain", number='0.0#" m"'), Entry(2.5, formula="=SUM(A5:A5)", number="0.##")),
        (Entry(3), None),
    )
    path = tmp_path / "list.xlsx"
    path.write_bytes(listing_bytes([Tab("A list", "Title", "", (9.0, 9.0), rows, scale=75, breaks=(2,))], title="x"))
    live, stored = (openpyxl.load_workbook(path, data_only=only)["A list"] for only in (False, True))
    first = FIRST_ROW + 1
    assert (live.cell(first, 1).value, live.cell(first, 1).data_type) == ("=1+2", "s")
    assert live.cell(first, 1).hyperlink.location == "'A list'!A9"
    assert live.cell(first, 2).alignment.textRotation == 90
    assert live.cell(first + 1, 1).number_format == '0.0#" m"'
    assert live.cell(first + 1, 2).value == "=SUM(A5:A5)" and stored.cell(first + 1, 2).value == 2.5
    assert live.page_setup.scale == 75 and [mark.id for mark in live.row_breaks.brk] == [FIRST_ROW + 2]
