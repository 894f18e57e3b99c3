"""The formula cells of a plainly spelt sheet, taken apart with one pattern; new values are spliced into its bytes.

It is the short way of :mod:`meltbook.workbook.cache_cells` for a log of 10,000 rows, which has 600,000 formulas, of
which a letter changes some hundreds of results. What plain is, and why a pattern will do there, stands in
:mod:`meltbook.workbook.plain_sheet`. The parts of all cells are lists side by side, in the order of the bytes, so that
a column is a slice of them.
"""

from __future__ import annotations

import math
import re
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property
from itertools import compress, repeat
from typing import NamedTuple, TypeVar

from meltbook.workbook.cells import CellValue
from meltbook.workbook.plain_sheet import PIECES, PlainSheet, only_tags, plain_attributes, plain_span
from meltbook.workbook.sheet_xml import MAIN, Patch, SheetXmlError, patched, with_attributes
from meltbook.workbook.stored_xml import is_stored, stored_value, unescaped_xml, value_xml

T = TypeVar("T")

_MAIN = MAIN.encode()

_NOT_PLAIN = (b"xmlns", b" vm=", b"array", b"dataTable")
_CELL = re.compile(
    rb'<c r="([A-Z]{1,3}[1-9][0-9]{0,6})"([^>]*+)>\s*+<f[^>]*+>(?:([^<]*+)</f>)?+'
    rb"\s*+(<v(?:[\s/][^>]*+)?+>(?:[^<]*+</v>)?)?\s*+</c>"
)
_NAME, _ATTRIBUTES, _FORMULA, _VALUE, _STEP = range(1, 6)
_BESIDE_A_VALUE = re.compile(rb"\svm=")
_CALLED = re.compile(rb"([A-Za-z_][A-Za-z0-9_.]*)\s*\(")
_IN_PLACE = re.compile(
    rb'(?P<name><c r="[A-Z]+[0-9]+")(?P<words>[^>]*+)>(?P<formula>\s*+<f[^>]*+>(?:[^<]*+</f>)?+)(?P<between>\s*+)'
    rb"(?P<value><v(?:[\s/][^>]*+)?+>(?:[^<]*+</v>)?)?+(?P<end>\s*+</c>)"
)


class Stored(NamedTuple):
    """What a formula cell is to hold: the cell's ``t``, and its whole ``<v>``, both empty for no value."""

    kind: str
    element: bytes


NOTHING = Stored("", b"")


