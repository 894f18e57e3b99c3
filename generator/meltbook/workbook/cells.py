"""What stands in the cells of a workbook, read straight from the XML.

One pass over each sheet gives both the formula and the value that the program stored for it. Values are kept
as they are stored: a date is its day number, an error is a :class:`CellError`, and a formula whose value was
not stored is told apart from one that shows an empty text. The usual readers lose one or the other.

Rows and columns are counted from 0.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, NamedTuple
from xml.parsers import expat

from meltbook.errors import BookFileError
from meltbook.workbook.a_one import shifted
from meltbook.workbook.package import Package

MOST_CELLS = 4_000_000
"""Cells with something in them. A book with 20,000 log rows has 1.5 million."""


@dataclass(frozen=True, slots=True)
class CellError:
    """An error value such as #DIV/0!."""

    code: str

    def __str__(self) -> str:
        return self.code


CellValue = float | str | bool | CellError | None


class Cell(NamedTuple):
    """One cell.

    ``stored`` is False for a formula without a stored value. Programs that don't calculate leave an empty value
    behind, and others write one for an empty text; such a cell has the value ``None`` and counts as stored, and
    only a look at the rest of the file can tell the two apart.
    """

    value: CellValue = None
    formula: str | None = None
    stored: bool = True

    @property
    def is_empty(self) -> bool:
        """Nothing is in it, neither a value nor a formula."""
        return self.formula is None and (self.value is None or self.value == "")


EMPTY = Cell()


@dataclass(slots=True)
class SheetCells:
    """The cells of one sheet that have something in them, by row and column."""

    name: str
    cells: dict[tuple[int, int], Cell] = field(default_factory=dict)

    def at(self, row: int, col: int) -> Cell:
        """The cell there; an empty one where the file mentions none."""
        return self.cells.get((row, col), EMPTY)

    def formula(self, row: int, col: int) -> str | None:
        """The formula there, as far as there is one."""
        return self.at(row, col).formula

    def filled(self, row: int, col: int, count: int) -> Iterator[tuple[int, Cell]]:
        """Those of so many cells below one another that the file mentions, with their place among them."""
        for position in range(count):
            cell = self.cells.get((row + position, col))
            if cell is not None:
                yield position, cell


_ESCAPE = re.compile(r"_x([0-9A-Fa-f]{4})_")
_REFERENCE = re.compile(r"^([A-Z]{1,3})([1-9][0-9]*)$")
_EPOCH = dt.datetime(1899, 12, 30)


def unescaped(text: str) -> str:
    """Text with the ``_x000D_`` escapes of the format turned back into characters."""
    return _ESCAPE.sub(lambda match: chr(int(match[1], 16)), text) if "_x" in text else text


def column_number(letters: str) -> int:
    """The column of its letters, counted from 0."""
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number - 1


def read_strings(package: Package, part: str) -> list[str]:
    """The texts that the sheets refer to by number, without the reading aids of East Asian scripts."""
    if not part or not package.has(part):
        return []
    texts = []
    for item in package.xml(part).iter("si"):
        aids = {text for aid in item.iter("rPh") for text in aid.iter("t")}
        texts.append(unescaped("".join(text.text or "" for text in item.iter("t") if text not in aids)))
    return texts


class _TrapError(Exception):
    pass


