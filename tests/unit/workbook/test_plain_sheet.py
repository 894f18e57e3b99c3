"""A sheet read with one pattern holds what it holds when it is read tag by tag, or isn't read that way at all."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from meltbook.errors import BookFileError
from meltbook.workbook.cells import Cell, CellValue, SheetReader
from meltbook.workbook.package import Package
from meltbook.workbook.plain_sheet import PlainSheet, plain_sheet
from meltbook.workbook.read import read_file
from tests.unit.workbook.edit_book import PROGRAMS, part_of, sheet_bytes, write_as

SHEET = (
    '<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>{}</sheetData></worksheet>'
)
STRINGS = ["zero", "one & two", "_x0041_"]


class OnePart(Package):
    """A file that holds one sheet."""

    def __init__(self, data: bytes) -> None:
        self.path = Path("book.xlsx")
        self.data = data

    def read(self, part: str) -> bytes:
        return self.data


def damaged() -> BookFileError:
    return BookFileError("damaged")


def plainly(data: bytes, room: int = 100) -> PlainSheet | None:
    return plain_sheet("One", data, STRINGS, room, damaged)


def tag_by_tag(data: bytes) -> dict[tuple[int, int], Cell]:
    return SheetReader("One", STRINGS).read(OnePart(data), "").cells


@pytest.fixture(scope="module", params=PROGRAMS)
def everything(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    if request.param in ("libreoffice", "gnumeric"):
        request.getfixturevalue(request.param)
    return write_as(request.param, tmp_path_factory.mktemp(request.param))


def test_files_of_many_programs(everything: Path) -> None:
    book = read_file(everything)
    plain = 0
    for sheet in book.sheet_names:
        reader = SheetReader(sheet, book._strings)
        cells = reader.read(book._package, part_of(everything, sheet)).cells
        found = plain_sheet(sheet, sheet_bytes(everything, sheet), book._strings, 10_000, damaged)
        if found is not None:
            plain += 1
            assert found.cells == cells
            assert len(found) >= len(cells)
            assert all(found.at(*place) == cell for place, cell in cells.items())
            assert all(found.formula(*place) == cell.formula for place, cell in cells.items())
            assert found.at(900, 30) == Cell() and found.formula(900, 30) is None
    assert plain, "none of the sheets is read with the pattern"


CELLS = st.sampled_from(
    [
        '<c r="{}"/>',
        '<c r="{}"></c>',
        '<c r="{}"><v/></c>',
        '<c r="{}"><v>12</v></c>',
        '<c r="{}" t="n"><v> 1E-09</v></c>',
        '<c r="{}" s="1" t="s"><v>1</v></c>',
        '<c r="{}" s="1" t="s"><v>2</v></c>',
        '<c r="{}"><f>A1</f></c>',
        '<c r="{}"><f>=A1</f><v></v></c>',
        '<c r="{}" s="3" t="str"><f>A1&amp;"&lt;f>&#65;&#x42;"</f><v>&lt; _x000A_</v></c>',
        '<c r="{}" t="str"><f ca="1">A1</f> <v xml:space="preserve"> a</v></c>',
        '<c r="{}" t="b"><f/><v>1</v></c>',
        '<c r="{}" t="e"><f>1/0</f><v>#DIV/0!</v></c>',
        '<c r="{}" t="d"><v>2026-01-01</v></c>',
        '<c r="{}"><f t="shared" si="0" ref="A1:B1">B1</f><v>3</v></c>',
        "<c r='{}'><f>A1</f><v>1</v></c>",
        '<c s="1" r="{}"><v>1</v></c>',
        "<c><v>8</v></c>",
        '<c \n r="{}"><v>4</v></c >',
        '<c r="{}"><v>5</v></c\n>',
        '<c r="{}" t="inlineStr"><is><t>&lt;f&gt; f</t></is></c>',
        '<c r="{}" t="inlineStr"><is><r><t>two</t></r><r><t> runs</t></r></is></c>',
        '<c r="{}"><!-- <f>1</f> --><v>1</v></c>',
        '<c r="{}"><v><![CDATA[1]]></v></c>',
        '<c r="{}" t="str"><v>a\r\nb</v></c>',
        '<c r="{}" x="&lt;f>"><f>A1</f><v>1</v></c>',
        '<c r="{}"><f>A1</f><v>1</v><extLst><ext/></extLst></c>',
        '<c r="{}"><v>1</v><f>A1</f></c>',
        '<c r="B1"><v>11</v></c>',
    ]
)


@given(st.lists(CELLS, max_size=6))
def test_any_spelling(cells: list[str]) -> None:
    row = "".join(cell.format(f"{letter}1") for letter, cell in zip("ABCDEF", cells, strict=False))
    data = SHEET.format(f'<row r="1">{row}</row>').encode()
    found = plainly(data)
    if found is not None:
        assert found.cells == tag_by_tag(data)


@pytest.mark.parametrize(
    ("cell", "value"),
    [('<c r="A1"><v>2</v></c>', 2.0), ('<c r="A1" t="inlineStr"><is><t>a &amp; b</t></is></c>', "a & b")],
)
def test_the_usual_spelling_is_plain(cell: str, value: CellValue) -> None:
    found = plainly(SHEET.format(f'<row r="1">{cell}</row>').encode())
    assert found is not None and found.at(0, 0) == Cell(value)


@pytest.mark.parametrize(
    "cell", ['<c r="A1"><v>one</v></c>', '<c r="A1"><v>nan</v></c>', '<c r="A1" t="s"><v>99</v></c>']
)
def test_a_value_that_is_none_is_damage(cell: str) -> None:
    found = plainly(SHEET.format(f'<row r="1">{cell}</row>').encode())
    assert found is not None
    with pytest.raises(BookFileError, match="damaged"):
        found.at(0, 0)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"<worksheet><sheetData/></worksheet>",
        SHEET.format('<row><c r="A1"><v>1</v></row>').encode(),
        SHEET.format('<row r="1"><c r="A1"><v>1</v></c></row>').replace("main", "other").encode(),
        SHEET.format('<row r="1"><c r="A1"><v>1</v></c></row>').encode("utf-16"),
        b"<!DOCTYPE worksheet>" + SHEET.format('<row r="1"><c r="A1"><v>1</v></c></row>').encode(),
    ],
)
def test_what_is_no_plain_sheet(data: bytes) -> None:
    assert plainly(data) is None


def test_more_cells_than_there_is_room_for() -> None:
    data = SHEET.format('<row r="1"><c r="A1"><v>1</v></c><c r="B1"><v>1</v></c></row>').encode()
    assert plainly(data, room=2) is not None
    assert plainly(data, room=1) is None
