"""Looks a written workbook over, as a file, without the code that wrote it.

``lint_book`` reads the parts of the package and returns what is wrong in sentences: what a spreadsheet
program would repair or refuse, and what the rules of this project forbid (merged cells, hidden sheets,
functions that are not the same everywhere, charts without a text, numbers whose look says what it should not).
"""

from __future__ import annotations

import posixpath
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from xml.etree.ElementTree import Element, ParseError

from defusedxml import ElementTree
from defusedxml.common import DefusedXmlException

from meltbook.fields.kernel import NAME
from meltbook.workbook.formulas import FUNCTIONS, LONGEST
from meltbook.workbook.lint_cells import CellRules, lint_cells
from meltbook.workbook.lint_looks import number_format_faults, protection_faults

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_REL = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}"
_DRAWING = "{http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing}"
_FORBIDDEN_PARTS = ("externalLinks/", "vbaProject", "connections", "embeddings/", "activeX/")
_PLAIN_RANGE = re.compile(r"^(?:'(?:[^']|'')+'|[A-Za-z_]+)!\$[A-Z]{1,3}\$[0-9]+(?::\$[A-Z]{1,3}\$[0-9]+)?$")
_ONE_PAGE = 75
"""The most rows that can be read when they are printed on one page."""
_NO_NAME = re.compile(r"^Sheet ?[0-9]*$|^R[0-9]*C?[0-9]*$|^C[0-9]*$", re.IGNORECASE)
"""A sheet that nobody has named, and what some programs read as a cell by row and column."""
_AREA = re.compile(r"^([A-Z]+)([0-9]+)(?::([A-Z]+)([0-9]+))?$")


@dataclass(slots=True)
class _Lint:
    package: zipfile.ZipFile
    parts: dict[str, Element] = field(default_factory=dict)
    faults: list[str] = field(default_factory=list)

    def relations(self, part: str) -> dict[str, tuple[str, str]]:
        """The relations of a part: id to target part and type."""
        folder, name = posixpath.split(part)
        root = self.parts.get(f"{folder}/_rels/{name}.rels".lstrip("/"))
        found: dict[str, tuple[str, str]] = {}
        for rel in root if root is not None else ():
            target = rel.get("Target", "")
            if rel.get("TargetMode") == "External":
                self.faults.append(f"{part} links to something outside the workbook: {target}")
                continue
            path = target.lstrip("/") if target.startswith("/") else posixpath.normpath(posixpath.join(folder, target))
            if path not in self.package.namelist():
                self.faults.append(f"{part} refers to {path}, which is not in the file")
            found[rel.get("Id", "")] = (path, rel.get("Type", "").rpartition("/")[2])
        return found


def lint_book(path: Path) -> list[str]:
    """What is wrong with a workbook; an empty list if nothing is."""
    try:
        with zipfile.ZipFile(path) as package:
            lint = _Lint(package)
            _parse(lint)
            if not lint.faults:
                _lint_parts(lint)
            return lint.faults
    except (zipfile.BadZipFile, KeyError) as error:
        return [f"this is not a workbook: {error}"]


def _parse(lint: _Lint) -> None:
    names = lint.package.namelist()
    if len(names) != len(set(names)):
        lint.faults.append("a part is in the file twice")
    for name in names:
        if any(word in name for word in _FORBIDDEN_PARTS):
            lint.faults.append(f"{name} has no place in this workbook")
        if name.endswith((".xml", ".rels")):
            try:
                lint.parts[name] = ElementTree.fromstring(lint.package.read(name))
            except (ParseError, DefusedXmlException) as error:
                lint.faults.append(f"{name} can't be read as XML: {error}")
    for needed in ("xl/workbook.xml", "xl/styles.xml", "[Content_Types].xml"):
        if needed not in lint.parts and not lint.faults:
            lint.faults.append(f"{needed} is missing")


def _lint_parts(lint: _Lint) -> None:
    book = lint.parts["xl/workbook.xml"]
    relations = lint.relations("xl/workbook.xml")
    styles = lint.parts["xl/styles.xml"]
    strings = lint.parts.get("xl/sharedStrings.xml")
    tabs = list(book.iter(f"{_MAIN}sheet"))
    names = [tab.get("name", "") for tab in tabs]
    _sheet_names(lint, tabs, names)
    _defined_names(lint, book, names)
    rules = CellRules(
        styles=_count(styles, "cellXfs"),
        strings=0 if strings is None else len(strings),
        functions=FUNCTIONS,
        longest=LONGEST,
    )
    lint.faults += number_format_faults(styles)
    for tab, name in zip(tabs, names, strict=True):
        part, _ = relations.get(tab.get(f"{_REL}id", ""), ("", ""))
        if part not in lint.parts:
            lint.faults.append(f"{name} has no sheet in the file")
            continue
        lint.faults += lint_cells(name, lint.parts[part], rules)
        _sheet_features(lint, name, lint.parts[part], _count(styles, "dxfs"), names)
        for target, kind in lint.relations(part).values():
            if kind == "drawing" and target in lint.parts:
                lint.relations(target)
                _drawing(lint, name, lint.parts[target])


def _count(styles: Element, what: str) -> int:
    found = styles.find(f"{_MAIN}{what}")
    return 0 if found is None else len(found)


