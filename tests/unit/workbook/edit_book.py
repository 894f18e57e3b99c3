"""A workbook with everything in it that an owner may have put there, as four programs write it."""

from __future__ import annotations

import io
import struct
import subprocess
import zipfile
import zlib
from collections.abc import Iterable
from pathlib import Path
from xml.etree import ElementTree

import openpyxl
import xlsxwriter
from openpyxl.comments import Comment

from tests.engines.runners import LibreOffice
from tests.engines.values import sheet_parts

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
PROGRAMS = ("xlsxwriter", "openpyxl", "libreoffice", "gnumeric")
ROWS = 12
"""Log rows 4 to 15. A row is day, kind, weight, price, cost, cost so far; the last four are not filled in."""
FILLED = 8


def image() -> io.BytesIO:
    """A picture of 4 by 4 points."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return struct.pack(">L", len(data)) + kind + data + struct.pack(">L", zlib.crc32(kind + data))

    head = struct.pack(">2L5B", 4, 4, 8, 2, 0, 0, 0)
    rows = (b"\0" + b"\xcc\x66\x77" * 4) * 4
    body = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")
    return io.BytesIO(b"\x89PNG\r\n\x1a\n" + body)


def write_everything(path: Path, *, total_row: bool = False) -> None:
    """The workbook as XlsxWriter writes it. Its cached values are 0, which is wrong nearly everywhere."""
    with xlsxwriter.Workbook(path) as book:
        book.set_properties({"title": "Everything", "comments": "kept"})
        head = book.add_format({"bold": True, "bg_color": "#CCDDAA"})
        day = book.add_format({"num_format": "yyyy-mm-dd", "bg_color": "#F7F7DD"})
        number = book.add_format({"num_format": "#,##0.00", "bg_color": "#F7F7DD"})
        word = book.add_format({"bg_color": "#F7F7DD"})
        red = book.add_format({"font_color": "#882255"})
        log = book.add_worksheet("Log")
        log.merge_range("A1:F1", "Log of the furnace", head)
        log.write_row("A3", ["Day", "Kind", "Weight", "Price", "Cost", "So far"], head)
        for row in range(3, 3 + ROWS):
            here = row + 1
            if row < 3 + FILLED:
                log.write_number(row, 0, 46023 + row, day)
                log.write_string(row, 1, "Charge" if row % 2 else "Blow & más", word)
                log.write_number(row, 2, 10.5 + row, number)
            else:
                for col, style in enumerate((day, word, number)):
                    log.write_blank(row, col, None, style)
            log.write_number(row, 3, 0.25, number)
            log.write_formula(row, 4, f'=IF(ISNUMBER(C{here}),C{here}*D{here},"")', number)
            log.write_formula(row, 5, f"=SUM(F{row},E{here})" if row > 3 else f"=SUM(E{here})", number)
        log.write_comment("C5", "weighed twice", {"author": "the owner"})
        log.data_validation("B4:B15", {"validate": "list", "source": ["Charge", "Blow & más"]})
        log.conditional_format("C4:C15", {"type": "data_bar", "data_bar_2010": True, "bar_color": "#999933"})
        log.conditional_format("E4:E15", {"type": "cell", "criteria": ">", "value": 4, "format": red})
        log.add_sparkline("H4", {"range": "Log!C4:C15"})
        log.freeze_panes(3, 1)
        log.autofilter("A3:F15")
        log.set_column("A:A", 13)
        log.set_column("K:K", 9, number)
        log.set_footer("&Cpage &P")
        book.define_name("melt_weight", "=Log!$C$4:$C$15")
        book.define_name("melt_cost", "=Log!$F$15")
        mine = book.add_worksheet("Mine & yours")
        mine.write_rich_string("A1", "my ", red, "own", " sums")
        mine.write_formula("B2", "=SUM(melt_weight)")
        mine.write_formula("B3", '=IF(melt_cost>20,"dear & <dear>","cheap")')
        mine.write_formula("B4", "=Log!F15/SUM(melt_weight)")
        mine.write_formula("B5", "=Log!C4>10")
        mine.write_formula("B6", "=1/0")
        mine.write_formula("B7", "=MAX(Log!A4:A15)", day)
        mine.write_array_formula("C2:C4", "{=Log!C4:C6*2}")
        mine.insert_image("E2", "dot.png", {"image_data": image(), "description": "a dot"})
        mine.insert_textbox("E8", "a note of mine")
        mine.write_url("A20", "https://example.org/", string="a link")
        chart = book.add_chart({"type": "column"})
        chart.add_series({"values": "=Log!$E$4:$E$15", "categories": "=Log!$A$4:$A$15", "name": "Cost"})
        mine.insert_chart("G2", chart, {"description": "what it cost"})
        mine.set_tab_color("#225522")
        stock = book.add_worksheet("Stock")
        columns = [{"header": "Thing"}, {"header": "Count"}]
        things = [["rod", 4], ["bar", 5], ["frit", 6]]
        last = 6 if total_row else 5
        if total_row:
            columns[1]["total_function"] = "sum"
        stock.add_table(f"B2:C{last}", {"columns": columns, "total_row": total_row, "data": things})
        stock.write_formula("E2", "=SUM(C3:C5)*Log!D4")


def write_with_openpyxl(path: Path) -> None:
    """The same log as openpyxl writes it: no cached values, and absent cells where nothing is prepared."""
    book = openpyxl.Workbook()
    log = book.active
    assert log is not None
    log.title = "Log"
    log.merge_cells("A1:F1")
    log["A1"] = "Log of the furnace"
    for col, text in enumerate(["Day", "Kind", "Weight", "Price", "Cost", "So far"], 1):
        log.cell(3, col, text)
    for here in range(4, 4 + ROWS):
        if here < 4 + FILLED:
            log.cell(here, 1, 46022 + here).number_format = "yyyy-mm-dd"
            log.cell(here, 2, "Blow & más" if here % 2 else "Charge")
            log.cell(here, 3, 9.5 + here).number_format = "0.00"
        log.cell(here, 4, 0.25)
        log.cell(here, 5, f'=IF(ISNUMBER(C{here}),C{here}*D{here},"")')
        log.cell(here, 6, f"=SUM(F{here - 1},E{here})" if here > 4 else "=SUM(E4)")
    log["C5"].comment = Comment("weighed twice", "the owner")
    mine = book.create_sheet("Mine & yours")
    mine["B2"] = "=SUM(Log!C4:C15)"
    mine["B3"] = '=IF(Log!F15>20,"dear & <dear>","cheap")'
    mine["B4"] = "=Log!F15/B2"
    mine["B5"] = "=Log!C4>10"
    mine["B6"] = "=1/0"
    book.save(path)


def write_as(program: str, folder: Path) -> Path:
    """The workbook as the program saves it."""
    path = folder / f"{program}.xlsx"
    if program == "openpyxl":
        write_with_openpyxl(path)
        return path
    plain = folder / "plain.xlsx"
    write_everything(plain)
    if program == "xlsxwriter":
        plain.rename(path)
    elif program == "libreoffice":
        made = LibreOffice().convert([plain], folder, "xlsx:Calc MS Excel 2007 XML", "xlsx")
        made[plain].rename(path)
    else:
        command = ["ssconvert", "--recalc", str(plain), str(path)]
        subprocess.run(command, check=True, capture_output=True, timeout=300)
    return path


# ---------------------------------------------------------------------------------------------- comparing


def packed_parts(path: Path) -> dict[str, tuple[object, ...]]:
    """All that the zip says of each part, and its packed bytes, in the order of the directory."""
    raw = path.read_bytes()
    found = {}
    with zipfile.ZipFile(path) as package:
        assert package.testzip() is None
        for info in package.infolist():
            name, extra = struct.unpack_from("<2H", raw, info.header_offset + 26)
            start = info.header_offset + 30 + name + extra
            packed = raw[start : start + info.compress_size]
            found[info.filename] = (*entry_facts(info), info.CRC, info.file_size, packed)
    return found


def entry_facts(info: zipfile.ZipInfo) -> tuple[object, ...]:
    """What does not depend on the part's content."""
    return (
        info.date_time,
        info.compress_type,
        info.flag_bits,
        info.extra,
        info.comment,
        info.external_attr,
        info.internal_attr,
        info.create_system,
        info.create_version,
        info.extract_version,
    )


