"""A sheet in the plain spelling that spreadsheet programs use, taken apart with one pattern.

A log of 10,000 rows has 700,000 cells, of which a preview reads a few thousand. Read tag by tag they take
seconds. But where the XML is well-formed, and without remarks, instructions, quoted passages and changes of
vocabulary inside, a ``<`` can only begin a tag. A pattern then finds what a tokenizer would, and that it found
every cell there is, is counted. What stands in a cell is worked out when somebody asks for it.

A sheet that is spelt otherwise is no :class:`PlainSheet`: :class:`meltbook.workbook.cells.SheetReader` reads it,
with the same outcome.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache

from meltbook.errors import BookFileError
from meltbook.workbook.address import column_letters
from meltbook.workbook.cells import EMPTY, Cell, CellError, CellValue, column_number, unescaped
from meltbook.workbook.sheet_xml import MAIN, SheetXmlError, check_well_formed

_ROOT = re.compile(rb"<worksheet\s[^<]*<")
_NEVER = (b"<!", b"<?")
_NOT_PLAIN = (b"xmlns", b"\r")

_CELL = re.compile(
    rb'<c r="([A-Z]{1,3}[1-9][0-9]{0,6})"([^>]*+)>\s*+'
    rb"(?:<f([^>]*+)>(?:([^<]*+)</f>)?\s*+)?"
    rb"(<v(?:[\s/][^>]*+)?+>(?:[^<]*+</v>)?)?\s*+"
    rb"(?:<is>\s*+<t(?:\s[^>]*+)?+>([^<]*+)</t>\s*+</is>\s*+)?"
    rb"</c>"
)
_GROUPS = 6
PIECES = _GROUPS + 1
"""From one cell to the next in the list of pieces."""
_WORDS = re.compile(rb'(?:\s+[A-Za-z:]+="[^"<]*")*\s*/?')
_KIND = re.compile(rb'\st="([^"]*)"')
_NAME = re.compile(rb"([A-Z]+)([0-9]+)")
_CHARACTER = re.compile(r"&(?:#x([0-9A-Fa-f]+)|#([0-9]+)|(quot|apos|lt|gt|amp));")
_MARKS = {"quot": '"', "apos": "'", "lt": "<", "gt": ">", "amp": "&"}
_EPOCH = dt.datetime(1899, 12, 30)


@dataclass(slots=True)
class PlainSheet:
    """The cells of a sheet that have something in them, each still as it is written."""

    name: str
    data: bytes
    pieces: list[bytes | None]
    """Around each cell: what is before it, its name, attributes, those of its formula, formula, value, inline text."""
    strings: list[str]
    damaged: Callable[[], BookFileError]
    """The error for a cell that holds what it can't."""
    places: dict[bytes, int] = field(default_factory=dict)
    """Where among the pieces each cell's name is."""
    _kinds: dict[bytes, str] = field(default_factory=dict)

    def __len__(self) -> int:
        return len(self.places)

    def at(self, row: int, col: int) -> Cell:
        """The cell there; an empty one where the file mentions none."""
        place = self.places.get(b"%b%d" % (_letters(col), row + 1))
        return EMPTY if place is None else self._cell(place)

    def formula(self, row: int, col: int) -> str | None:
        """The formula there, as far as there is one."""
        place = self.places.get(b"%b%d" % (_letters(col), row + 1))
        return None if place is None or self.pieces[place + 2] is None else _formula(self.pieces[place + 3])

    def filled(self, row: int, col: int, count: int) -> Iterator[tuple[int, Cell]]:
        """Those of so many cells below one another that the file mentions, with their place among them."""
        letters, places = _letters(col), self.places
        for position, number in enumerate(range(row + 1, row + count + 1)):
            place = places.get(b"%b%d" % (letters, number))
            if place is not None:
                yield position, self._cell(place)

    def parts(self, part: int) -> list[bytes | None]:
        """A part of all cells, by its number among the pieces: 0 is the name."""
        return self.pieces[part + 1 :: PIECES]

    @property
    def cells(self) -> dict[tuple[int, int], Cell]:
        """All of them, by row and column."""
        found = {}
        for name, place in self.places.items():
            match = _NAME.fullmatch(name)
            assert match is not None
            found[int(match[2]) - 1, column_number(match[1].decode())] = self._cell(place)
        return {spot: cell for spot, cell in found.items() if cell is not EMPTY}

    def _cell(self, place: int) -> Cell:
        attributes, words, formula, value, inline = self.pieces[place + 1 : place + _GROUPS]
        if words is None and value is None and inline is None:
            return EMPTY
        try:
            text = None if words is None else _formula(formula)
            if text is not None and value is None:
                return Cell(None, text, stored=False)
            return Cell(self._value(self._kinds[attributes or b""], value, inline), text)
        except (ValueError, IndexError, OverflowError) as error:
            raise self.damaged() from error

    def _value(self, kind: str, value: bytes | None, inline: bytes | None) -> CellValue:
        if kind == "inlineStr":
            return unescaped(_text(inline or b""))
        if value is None:
            return None
        raw = value[3:-4] if value.startswith(b"<v>") else value.partition(b">")[2].removesuffix(b"</v>")
        if kind in ("", "n"):
            if not raw:
                return None
            number = float(raw)
            if not math.isfinite(number):
                raise ValueError(raw)
            return number
        text = _text(raw)
        if kind == "s":
            return self.strings[int(text)]
        if kind == "str":
            return unescaped(text)
        if kind == "b":
            return text.strip() in ("1", "true")
        if kind == "e":
            return CellError(text)
        if kind == "d":
            return (dt.datetime.fromisoformat(text).replace(tzinfo=None) - _EPOCH) / dt.timedelta(days=1)
        return float(text) if text else None


