"""A workbook file as somebody left it: its sheets' cells, and the cells that its names stand for.

Cells are found by the names that the book was written with, wherever those cells are now: a sheet may have
another tab name or place, columns may have moved, rows may have been inserted, and another program may have
saved it. What a name means is the business of ``meltbook.workbook.edited``; here a name is only an area of
cells.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from xml.etree.ElementTree import Element

from meltbook.errors import BookFileError
from meltbook.fields.kernel import NAME
from meltbook.workbook.cells import MOST_CELLS, Cell, SheetCells, SheetReader, column_number, read_strings
from meltbook.workbook.package import Package, open_package, zip_bytes
from meltbook.workbook.plain_formulas import PlainFormulas, formulas_of
from meltbook.workbook.plain_sheet import PlainSheet, plain_sheet

_AREA = re.compile(
    r"""^\s*(?P<sheet>'(?:[^']|'')+'|[^'!:()\[\],]+)!
        \$?(?P<left>[A-Z]{1,3})\$?(?P<top>[0-9]{1,7})
        (?:(?::(?:'(?:[^']|'')+'|[^'!:()\[\],]+)!|:)\$?(?P<right>[A-Z]{1,3})\$?(?P<bottom>[0-9]{1,7}))?\s*$""",
    re.VERBOSE | re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Area:
    """The cells that a name stands for; rows and columns counted from 0, the last ones included."""

    sheet: str
    top: int
    left: int
    bottom: int
    right: int

    def __str__(self) -> str:
        from meltbook.workbook.address import cell_address

        first, last = cell_address(self.top, self.left), cell_address(self.bottom, self.right)
        return f"{self.sheet}, {first}" if first == last else f"{self.sheet}, {first}:{last}"


@dataclass(frozen=True, slots=True)
class NamesFound:
    """The names in a file that look like a field's.

    ``broken`` are those that stand for no cells any more, with their text; ``twice`` those that the file
    holds more than once; ``local`` counts names that belong to one sheet only, by sheet: a copied sheet has
    them.
    """

    areas: Mapping[str, Area]
    broken: Mapping[str, str]
    twice: tuple[str, ...]
    local: Mapping[str, int]


@dataclass(slots=True)
class BookFile:
    """An opened workbook. Sheets are read when they are first asked for.

    ``defined`` has the text of every name, a field's or not, by the sheet that it belongs to (empty for the
    workbook) and the name, both in small letters.
    """

    path: Path
    names: NamesFound
    sheet_names: tuple[str, ...]
    _package: Package
    _parts: Mapping[str, str]
    _strings: list[str]
    defined: Mapping[tuple[str, str], str] = field(default_factory=dict)
    _read: dict[str, SheetCells | PlainSheet] = field(default_factory=dict)
    _formulas: dict[str, PlainFormulas | None] = field(default_factory=dict)
    _room: int = MOST_CELLS

    def sheet(self, name: str) -> SheetCells | PlainSheet:
        """The cells of a sheet, by the tab name that it has now."""
        found = self._read.get(name)
        if found is None:
            found = self._read[name] = self._read_sheet(name)
        return found

    def _read_sheet(self, name: str) -> SheetCells | PlainSheet:
        part = self._parts[name]
        damaged = partial(self._package.damaged, f"is damaged in the sheet {name!r}")
        plain = plain_sheet(name, self._package.read(part), self._strings, self._room, damaged)
        if plain is not None:
            self._room -= len(plain)
            return plain
        reader = SheetReader(name, self._strings, self._room)
        cells = reader.read(self._package, part)
        self._room = reader.room
        return cells

    def formulas(self, name: str) -> PlainFormulas | None:
        """The formula cells of a sheet, as lists side by side; nothing where it isn't plainly spelt."""
        if name not in self._formulas:
            sheet = self.sheet(name)
            self._formulas[name] = formulas_of(sheet) if isinstance(sheet, PlainSheet) else None
        return self._formulas[name]

    def formulas_read(self, data: bytes) -> dict[str, PlainFormulas]:
        """The formula cells of all sheets that were read, if the file that was read is this one."""
        if zip_bytes(self._package) != data:
            return {}
        return {name: found for name in self._read if (found := self.formulas(name)) is not None}

    def cell(self, sheet: str, row: int, col: int) -> Cell:
        """One cell."""
        return self.sheet(sheet).at(row, col)


