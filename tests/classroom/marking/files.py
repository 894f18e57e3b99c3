"""Students' files: what is typed stands in the cells of a real workbook, and the file is what programs make of it."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from xml.etree import ElementTree as ET

import openpyxl

from tests.engines.values import sheet_parts
from tests.unit.workbook import edits

Content = float | str | None
NAMED = re.compile(r"""^'?((?:[^'!]|'')+?)'?!\$([A-Z]+)\$([0-9]+)(?::\$([A-Z]+)\$([0-9]+))?$""")
NAME = re.compile(r'"[^"]*"|[a-z]+(?:_[a-z]+)+')


def cells_of(path: Path) -> dict[str, tuple[str, str]]:
    """The sheet and the address of every name."""
    book = ET.fromstring(edits.unzip(path)["xl/workbook.xml"])
    found: dict[str, tuple[str, str]] = {}
    for name in book.iter(edits._tag("definedName")):
        match = NAMED.match(name.text or "")
        if match:
            last = f":{match[4]}{match[5]}" if match[4] else ""
            found[name.attrib["name"]] = (match[1].replace("''", "'"), f"{match[2]}{match[3]}{last}")
    return found


def as_addresses(content: Content, places: Mapping[str, tuple[str, str]], sheet: str) -> Content:
    """A formula in addresses, as it stands when cells are pointed at."""
    if not isinstance(content, str) or not content.startswith("="):
        return content

    def one(match: re.Match[str]) -> str:
        if match[0] not in places:
            return match[0]
        on, address = places[match[0]]
        return address if on == sheet else f"'{on}'!{address}"

    return NAME.sub(one, content)


def fill(source: Path, target: Path, typed: Mapping[str, Content], *, pointed: bool = True) -> Path:
    """Type into the workbook; formulas point at cells, or name them."""
    places = cells_of(source)
    put = {}
    for name, content in typed.items():
        place = places[name]
        put[place] = as_addresses(content, places, place[0]) if pointed else content
    return edits.set_cells(source, target, put)


# ------------------------------------------------------------------------------------- what becomes of a file


def as_it_is(path: Path) -> None:
    pass


def by_openpyxl(path: Path) -> None:
    openpyxl.load_workbook(path).save(path)


def rows_inserted(path: Path) -> None:
    """Two rows above the first answer on a sheet, and one above a given number on another."""
    places = cells_of(path)
    for stage, down in (("own", 2), ("first", 1)):
        sheet, address = next(
            place for name, place in places.items() if name.startswith(f"{stage}_") and name.endswith("_said")
        )
        row = int(re.sub(r"\D", "", address))
        edits.insert_rows(path, path, sheet, row, down)
        edits.insert_rows(path, path, sheet, 3)


def columns_moved(path: Path) -> None:
    edits.insert_column(path, path, "On your own", "B")
    edits.insert_column(path, path, "First steps", "A")


def sheets_renamed(path: Path) -> None:
    edits.rename_sheet(path, path, "On your own", "Bo's own, page 2!")
    edits.rename_sheet(path, path, "First steps", "Übung")
    edits.rename_sheet(path, path, "Start", "=1+1")


def without_values(path: Path) -> None:
    edits.without_values(path, path)


def lying(path: Path, value: str = "777.77") -> None:
    """Every stored value beside a formula is the same wrong number."""
    _with_values(path, lambda _: value)


def stale(path: Path) -> None:
    _with_values(path, lambda _: "0")


def _with_values(path: Path, value: Callable[[str], str]) -> None:
    parts = edits.unzip(path)
    with zipfile.ZipFile(path) as package:
        sheets = sheet_parts(package)
    for part in sheets.values():
        root = ET.fromstring(parts[part])
        for cell in root.iter(edits._tag("c")):
            if cell.find(edits._tag("f")) is not None:
                stored = cell.find(edits._tag("v"))
                stored = ET.SubElement(cell, edits._tag("v")) if stored is None else stored
                stored.text = value(cell.attrib["r"])
                cell.attrib.pop("t", None)
        parts[part] = ET.tostring(root, xml_declaration=True, encoding="UTF-8")
    edits.rezip(parts, path)


FATES: tuple[Callable[[Path], None], ...] = (
    as_it_is,
    by_openpyxl,
    rows_inserted,
    columns_moved,
    sheets_renamed,
    without_values,
    lying,
    stale,
)