def _sheet_names(lint: _Lint, tabs: list[Element], names: list[str]) -> None:
    if len({name.lower() for name in names}) != len(names):
        lint.faults.append("two sheets have the same name")
    for tab, name in zip(tabs, names, strict=True):
        if tab.get("state", "visible") != "visible":
            lint.faults.append(f"{name} is hidden")
        if _NO_NAME.match(name) or _AREA.match(name.upper()) or len(name) > 31:
            lint.faults.append(f"{name!r} is no name for a sheet")


def _defined_names(lint: _Lint, book: Element, sheets: list[str]) -> None:
    seen: set[tuple[str, str | None]] = set()
    for one in book.iter(f"{_MAIN}definedName"):
        name, text = one.get("name", ""), one.text or ""
        key = (name.lower(), one.get("localSheetId"))
        if key in seen:
            lint.faults.append(f"the name {name} is defined twice")
        seen.add(key)
        if name.startswith("_xlnm."):
            continue
        if not NAME.match(name) or one.get("localSheetId") is not None:
            lint.faults.append(f"the name {name} is not by the rule: small letters, an underscore, the whole workbook")
        if one.get("hidden") in ("1", "true"):
            lint.faults.append(f"the name {name} is hidden")
        if not _PLAIN_RANGE.match(text):
            lint.faults.append(f"the name {name} stands for {text!r}, which is not cells of one column or row")
        elif text.rpartition("!")[0].strip("'").replace("''", "'") not in sheets:
            lint.faults.append(f"the name {name} stands for cells of a sheet that is not there: {text}")


def _sheet_features(lint: _Lint, name: str, sheet: Element, dxfs: int, sheets: list[str]) -> None:
    def fault(text: str) -> None:
        lint.faults.append(f"{name}: {text}")

    if sheet.find(f"{_MAIN}mergeCells") is not None:
        fault("has merged cells")
    for column in sheet.iter(f"{_MAIN}col"):
        if column.get("hidden") in ("1", "true") or column.get("width") == "0":
            fault(f"columns {column.get('min')} to {column.get('max')} are hidden")
    areas: list[tuple[int, int, int, int]] = []
    for block in sheet.iter(f"{_MAIN}conditionalFormatting"):
        for area in map(_area, block.get("sqref", "").split()):
            if any(_overlap(area, other) for other in areas):
                fault(f"conditional formats overlap at {block.get('sqref')}")
            areas.append(area)
        for rule in block:
            if not 0 <= int(rule.get("dxfId", "0")) < max(dxfs, 1):
                fault("a conditional format refers to a style that is not there")
    for rule in sheet.iter(f"{_MAIN}dataValidation"):
        for what, most in (("promptTitle", 32), ("prompt", 255), ("errorTitle", 32), ("error", 255)):
            if len(rule.get(what, "").encode("utf-16-le")) // 2 > most:
                fault(f"the {what} of {rule.get('sqref')} is too long")
        if not rule.get("prompt"):
            fault(f"the cells {rule.get('sqref')} do not say what to type")
    for link in sheet.iter(f"{_MAIN}hyperlink"):
        target = (link.get("location") or "").rpartition("!")[0].strip("'").replace("''", "'")
        if link.get(f"{_REL}id") is not None or target not in sheets:
            fault(f"the link in {link.get('ref')} leads nowhere in the workbook")
    for text in (*_page_faults(sheet), *protection_faults(sheet)):
        fault(text)


def _page_faults(sheet: Element) -> Iterator[str]:
    view = sheet.find(f"{_MAIN}sheetViews/{_MAIN}sheetView")
    if view is None or view.get("showGridLines") != "0":
        yield "shows gridlines"
    pane = None if view is None else view.find(f"{_MAIN}pane")
    if pane is None or pane.get("state") != "frozen":
        yield "has no frozen headings"
    setup = sheet.find(f"{_MAIN}pageSetup")
    fit = sheet.find(f"{_MAIN}sheetPr/{_MAIN}pageSetUpPr")
    if setup is None or fit is None or fit.get("fitToPage") != "1" or setup.get("fitToWidth", "1") != "1":
        yield "is not set to print one page wide"
    elif setup.get("fitToHeight") != "0" and len(sheet.findall(f"{_MAIN}sheetData/{_MAIN}row")) > _ONE_PAGE:
        yield "is squeezed into a number of pages when printed"


def _area(text: str) -> tuple[int, int, int, int]:
    match = _AREA.match(text)
    if match is None:
        return (0, 0, 0, 0)
    left, top, right, bottom = match.groups()
    return _column(left), int(top), _column(right or left), int(bottom or top)


def _column(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number


def _overlap(one: tuple[int, int, int, int], other: tuple[int, int, int, int]) -> bool:
    return one[0] <= other[2] and other[0] <= one[2] and one[1] <= other[3] and other[1] <= one[3]


def _drawing(lint: _Lint, name: str, drawing: Element) -> None:
    for frame in drawing.iter(f"{_DRAWING}cNvPr"):
        if not (frame.get("descr") or "").strip():
            lint.faults.append(f"{name}: {frame.get('name')} has no text for those who can't see it")