def read_file(path: Path) -> BookFile:
    """Open a workbook and find its sheets and names. Raises if it can't be read or counts dates otherwise."""
    package, part = open_package(path)
    book = package.xml(part)
    related = package.related(part)
    sheets: dict[str, str] = {}
    tabs: list[str] = []
    for element in book.iter("sheet"):
        tabs.append(element.get("name", ""))
        reference = next((value for key, value in element.attrib.items() if key.rpartition("}")[2] == "id"), "")
        kind, target = related.get(reference, ("", ""))
        if kind == "worksheet" and package.has(target):
            sheets[tabs[-1]] = target
    if not sheets:
        raise package.damaged("has no sheet that can be read")
    if any(element.get("date1904", "0") in ("1", "true") for element in book.iter("workbookPr")):
        raise BookFileError(
            f"{path.name} counts its dates from 1904, so that every date means another day.",
            hint="Switch the 1904 date system off in the options of your program, check the dates, and save.",
        )
    strings = next((target for kind, target in related.values() if kind == "sharedStrings"), "")
    names = _names(book, sheets, tabs)
    defined = dict(_defined(book, tabs))
    return BookFile(path, names, tuple(sheets), package, sheets, read_strings(package, strings), defined)


def _defined(book: Element, tabs: list[str]) -> Iterator[tuple[tuple[str, str], str]]:
    for element in book.iter("definedName"):
        index = element.get("localSheetId")
        sheet = "" if index is None else tabs[int(index)] if index.isdigit() and int(index) < len(tabs) else "?"
        yield (sheet.casefold(), element.get("name", "").lower()), (element.text or "").strip()


def _names(book: Element, sheets: Mapping[str, str], tabs: list[str]) -> NamesFound:
    by_fold = {name.casefold(): name for name in sheets}
    areas: dict[str, Area] = {}
    broken: dict[str, str] = {}
    seen: Counter[str] = Counter()
    local: Counter[str] = Counter()
    scoped: list[tuple[str, str, str]] = []
    for element in book.iter("definedName"):
        name, text = element.get("name", "").lower(), (element.text or "").strip()
        if not NAME.match(name):
            continue
        index = element.get("localSheetId")
        if index is not None:
            tab = tabs[int(index)] if index.isdigit() and int(index) < len(tabs) else ""
            scoped.append((name, text, tab))
            continue
        seen[name] += 1
        area = parse_area(text, by_fold)
        if area is None:
            broken[name] = text
        elif name not in areas:
            areas[name] = area
    for name, text, tab in scoped:
        area = parse_area(text, by_fold)
        # A program that keeps every name with its sheet is no harm: the name is still there once.
        if area is not None and name not in areas and name not in broken:
            areas[name] = area
            seen[name] += 1
        elif name in areas and area != areas[name]:
            local[tab] += 1
    twice = tuple(name for name, count in seen.items() if count > 1)
    return NamesFound(areas, {name: text for name, text in broken.items() if name not in areas}, twice, local)


def parse_area(text: str, sheets: Mapping[str, str]) -> Area | None:
    """The cells that a name's text stands for; ``sheets`` are tab names by their folded spelling."""
    match = _AREA.match(text.removeprefix("="))
    if match is None:
        return None
    sheet = match["sheet"].lstrip("$")
    if sheet.startswith("'"):
        sheet = sheet[1:-1].replace("''", "'")
    tab = sheets.get(sheet.casefold())
    if tab is None:
        return None
    top, left = int(match["top"]) - 1, column_number(match["left"].upper())
    bottom = int(match["bottom"]) - 1 if match["bottom"] else top
    right = column_number(match["right"].upper()) if match["right"] else left
    return Area(tab, min(top, bottom), min(left, right), max(top, bottom), max(left, right))
