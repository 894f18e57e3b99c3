"""What owners do to a workbook in a spreadsheet program, done to the file.

Each edit writes a new file. Rows and columns are inserted the way the programs do it: every cell below moves,
and so does every reference to it, in formulas and in names, on every sheet.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from xml.etree import ElementTree as ET

from tests.engines.values import sheet_parts

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
REFERENCE = re.compile(
    r"""(?P<text>"(?:[^"]|"")*")
      | (?:(?P<sheet>'(?:[^']|'')+'|[A-Za-z_]+)!)?
        (?P<first>\$?[A-Z]{1,3}\$?[0-9]+)(?::(?P<last>\$?[A-Z]{1,3}\$?[0-9]+))?(?![A-Za-z0-9_(])""",
    re.VERBOSE,
)
CELL = re.compile(r"(\$?)([A-Z]{1,3})(\$?)([0-9]+)")

Parts = dict[str, bytes]
Move = Callable[[int, int], tuple[int, int]]
"""Where a cell goes, by row and column counted from 1."""

ET.register_namespace("", MAIN)
ET.register_namespace("r", "http://schemas.openxmlformats.org/officeDocument/2006/relationships")


def _tag(name: str) -> str:
    return f"{{{MAIN}}}{name}"


def unzip(path: Path) -> Parts:
    with zipfile.ZipFile(path) as package:
        return {name: package.read(name) for name in package.namelist()}


def rezip(parts: Parts, path: Path) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as package:
        for name, content in parts.items():
            package.writestr(name, content)
    return path


def part_of(path: Path, sheet: str) -> str:
    with zipfile.ZipFile(path) as package:
        return sheet_parts(package)[sheet]


def _number(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def _letters(number: int) -> str:
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def _moved(address: str, move: Move) -> str:
    match = CELL.fullmatch(address)
    assert match is not None, address
    row, col = move(int(match[4]), _number(match[2]))
    return f"{match[1]}{_letters(col)}{match[3]}{row}"


# ------------------------------------------------------------------------------------------------- edits


def set_cells(source: Path, target: Path, edits: Mapping[tuple[str, str], float | str | bool | None]) -> Path:
    """Type into cells, over formulas too. Text that begins with = is a formula; None empties the cell."""
    parts = unzip(source)
    for sheet in {sheet for sheet, _ in edits}:
        part = part_of(source, sheet)
        root = ET.fromstring(parts[part])
        for (on, address), value in edits.items():
            if on == sheet:
                _set(root, address, value)
        parts[part] = ET.tostring(root, xml_declaration=True, encoding="UTF-8")
    return rezip(parts, target)


def _set(root: ET.Element, address: str, value: float | str | bool | None) -> None:
    data = root.find(_tag("sheetData"))
    assert data is not None
    match = CELL.fullmatch(address)
    assert match is not None
    number, col = int(match[4]), _number(match[2])
    row = next((row for row in data if int(row.attrib["r"]) == number), None)
    if row is None:
        row = ET.Element(_tag("row"), {"r": str(number)})
        data.insert(sum(int(other.attrib["r"]) < number for other in data), row)
    cell = next((cell for cell in row if cell.attrib["r"] == address), None)
    if cell is None:
        cell = ET.Element(_tag("c"), {"r": address})
        before = [_number(CELL.fullmatch(other.attrib["r"])[2]) < col for other in row]  # type: ignore[index]
        row.insert(sum(before), cell)
    for child in list(cell):
        cell.remove(child)
    cell.attrib.pop("t", None)
    if value is None:
        return
    if isinstance(value, str) and value.startswith("="):
        ET.SubElement(cell, _tag("f")).text = value[1:]
    elif isinstance(value, str):
        cell.attrib["t"] = "inlineStr"
        ET.SubElement(ET.SubElement(cell, _tag("is")), _tag("t")).text = value
    elif isinstance(value, bool):
        cell.attrib["t"] = "b"
        ET.SubElement(cell, _tag("v")).text = str(int(value))
    else:
        ET.SubElement(cell, _tag("v")).text = repr(value)


def insert_rows(source: Path, target: Path, sheet: str, before: int, count: int = 1) -> Path:
    """Insert empty rows before this row (counted from 1)."""
    return moved(source, target, sheet, lambda row, col: (row + count * (row >= before), col))


def insert_column(source: Path, target: Path, sheet: str, before: str) -> Path:
    """Insert an empty column before this one."""
    return moved(source, target, sheet, lambda row, col: (row, col + (col >= _number(before))))


def moved(source: Path, target: Path, sheet: str, move: Move) -> Path:
    """Move the cells of a sheet, and every reference to them."""
    parts = unzip(source)
    with zipfile.ZipFile(source) as package:
        sheets = sheet_parts(package)
    for name, part in sheets.items():
        root = ET.fromstring(parts[part])
        for formula in root.iter(_tag("f")):
            formula.text = _references(formula.text or "", name, sheet, move)
        if name == sheet:
            _move_cells(root, move)
        parts[part] = ET.tostring(root, xml_declaration=True, encoding="UTF-8")
    book = ET.fromstring(parts["xl/workbook.xml"])
    for name_element in book.iter(_tag("definedName")):
        name_element.text = _references(name_element.text or "", "", sheet, move)
    parts["xl/workbook.xml"] = ET.tostring(book, xml_declaration=True, encoding="UTF-8")
    return rezip(parts, target)


def _references(text: str, own: str, sheet: str, move: Move) -> str:
    def one(match: re.Match[str]) -> str:
        if match["text"] is not None:
            return match[0]
        on = match["sheet"]
        name = own if on is None else on.strip("'").replace("''", "'")
        if name != sheet:
            return match[0]
        prefix = "" if on is None else f"{on}!"
        last = f":{_moved(match['last'], move)}" if match["last"] else ""
        return f"{prefix}{_moved(match['first'], move)}{last}"

    return REFERENCE.sub(one, text)


def _move_cells(root: ET.Element, move: Move) -> None:
    data = root.find(_tag("sheetData"))
    assert data is not None
    rows: dict[int, ET.Element] = {}
    for row in list(data):
        number = move(int(row.attrib["r"]), 1)[0]
        row.attrib["r"] = str(number)
        row.attrib.pop("spans", None)
        rows[number] = row
        for cell in row:
            cell.attrib["r"] = _moved(cell.attrib["r"], move)
    dimension = root.find(_tag("dimension"))
    if dimension is not None:
        root.remove(dimension)


def rename_sheet(source: Path, target: Path, old: str, new: str) -> Path:
    """Give a sheet another tab name; references follow."""
    parts = unzip(source)
    with zipfile.ZipFile(source) as package:
        sheets = sheet_parts(package)
    quoted = "'" + new.replace("'", "''") + "'"
    pattern = re.compile(rf"(?<![\w']){re.escape(old)}!|'{re.escape(old)}'!")
    for part in sheets.values():
        root = ET.fromstring(parts[part])
        for formula in root.iter(_tag("f")):
            formula.text = pattern.sub(f"{quoted}!", formula.text or "")
        parts[part] = ET.tostring(root, xml_declaration=True, encoding="UTF-8")
    book = ET.fromstring(parts["xl/workbook.xml"])
    for name in book.iter(_tag("definedName")):
        name.text = pattern.sub(f"{quoted}!", name.text or "")
    for element in book.iter(_tag("sheet")):
        if element.attrib["name"] == old:
            element.attrib["name"] = new
    parts["xl/workbook.xml"] = ET.tostring(book, xml_declaration=True, encoding="UTF-8")
    return rezip(parts, target)


def change_names(source: Path, target: Path, change: Callable[[str, str], str | None]) -> Path:
    """Rewrite the defined names: given name and text, return the new text, or None to delete the name."""
    parts = unzip(source)
    book = ET.fromstring(parts["xl/workbook.xml"])
    names = book.find(_tag("definedNames"))
    assert names is not None
    for name in list(names):
        text = change(name.attrib["name"], name.text or "")
        if text is None:
            names.remove(name)
        else:
            name.text = text
    parts["xl/workbook.xml"] = ET.tostring(book, xml_declaration=True, encoding="UTF-8")
    return rezip(parts, target)


def without_values(source: Path, target: Path) -> Path:
    """Take the stored value of every formula away, as programs do that don't calculate."""
    parts = unzip(source)
    with zipfile.ZipFile(source) as package:
        sheets = sheet_parts(package)
    for part in sheets.values():
        root = ET.fromstring(parts[part])
        for cell in root.iter(_tag("c")):
            value = cell.find(_tag("v"))
            if cell.find(_tag("f")) is not None and value is not None:
                cell.remove(value)
                cell.attrib.pop("t", None)
        parts[part] = ET.tostring(root, xml_declaration=True, encoding="UTF-8")
    return rezip(parts, target)
