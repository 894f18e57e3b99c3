"""However a sheet is spelt, only the cells named change: prefixes, nameless cells, remarks, odd spacing."""

from __future__ import annotations

from collections.abc import Mapping
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from meltbook.workbook.address import cell_address
from meltbook.workbook.sheet_edit import EditedSheet, edit_sheet
from meltbook.workbook.sheet_xml import RawCell, area, cell_place, scan, with_attributes
from tests.unit.workbook.edit_book import MAIN, assert_only_cells_changed

NS = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"


def sheet(body: str, head: str = "", tail: str = "", prefix: str = "") -> bytes:
    colon = f":{prefix}" if prefix else ""
    before = f"{prefix}:" if prefix else ""
    return (
        f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\r\n<{before}worksheet xmlns{colon}="{NS}">'
        f"{head}{body}{tail}</{before}worksheet>"
    ).encode()


def set_cells(data: bytes, **edits: float | str | None) -> bytes:
    result = edited(data, edits)
    assert not result.refused
    return result.data


def edited(data: bytes, edits: Mapping[str, float | str | None]) -> EditedSheet:
    return edit_sheet(data, {cell_place(cell): value for cell, value in edits.items()}, lambda: ["first"])


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ('<row r="1"><c r="A1"/></row>', '<row r="1"><c r="A1"><v>5</v></c></row>'),
        ('<row r="1"><c r="A1" /></row>', '<row r="1"><c r="A1"><v>5</v></c></row>'),
        ('<row r="1"><c s="2" r="A1"></c></row>', '<row r="1"><c s="2" r="A1"><v>5</v></c></row>'),
        ('<row r="1"><c r="A1" t="s"><v>0</v></c></row>', '<row r="1"><c r="A1"><v>5</v></c></row>'),
        (
            "<row r='1'><c t='b' r='A1' s='1'><v>1</v></c></row>",
            "<row r='1'><c r='A1' s='1'><v>5</v></c></row>",
        ),
        ('<row r="1"><c r="A1" cm="1" vm="2" s="3"/></row>', '<row r="1"><c r="A1" s="3"><v>5</v></c></row>'),
        (
            '<row r="1"><c r="A1" t="inlineStr"><is><r><t>a</t></r></is></c></row>',
            '<row r="1"><c r="A1"><v>5</v></c></row>',
        ),
        ("<row><c><v>1</v></c><c/></row>", "<row><c><v>5</v></c><c/></row>"),
        ("<row/><row/>", '<row><c r="A1"><v>5</v></c></row><row/>'),
        ("<row ></row>", '<row ><c r="A1"><v>5</v></c></row>'),
        ('<row r="1"><c r="B1"/></row>', '<row r="1"><c r="A1"><v>5</v></c><c r="B1"/></row>'),
        ('<row r="2"/>', '<row r="1"><c r="A1"><v>5</v></c></row><row r="2"/>'),
        ("", '<row r="1"><c r="A1"><v>5</v></c></row>'),
        (
            '<!-- <c r="A1"> --><row r="1" x="&gt;"> <?pi <c?> <c r="A1"><v>1</v></c> </row>',
            '<!-- <c r="A1"> --><row r="1" x="&gt;"> <?pi <c?> <c r="A1"><v>5</v></c> </row>',
        ),
        (
            '<row r="1"><c r="A1" s="1"><v>1</v><extLst><ext uri="x>y"/></extLst></c></row>',
            '<row r="1"><c r="A1" s="1"><v>5</v><extLst><ext uri="x>y"/></extLst></c></row>',
        ),
        (
            '<row r="1" spans="2:3" ht="20"><c r="B1"/></row>',
            '<row r="1" spans="1:3" ht="20"><c r="A1"><v>5</v></c><c r="B1"/></row>',
        ),
        (
            '<row r="1" spans="1:3"><c r="B1"/></row>',
            '<row r="1" spans="1:3"><c r="A1"><v>5</v></c><c r="B1"/></row>',
        ),
        ('<row r="1" spans="2:2"/>', '<row r="1" spans="1:2"><c r="A1"><v>5</v></c></row>'),
    ],
)
def test_a_number_is_put_into_a_cell(before: str, after: str) -> None:
    old = sheet(f"<sheetData>{before}</sheetData>")
    assert set_cells(old, A1=5) == sheet(f"<sheetData>{after}</sheetData>")


