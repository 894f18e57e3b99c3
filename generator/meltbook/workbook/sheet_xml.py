"""Where the cells of a sheet stand in its XML, to the byte.

An owner's sheet holds more than any library knows of: sparklines, other makers' extensions, remarks, its
own order of attributes and its own spelling. So it is never written anew. A tokenizer (expat) says at which
bytes each row, cell and child of a cell begins and ends, and :func:`patched` replaces those bytes and no
others.

Rows and columns are counted from 0, and so are bytes.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, NamedTuple
from xml.parsers import expat

from meltbook.workbook.a_one import LAST_COLUMN, LAST_ROW
from meltbook.workbook.cells import column_number

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
STRICT = "http://purl.oclc.org/ooxml/spreadsheetml/main"

_TAG = re.compile(rb"""<[^\s/>]+(?:[^"'>]|"[^"]*"|'[^']*')*>""")
_NAME = re.compile(rb"<([^\s/>]+)")
_ATTRIBUTE = re.compile(rb"""\s+([^\s=/>"']+)\s*=\s*("[^"]*"|'[^']*')""")
_CELL = re.compile(r"([A-Z]{1,3})([1-9][0-9]{0,6})")
_DIGITS = "0123456789"


class SheetXmlError(Exception):
    """A sheet that can't be edited at the byte; the text goes on from the file's name, as in "is damaged"."""


class Area(NamedTuple):
    """A block of cells, both ends included."""

    top: int
    left: int
    bottom: int
    right: int

    def holds(self, row: int, col: int) -> bool:
        """Whether the cell is inside."""
        return self.top <= row <= self.bottom and self.left <= col <= self.right

    def with_cell(self, row: int, col: int) -> Area:
        """The smallest block that also holds the cell."""
        return Area(min(self.top, row), min(self.left, col), max(self.bottom, row), max(self.right, col))

    @property
    def is_one(self) -> bool:
        """Whether it is a single cell."""
        return self.top == self.bottom and self.left == self.right


class Element(NamedTuple):
    """An element in the bytes: where its start tag begins, and where expat saw its end."""

    name: str
    start: int
    close: int
    attributes: dict[str, str]


class RawCell(NamedTuple):
    """A cell as it is written: what stands in it, where, and with which attributes."""

    row: int
    col: int
    start: int
    close: int
    attributes: dict[str, str]
    children: tuple[Element, ...]

    def child(self, name: str) -> Element | None:
        """The cell's ``f``, ``v``, ``is`` or ``extLst``."""
        return next((child for child in self.children if child.name == name), None)


class RawRow(NamedTuple):
    """A row as it is written."""

    row: int
    start: int
    close: int
    attributes: dict[str, str]


@dataclass(slots=True)
class Outline:
    """What there is in a sheet besides its cells. ``columns`` are the first and last column and the style
    of each.
    """

    sheet_data: Element | None = None
    dimension: Element | None = None
    rows: list[RawRow] = field(default_factory=list)
    merged: list[Area] = field(default_factory=list)
    columns: list[tuple[int, int, str]] = field(default_factory=list)


def cell_place(cell: str) -> tuple[int, int]:
    """The row and column of a cell's name such as ``C7``; a ValueError if it is none."""
    match = _CELL.fullmatch(cell)
    if match is None:
        raise ValueError(cell)
    row, col = int(match[2]) - 1, column_number(match[1])
    if row >= LAST_ROW or col >= LAST_COLUMN:
        raise ValueError(cell)
    return row, col


def area(reference: str) -> Area:
    """The block of a reference such as ``A1:B2`` or ``A1``; a ValueError if it is none."""
    first, _, last = reference.replace("$", "").partition(":")
    top, left = cell_place(first)
    bottom, right = cell_place(last or first)
    return Area(min(top, bottom), min(left, right), max(top, bottom), max(left, right))


@lru_cache(maxsize=1024)
def _column(letters: str) -> int:
    return cell_place(f"{letters}1")[1]


# ---------------------------------------------------------------------------------------------- reading


def scan(data: bytes, on_cell: Callable[[RawCell], object]) -> Outline:
    """Walk through a sheet, hand over each of its cells, and return the rest of what an edit has to know."""
    _check_encoding(data)
    scanner = _Scanner(on_cell)
    try:
        scanner.parser.Parse(data, True)
    except (expat.ExpatError, ValueError, OverflowError) as error:
        raise SheetXmlError("has a damaged sheet") from error
    if scanner.outline.sheet_data is None:
        raise SheetXmlError("has a sheet without cells")
    return scanner.outline


def check_well_formed(data: bytes) -> None:
    """Raise unless the bytes are XML in UTF-8 without a document type. Much faster than a scan."""
    _check_encoding(data)
    parser = expat.ParserCreate()
    parser.XmlDeclHandler = _declaration
    parser.StartDoctypeDeclHandler = _doctype
    try:
        parser.Parse(data, True)
    except expat.ExpatError as error:
        raise SheetXmlError("has a damaged sheet") from error


def _check_encoding(data: bytes) -> None:
    if data.startswith((b"\xff\xfe", b"\xfe\xff")) or b"\0" in data[:4]:
        raise SheetXmlError("has a sheet that is not written in UTF-8")


def _declaration(_version: str, encoding: str | None, _standalone: int) -> None:
    if encoding is not None and encoding.lower() not in ("utf-8", "us-ascii", "ascii"):
        raise SheetXmlError("has a sheet that is not written in UTF-8")


def _doctype(*_: Any) -> None:
    raise SheetXmlError("declares a document type in a sheet, which no workbook needs")


class _Scanner:
    """The state while expat walks through a sheet."""

    def __init__(self, on_cell: Callable[[RawCell], object]) -> None:
        self.outline = Outline()
        self.on_cell = on_cell
        self.parser = expat.ParserCreate(namespace_separator=" ")
        self.parser.XmlDeclHandler = _declaration
        self.parser.StartDoctypeDeclHandler = _doctype
        self.parser.StartElementHandler = self.root
        self.names: dict[str, str] = {}
        self.in_cells = False
        self.row = self.col = -1
        self.row_text = ""
        self.row_start: tuple[int, dict[str, str]] = (0, {})
        self.cell_start: tuple[int, dict[str, str]] | None = None
        self.depth = 0
        self.child: tuple[str, int, dict[str, str]] = ("", 0, {})
        self.children: list[Element] = []
        self.data_start = 0

    def root(self, tag: str, _: dict[str, str]) -> None:
        space, name = tag.rpartition(" ")[::2]
        if name != "worksheet" or space not in (MAIN, STRICT):
            raise SheetXmlError("has a sheet that is no sheet of cells")
        known = ("sheetData", "row", "c", "f", "v", "is", "extLst", "dimension", "mergeCell", "col")
        self.names = {f"{space} {name}": name for name in known}
        self.parser.StartElementHandler = self.start
        self.parser.EndElementHandler = self.end

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        name = self.names.get(tag, "")
        if self.cell_start is not None:
            if self.depth == 0:
                self.child = (name, self.parser.CurrentByteIndex, attributes)
            self.depth += 1
        elif self.in_cells:
            if name == "c":
                self.cell_start = (self.parser.CurrentByteIndex, attributes)
                self.children = []
                self.depth = 0
            elif name == "row":
                self.open_row(attributes)
        elif name:
            self.outside(name, attributes)

    def open_row(self, attributes: dict[str, str]) -> None:
        row = int(attributes["r"]) - 1 if "r" in attributes else self.row + 1
        if row <= self.row or row >= LAST_ROW:
            raise SheetXmlError("has a sheet with rows out of order")
        self.row, self.row_text, self.col = row, str(row + 1), -1
        self.row_start = (self.parser.CurrentByteIndex, attributes)

    def outside(self, name: str, attributes: dict[str, str]) -> None:
        """An element before or after the cells."""
        index = self.parser.CurrentByteIndex
        if name == "sheetData":
            if self.outline.sheet_data is not None:
                raise SheetXmlError("has a damaged sheet")
            self.in_cells, self.data_start = True, index
        elif name == "dimension":
            self.outline.dimension = Element(name, index, index, attributes)
        elif name == "mergeCell":
            self.outline.merged.append(area(attributes["ref"]) if "ref" in attributes else area(""))
        elif name == "col" and "style" in attributes:
            span = int(attributes.get("min", 0)) - 1, int(attributes.get("max", 0)) - 1
            self.outline.columns.append((*span, attributes["style"]))

    def end(self, tag: str) -> None:
        index = self.parser.CurrentByteIndex
        if self.cell_start is not None:
            if self.depth == 0:
                self.close_cell(index)
                return
            self.depth -= 1
            if self.depth == 0:
                name, start, attributes = self.child
                self.children.append(Element(name, start, index, attributes))
        elif self.in_cells:
            name = self.names.get(tag, "")
            if name == "row":
                self.outline.rows.append(RawRow(self.row, self.row_start[0], index, self.row_start[1]))
            elif name == "sheetData":
                self.in_cells = False
                self.outline.sheet_data = Element(name, self.data_start, index, {})

    def close_cell(self, index: int) -> None:
        assert self.cell_start is not None
        start, attributes = self.cell_start
        place = attributes.get("r")
        if place is None:
            col = self.col + 1
        else:
            letters = place.rstrip(_DIGITS)
            if place[len(letters) :] != self.row_text:
                raise SheetXmlError("has a sheet with a cell in the wrong row")
            col = _column(letters)
        if col <= self.col:
            raise SheetXmlError("has a sheet with cells out of order")
        self.col, self.cell_start = col, None
        self.on_cell(RawCell(self.row, col, start, index, attributes, tuple(self.children)))


# ------------------------------------------------------------------------------------------------- bytes


def start_tag(data: bytes, start: int) -> bytes:
    """The start tag that begins there, as written."""
    match = _TAG.match(data, start)
    if match is None:
        raise SheetXmlError("has a damaged sheet")
    return match[0]


def is_empty(tag: bytes) -> bool:
    """Whether a start tag is its own end, as in ``<row/>``."""
    return tag.endswith(b"/>")


def end_of(data: bytes, start: int, close: int) -> int:
    """Where an element ends, of which expat told the start and the end."""
    tag = start_tag(data, start)
    return start + len(tag) if is_empty(tag) else data.index(b">", close) + 1


def inner(data: bytes, element: Element) -> bytes:
    """What stands between an element's tags, as written."""
    tag = start_tag(data, element.start)
    return b"" if is_empty(tag) else data[element.start + len(tag) : element.close]


def tag_name(tag: bytes) -> bytes:
    """The name in a start tag, with its prefix."""
    match = _NAME.match(tag)
    return match[1] if match else b""


def prefix_of(tag: bytes) -> bytes:
    """The prefix of a tag with its colon, or nothing."""
    before, colon, _ = tag_name(tag).rpartition(b":")
    return before + colon


def opened(tag: bytes) -> bytes:
    """A start tag that has content after it."""
    return tag[:-2].rstrip() + b">" if is_empty(tag) else tag


def with_attributes(tag: bytes, put: Mapping[bytes, bytes], drop: Iterable[bytes] = ()) -> bytes:
    """A start tag with some attributes set and some left out; the others keep place and spelling."""
    left = dict(put)
    unwanted = frozenset(drop)

    def one(match: re.Match[bytes]) -> bytes:
        if match[1] in left:
            return b' %s="%s"' % (match[1], left.pop(match[1]))
        return b"" if match[1] in unwanted else match[0]

    tag = _ATTRIBUTE.sub(one, tag)
    new = b"".join(b' %s="%s"' % item for item in left.items())
    if not new:
        return tag
    end = b"/>" if is_empty(tag) else b">"
    return tag[: -len(end)].rstrip() + new + end


class Patch(NamedTuple):
    """New bytes in place of those from ``start`` up to ``end``; an insertion where both are the same."""

    start: int
    end: int
    text: bytes


def patched(data: bytes, patches: Iterable[Patch]) -> bytes:
    """The sheet with the patches in it. They may come in any order and must not overlap."""
    pieces: list[bytes] = []
    at = 0
    for patch in sorted(patches, key=lambda patch: (patch.start, patch.end)):
        assert patch.start >= at, "two patches overlap"
        pieces += (data[at : patch.start], patch.text)
        at = patch.end
    pieces.append(data[at:])
    return b"".join(pieces)