@dataclass
class PlainFormulas:
    """The formula cells of a sheet, in the order of the bytes.

    ``places`` says where each cell of the sheet was found, and ``spots`` which of these places are formula cells.
    """

    data: bytes
    raw_names: list[bytes]
    attributes: list[bytes]
    formulas: list[bytes]
    values: list[bytes | None]
    kinds: dict[bytes, str]
    places: Mapping[bytes, int]
    spots: Sequence[int]
    _columns: dict[tuple[bytes, int, int], Sequence[int] | None] = field(default_factory=dict)

    @cached_property
    def names(self) -> list[str]:
        """The names of the cells."""
        return b" ".join(self.raw_names).decode().split()

    @property
    def formula_names(self) -> list[str]:
        """The cells in which a formula stands: here they all do."""
        return self.names

    def __len__(self) -> int:
        return len(self.raw_names)

    def stored(self, strings: list[str]) -> dict[str, CellValue]:
        """The value stored for each formula cell that has one. An empty text is a value."""
        found: dict[str, CellValue] = {}
        for name, attributes, value in zip(self.names, self.attributes, self.values, strict=True):
            if value is None:
                continue
            raw, kind = _held(value), self.kinds[attributes]
            if kind in ("", "n"):
                if raw:
                    found[name] = float(raw)
            elif raw or kind == "str":
                found[name] = stored_value(raw, kind, strings)
        return found

    def formula_texts(self) -> Iterator[str]:
        """The text of each formula, as far as the file writes it out."""
        for formula in self.formulas:
            yield unescaped_xml(formula).decode()

    def words_before_brackets(self) -> set[str]:
        """The functions that are used, in capitals, and what only looks like one inside a text."""
        return {word.decode().upper() for word in {*_CALLED.findall(b"\n".join(self.formulas))}}

    @property
    def as_valueless(self) -> list[tuple[bytes, bytes, bytes]]:
        """All of each cell but its value: name, attributes without the kind, and formula."""
        plain = map(_of_kind, self.attributes, repeat(""))
        return [*zip(self.raw_names, plain, self.formulas, strict=True)]

    # ------------------------------------------------------------------------------------------- columns

    def index(self, name: bytes) -> int | None:
        """Which of the formula cells this one is, if it is one."""
        place = self.places.get(name)
        if place is None:
            return None
        found = bisect_left(self.spots, place)
        return found if found < len(self.spots) and self.spots[found] == place else None

    def column(self, letters: bytes, first: int, count: int) -> Sequence[int] | None:
        """Which of the formula cells are these cells below one another; nothing where one of them is none.

        ``first`` is a row as the sheet counts it, from 1. They are a range where all rows are alike.
        """
        key = (letters, first, count)
        if key not in self._columns:
            self._columns[key] = self._column(*key)
        return self._columns[key]

    def _column(self, letters: bytes, first: int, count: int) -> Sequence[int] | None:
        names = [b"%b%d" % (letters, row) for row in range(first, first + count)]
        start, second = self.index(names[0]), self.index(names[min(1, count - 1)])
        if start is None or second is None:
            return None
        step = max(1, second - start)
        even = range(start, start + step * count, step)
        if even[-1] < len(self) and picked(self.raw_names, even) == names:
            return even
        found = [index for name in names if (index := self.index(name)) is not None]
        return found if len(found) == count else None

    def unlike(self, spots: Sequence[int], values: Sequence[CellValue]) -> list[tuple[int, CellValue]]:
        """Those of these cells that don't hold their value yet, to all the digits that programs write, with it."""
        held, attributes = picked(self.values, spots), picked(self.attributes, spots)
        if {self.kinds[one] for one in {*attributes}} <= {"", "n"}:
            numbers = _numbers(held)
            if numbers == values and bool not in {*map(type, values)} and all(map(math.isfinite, numbers)):
                return []
        look = cache(is_stored)  # many cells hold the same few words
        return [
            (spot, new)
            for spot, value, one, new in zip(spots, held, attributes, values, strict=True)
            if value is None
            or not (is_stored if isinstance(new, float | int) else look)(_held(value), self.kinds[one], new)
        ]

    # ------------------------------------------------------------------------------------------ new values

    def with_values(self, values: Mapping[str, CellValue]) -> bytes:
        """The sheet with these values stored; see :meth:`meltbook.workbook.cache_cells.FormulaCells.with_values`."""
        wanted = [index for index, name in enumerate(self.names) if name in values]
        changes = {
            spot: Stored(*value_xml(new))
            for spot, new in self.unlike(wanted, [values[self.names[spot]] for spot in wanted])
        }
        if len(wanted) < len(self):
            there = {*wanted}
            changes |= dict.fromkeys(self.with_something(one for one in range(len(self)) if one not in there), NOTHING)
        return self.spliced(changes)

    def with_something(self, spots: Iterable[int]) -> list[int]:
        """Those of these cells that have a value, or say of which kind it is."""
        values, kinds = self.values, [self.kinds[one] for one in self.attributes]
        return [spot for spot in spots if values[spot] is not None or kinds[spot]]

    def spliced(self, changes: Mapping[int, Stored]) -> bytes:
        """The sheet with other values in a few of the cells; all other bytes are those that are there."""
        return patched(self.data, self.patches(changes)) if changes else self.data

    def patches(self, changes: Mapping[int, Stored]) -> list[Patch]:
        """The cells that change, whole, in the order of the bytes."""
        found = []
        at = self.data.index(b"<sheetData>")
        for spot in sorted(changes):
            kind, element = changes[spot]
            at = self.data.find(b'<c r="%b"' % self.raw_names[spot], at)
            cell = _IN_PLACE.match(self.data, at)
            if at < 0 or cell is None:
                raise SheetXmlError("has a damaged sheet")
            name, words, formula, between, end = cell.group("name", "words", "formula", "between", "end")
            words = words if kind == self.kinds[words] else _of_kind(words, kind)
            after = between if cell["value"] is not None else b""
            rest = end if after is between else between + end
            found.append(Patch(at, cell.end(), b"".join((name, words, b">", formula, after, element, rest))))
            at = cell.end()
        return found