@pytest.mark.parametrize("empty", ["<x:sheetData/>", "<x:sheetData />", "<x:sheetData></x:sheetData>"])
def test_a_sheet_without_rows_and_with_a_prefix(empty: str) -> None:
    result = set_cells(sheet(empty, prefix="x"), B2="a", A2=1)
    assert result == sheet(
        '<x:sheetData><x:row r="2"><x:c r="A2"><x:v>1</x:v></x:c>'
        '<x:c r="B2" t="inlineStr"><x:is><x:t>a</x:t></x:is></x:c></x:row></x:sheetData>',
        prefix="x",
    )


def test_a_byte_order_mark_stays() -> None:
    old = b"\xef\xbb\xbf" + sheet('<sheetData><row r="1"><c r="A1"><v>é</v></c><c r="B1"/></row></sheetData>')
    old = old.replace("<v>é</v>".encode(), b"<v>1</v>")
    assert set_cells(old, B1=2) == old.replace(b'<c r="B1"/>', b'<c r="B1"><v>2</v></c>')


def test_clearing() -> None:
    old = sheet('<sheetData><row r="1"><c r="A1" s="1" t="s"><v>0</v></c></row></sheetData>')
    assert set_cells(old, A1=None) == sheet('<sheetData><row r="1"><c r="A1" s="1"/></row></sheetData>')
    assert set_cells(old, A9=None, B1=None) == old


@pytest.mark.parametrize(
    ("reference", "cell", "expected"),
    [("A1", "A1", "A1"), ("A1", "C5", "A1:C5"), ("B2:C3", "A1", "A1:C3"), ("A1:Z99", "D4", "A1:Z99")],
)
def test_the_stated_size_grows(reference: str, cell: str, expected: str) -> None:
    old = sheet("<sheetData/>", head=f'<dimension ref="{reference}"/>')
    assert f'<dimension ref="{expected}"/>'.encode() in set_cells(old, **{cell: 1})


def test_the_stated_size_stays_when_a_cell_is_cleared() -> None:
    old = sheet("<sheetData/>", head='<dimension ref="A1"/>')
    assert set_cells(old, Z9=None) == old


def test_cells_of_other_vocabularies_are_left_alone() -> None:
    alien = '<sheetData><row r="1"><z:c xmlns:z="urn:z" r="A1"><v>1</v></z:c><c r="A1"/></row></sheetData>'
    assert set_cells(sheet(alien), A1=2) == sheet(alien.replace('<c r="A1"/>', '<c r="A1"><v>2</v></c>'))


def test_a_shared_formula_without_text_is_a_formula() -> None:
    old = sheet('<sheetData><row r="1"><c r="A1"><f t="shared" si="0"/><v>1</v></c></row></sheetData>')
    assert edited(old, {"A1": 1}).refused[0, 0][0] == "a formula"


def test_a_what_if_table_is_a_formula_in_all_its_cells() -> None:
    old = sheet(
        '<sheetData><row r="1"><c r="A1"><f t="dataTable" ref="A1:A2" r1="D1"/><v>1</v></c></row>'
        '<row r="2"><c r="A2"><v>1</v></c></row></sheetData>'
    )
    assert set(edited(old, {"A1": 1, "A2": 1}).refused) == {(0, 0), (1, 0)}


def test_attributes_are_changed_one_by_one() -> None:
    tag = b"""<c  r="A1" s='t="s" ' t = "s" x:t="kept"/>"""
    assert with_attributes(tag, {}, drop=(b"t",)) == b"""<c  r="A1" s='t="s" ' x:t="kept"/>"""
    assert with_attributes(tag, {b"t": b"n"}) == b"""<c  r="A1" s='t="s" ' t="n" x:t="kept"/>"""
    assert with_attributes(b"<c>", {b"t": b"n"}) == b'<c t="n">'


# ------------------------------------------------------------------------------------- any spelling, any edit

COLUMNS, ROWS = 6, 8
VALUES = st.one_of(st.none(), st.integers(-9, 9), st.sampled_from(["a", "<&>", " b", "é"]))