def plain_sheet(
    name: str, data: bytes, strings: list[str], room: int, damaged: Callable[[], BookFileError]
) -> PlainSheet | None:
    """The sheet in these bytes, or nothing where it isn't plainly spelt or has more cells than there is room for."""
    try:
        span = plain_span(data, _NOT_PLAIN)
    except SheetXmlError:
        return None
    if span is None:
        return None
    count = data.count(b"</c", *span)
    if count > room:
        return None
    first, last = span
    pieces = _CELL.split(data)  # a copy of the cells alone would take as long as looking through the rest
    between = pieces[::PIECES]
    between[-1] = between[-1][: len(between[-1]) - len(data) + last]
    between[0] = between[0][first:]
    if not only_tags(between):
        return None
    names, attributes, words = pieces[1::PIECES], pieces[2::PIECES], pieces[3::PIECES]
    places = dict(zip(names, range(1, len(pieces), PIECES), strict=False))
    kinds, formulas = plain_attributes(attributes), plain_attributes(words)
    if kinds is None or formulas is None or "shared" in formulas.values():
        return None
    if len(names) != count or len(places) != count:
        return None
    return PlainSheet(name, data, pieces, strings, damaged, places, kinds)


def plain_span(data: bytes, not_plain: Sequence[bytes]) -> tuple[int, int] | None:
    """Where the cells begin and end in a sheet that is spelt plainly around them, and has none of these signs inside.

    A SheetXmlError where it is no XML in UTF-8.
    """
    check_well_formed(data)
    first, last = data.find(b"<sheetData>"), data.rfind(b"</sheetData>")
    root = _ROOT.search(data)
    if root is None or first < 0 or b'xmlns="' + MAIN.encode() + b'"' not in root[0]:
        return None
    if root[0].count(MAIN.encode()) > 1 or b"<!" in data[:first]:
        return None
    if any(data.find(sign, first, last) >= 0 for sign in not_plain):
        return None
    return first, last


def only_tags(between: Sequence[bytes]) -> bool:
    """Whether what is between the cells that a pattern found is no remark, instruction or quoted passage.

    Inside a cell that it found there can be none of them.
    """
    together = b"".join(between)
    return not any(sign in together for sign in _NEVER)


def plain_attributes(attributes: Iterable[bytes | None]) -> dict[bytes, str] | None:
    """The kind of cell (its ``t``) that each of these attributes says; nothing where one isn't spelt plainly."""
    kinds: dict[bytes, str] = {}
    for each in {*attributes}:
        if each is not None:
            if not _WORDS.fullmatch(each):
                return None
            kind = _KIND.search(each)
            kinds[each] = kind[1].decode() if kind else ""
    return kinds


@cache
def _letters(col: int) -> bytes:
    return column_letters(col).encode()


def _formula(raw: bytes | None) -> str:
    return _text(raw).removeprefix("=") if raw else ""


def _text(raw: bytes) -> str:
    """Text with what stands for a character turned into it."""
    text = raw.decode()
    return _CHARACTER.sub(_character, text) if "&" in text else text


def _character(match: re.Match[str]) -> str:
    hexadecimal, decimal, mark = match.groups()
    return _MARKS[mark] if mark else chr(int(hexadecimal, 16) if hexadecimal else int(decimal))