def plain_formulas(data: bytes) -> PlainFormulas | None:
    """The formula cells of a sheet; nothing where it isn't plainly spelt. A SheetXmlError where it is no XML."""
    span = plain_span(data, _NOT_PLAIN)
    if span is None:
        return None
    first, last = span
    pieces = _CELL.split(data[first:last])
    names = pieces[_NAME::_STEP]
    places = dict(zip(names, range(len(names)), strict=True))
    kinds = plain_attributes(pieces[_ATTRIBUTES::_STEP])
    if not only_tags(pieces[::_STEP]):
        return None
    if kinds is None or data.count(b"<f", first, last) != len(names) or len(places) != len(names):
        return None
    formulas = [formula or b"" for formula in pieces[_FORMULA::_STEP]]
    return PlainFormulas(
        data, names, pieces[_ATTRIBUTES::_STEP], formulas, pieces[_VALUE::_STEP], kinds, places, range(len(names))
    )


def formulas_of(sheet: PlainSheet) -> PlainFormulas | None:
    """The formula cells of a sheet that was read already; nothing where values belong to more than their cell."""
    words = sheet.parts(2)
    if any(b"array" in one or b"dataTable" in one for one in {*words} if one is not None):
        return None
    has_formula = [one is not None for one in words]
    names, attributes, formulas, values = ([*compress(sheet.parts(part), has_formula)] for part in (0, 1, 3, 4))
    kinds = plain_attributes(attributes)
    if kinds is None or any(map(_BESIDE_A_VALUE.search, kinds)):
        return None
    spots = [*compress(range(1, len(sheet.pieces), PIECES), has_formula)]
    return PlainFormulas(
        sheet.data,
        names,  # type: ignore[arg-type]  # every cell has a name and attributes
        attributes,  # type: ignore[arg-type]
        [formula or b"" for formula in formulas],
        values,
        kinds,
        sheet.places,
        spots,
    )


def alone(cells: Iterable[bytes | memoryview]) -> PlainFormulas | None:
    """Formula cells of a sheet, read as if they were all there is in it; nothing where they are no whole cells."""
    try:
        return plain_formulas(b'<worksheet xmlns="%b"><sheetData>%b</sheetData></worksheet>' % (_MAIN, b"".join(cells)))
    except SheetXmlError:
        return None


def picked(items: Sequence[T], spots: Sequence[int]) -> Sequence[T]:
    """The items at these places."""
    if isinstance(spots, range):
        return items[spots.start : spots.stop : spots.step]
    return [items[spot] for spot in spots]


def _numbers(values: Sequence[bytes | None]) -> list[float]:
    """The number that each of these holds; nothing where one of them holds none, or is spelt in another way."""
    try:
        return [float(value[3:-4]) for value in values]  # type: ignore[index]
    except (TypeError, ValueError):
        return []


def _held(value: bytes) -> bytes:
    """What stands in ``<v>``."""
    return value[3:-4] if value.startswith(b"<v>") else value.partition(b">")[2].removesuffix(b"</v>")


@cache
def _of_kind(attributes: bytes, kind: str) -> bytes:
    """The attributes of a cell that holds a value of this kind."""
    tag = b"<c%b>" % attributes
    put = {b"t": kind.encode()} if kind else {}
    return with_attributes(tag, put, drop=() if kind else (b"t",))[2:-1]