@st.composite
def spelt_sheets(draw: st.DrawFn) -> tuple[bytes, set[tuple[int, int]]]:
    """A sheet in some spelling, and the cells in it that hold formulas."""
    prefix = draw(st.sampled_from(["", "x:"]))
    gap = draw(st.sampled_from(["", " ", "\n  ", "<!-- <c/> -->"]))
    quote = draw(st.sampled_from(["'", '"']))
    formulas: set[tuple[int, int]] = set()
    rows, last_row = [], -1
    for row in sorted(draw(st.sets(st.integers(0, ROWS - 1)))):
        cells, last_col = [], -1
        for col in sorted(draw(st.sets(st.integers(0, COLUMNS - 1)))):
            name = f"r={quote}{cell_address(row, col)}{quote}"
            if col == last_col + 1 and draw(st.booleans()):
                name = ""
            last_col = col
            style = draw(st.sampled_from(["", f"s={quote}3{quote}"]))
            kind, content = draw(
                st.sampled_from(
                    [
                        ("", None),
                        ("", ""),
                        ("", "<P:v>1</P:v>"),
                        ("t='s'", "<P:v>0</P:v>"),
                        ("t='inlineStr'", "<P:is><P:t>x/></P:t></P:is>"),
                        ("t='str'", '<P:f>A1&amp;"/>"</P:f><P:v><![CDATA[</c>]]></P:v>'),
                        ("", "<P:f/>"),
                    ]
                )
            )
            if content and "P:f" in content:
                formulas.add((row, col))
            tag = " ".join(word for word in (f"{prefix}c", style, kind, name) if word)
            body = f"<{tag}/>" if content is None else f"<{tag}>{content}</{prefix}c>"
            cells.append(body.replace("P:", prefix))
        number = "" if row == last_row + 1 and draw(st.booleans()) else f" r={quote}{row + 1}{quote}"
        last_row = row
        if cells or draw(st.booleans()):
            rows.append(f"<{prefix}row{number}>{gap}{gap.join(cells)}</{prefix}row>")
        else:
            rows.append(f"<{prefix}row{number} />")
    head = draw(st.sampled_from(["", f"<{prefix}dimension ref={quote}B2:C3{quote} />"]))
    data = f"<{prefix}sheetData>{gap.join(rows)}</{prefix}sheetData>"
    return sheet(data, head, f"<{prefix}pageMargins/>", prefix.rstrip(":")), formulas


def with_names(xml: bytes) -> bytes:
    """The sheet with every cell named, so that cells can be told apart; for reading only."""
    root = ElementTree.fromstring(xml)
    row_number = 0
    for row in root.iter(f"{MAIN}row"):
        row_number = int(row.attrib.get("r", row_number + 1))
        col = -1
        for cell in row:
            name = cell.attrib.get("r")
            col = col + 1 if name is None else cell_place(name)[1]
            cell.attrib["r"] = cell_address(row_number - 1, col)
            cell.tail = None
    return ElementTree.tostring(root, short_empty_elements=False)


@settings(deadline=None, max_examples=300)
@given(spelt_sheets(), st.data())
def test_any_spelling(spelt: tuple[bytes, set[tuple[int, int]]], data: st.DataObject) -> None:
    old, formulas = spelt
    places = st.tuples(st.integers(0, ROWS), st.integers(0, COLUMNS))
    edits = {
        place: value
        for place, value in data.draw(st.dictionaries(places, VALUES, max_size=8)).items()
        if place not in formulas
    }
    result = edit_sheet(old, edits, lambda: ["first"])
    assert not result.refused
    seen: dict[tuple[int, int], RawCell] = {}
    outline = scan(result.data, lambda cell: seen.update({(cell.row, cell.col): cell}))
    assert list(seen) == sorted(seen)
    assert [row.row for row in outline.rows] == sorted({row.row for row in outline.rows})
    named = {cell_address(*place) for place in edits}
    assert_only_cells_changed(with_names(old), with_names(result.data), named)
    for place, value in edits.items():
        again = edit_sheet(result.data, {place: None}, lambda: ["first"])
        assert again.before[place] == value
        added = place not in {(cell.row, cell.col) for cell in cells_of(old)}
        if added and value is not None and outline.dimension is not None:
            assert area(outline.dimension.attributes["ref"]).holds(*place)


def cells_of(xml: bytes) -> list[RawCell]:
    cells: list[RawCell] = []
    scan(xml, cells.append)
    return cells