def assert_same_but(before: Path, after: Path, changed: Iterable[str]) -> None:
    """Every part is byte for byte the same, packed and in place, but for these."""
    old, new = packed_parts(before), packed_parts(after)
    assert list(new) == list(old)
    differing = {name for name in old if old[name] != new[name]}
    assert differing <= set(changed)
    for name in differing:
        assert new[name][:-3] == old[name][:-3], name


def part_of(path: Path, sheet: str) -> str:
    with zipfile.ZipFile(path) as package:
        return sheet_parts(package)[sheet]


def sheet_bytes(path: Path, sheet: str) -> bytes:
    with zipfile.ZipFile(path) as package:
        return package.read(sheet_parts(package)[sheet])


def cells_as_written(xml: bytes) -> dict[str, str]:
    """Each cell of a sheet as XML, by its name. Cells without a name count on from the one before."""
    return {
        cell.attrib["r"]: ElementTree.canonicalize(ElementTree.tostring(cell))
        for cell in ElementTree.fromstring(xml).iter(f"{MAIN}c")
    }


def around_the_cells(xml: bytes) -> tuple[bytes, bytes]:
    """What stands before and after the rows, without the statement of the sheet's size."""
    head, tail = xml.index(b"sheetData"), xml.rindex(b"sheetData")
    before = xml[:head]
    if b"dimension" in before:
        start = before.rindex(b"<", 0, before.index(b"dimension"))
        before = before[:start] + before[before.index(b">", start) + 1 :]
    return before, xml[tail:]


def assert_only_cells_changed(old: bytes, new: bytes, changed: set[str]) -> None:
    assert around_the_cells(old) == around_the_cells(new)
    before, after = cells_as_written(old), cells_as_written(new)
    assert {cell for cell in before.keys() | after.keys() if before.get(cell) != after.get(cell)} <= changed