class SheetReader:
    """Reads one sheet. ``room`` counts down the cells that may still be read, over all sheets."""

    def __init__(self, name: str, strings: list[str], room: int = MOST_CELLS) -> None:
        self.sheet = SheetCells(name)
        self.room = room
        self._strings = strings
        self._shared: dict[str, tuple[str, int, int]] = {}
        self._row = -1
        self._col = -1
        self._type = "n"
        self._text: list[str] = []
        self._reading = ""
        self._value: str | None = None
        self._inline: str | None = None
        self._formula: str | None = None
        self._formula_kind: dict[str, str] = {}
        self._aid = 0

    def read(self, package: Package, part: str) -> SheetCells:
        """All cells of the sheet in this part."""
        parser = expat.ParserCreate(namespace_separator=" ")
        parser.buffer_text = True
        parser.StartElementHandler = self._start
        parser.EndElementHandler = self._end
        parser.CharacterDataHandler = self._characters
        parser.StartDoctypeDeclHandler = self._doctype
        parser.EntityDeclHandler = self._doctype
        try:
            parser.Parse(package.read(part), True)
        except _TrapError as error:
            raise package.trap(part) from error
        except (expat.ExpatError, ValueError, IndexError, KeyError, OverflowError) as error:
            raise package.damaged(f"is damaged in the sheet {self.sheet.name!r}") from error
        return self.sheet

    def _doctype(self, *_: Any) -> None:
        raise _TrapError

    def _start(self, tag: str, attributes: dict[str, str]) -> None:
        tag = tag.rpartition(" ")[2]
        if tag == "c":
            self._open_cell(attributes)
        elif tag in ("v", "f", "t"):
            self._reading = tag
            self._text.clear()
            if tag == "f":
                self._formula_kind = attributes
        elif tag == "rPh":
            self._aid += 1
        elif tag == "row":
            self._row = int(attributes["r"]) - 1 if "r" in attributes else self._row + 1
            self._col = -1

    def _open_cell(self, attributes: dict[str, str]) -> None:
        place = attributes.get("r", "")
        if match := _REFERENCE.match(place):
            self._col, self._row = column_number(match[1]), int(match[2]) - 1
        elif place:
            raise ValueError(place)
        else:
            self._col += 1
        self._type = attributes.get("t", "n")
        self._value = self._inline = self._formula = None
        self._formula_kind = {}

    def _characters(self, text: str) -> None:
        if self._reading:
            self._text.append(text)

    def _end(self, tag: str) -> None:
        tag = tag.rpartition(" ")[2]
        if tag == "c":
            self._close_cell()
        elif tag == self._reading:
            text = "".join(self._text)
            self._reading = ""
            if tag == "v":
                self._value = text
            elif tag == "f":
                self._formula = text
            elif not self._aid:
                self._inline = (self._inline or "") + text
        elif tag == "rPh":
            self._aid -= 1

    def _close_cell(self) -> None:
        formula = self._whole_formula()
        if formula is None and self._value is None and self._inline is None:
            return
        self.room -= 1
        if self.room < 0:
            raise BookFileError(
                f"The workbook has more than {MOST_CELLS:,} cells with something in them.",
                hint="A workbook of meltbook is not that large; delete what was added to it.",
            )
        stored = formula is None or self._value is not None
        value = self._typed_value() if stored else None
        self.sheet.cells[self._row, self._col] = Cell(value, formula, stored)

    def _whole_formula(self) -> str | None:
        """The formula's text, also where the file writes it once for many cells."""
        if self._formula is None:
            return None
        index = self._formula_kind.get("si")
        if self._formula_kind.get("t") == "shared" and index is not None:
            if self._formula:
                self._shared[index] = (self._formula, self._row, self._col)
            elif index in self._shared:
                text, row, col = self._shared[index]
                return shifted(text, self._row - row, self._col - col)
        return self._formula.removeprefix("=")

    def _typed_value(self) -> CellValue:
        text, kind = self._value, self._type
        if kind == "inlineStr":
            return unescaped(self._inline or "")
        if text is None:
            return None
        if kind == "s":
            return self._strings[int(text)]
        if kind == "str":
            return unescaped(text)
        if kind == "b":
            return text.strip() in ("1", "true")
        if kind == "e":
            return CellError(text)
        if kind == "d":
            return (dt.datetime.fromisoformat(text).replace(tzinfo=None) - _EPOCH) / dt.timedelta(days=1)
        if not text:
            return None
        number = float(text)
        if not math.isfinite(number):
            raise ValueError(text)
        return number
