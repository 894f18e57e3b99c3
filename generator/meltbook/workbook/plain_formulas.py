"""The formula cells of a plainly spelt sheet, taken apart with one pattern and put together again.

It is the short way of :mod:`meltbook.workbook.cache_cells` for a log of 10,000 rows, which has 600,000 formulas.
What plain is, and why a pattern will do there, stands in :mod:`meltbook.workbook.plain_sheet`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from meltbook.workbook.cells import CellValue
from meltbook.workbook.plain_sheet import plain_attributes, plain_span
from meltbook.workbook.sheet_xml import with_attributes
from meltbook.workbook.stored_xml import is_stored, stored_value, unescaped_xml, value_xml

_NOT_PLAIN = (b" vm=", b"array", b"dataTable")
_CELL = re.compile(
    rb'<c r="([A-Z]{1,3}[1-9][0-9]{0,6})"([^>]*+)>(<f[^>]*+>(?:[^<]*+</f>)?)'
    rb"(<v(?:[\s/][^>]*+)?+>(?:[^<]*+</v>)?)?</c>"
)
_NAME, _ATTRIBUTES, _FORMULA, _VALUE, _STEP = range(1, 6)
_CALLED = re.compile(rb"([A-Za-z_][A-Za-z0-9_.]*)\s*\(")
_OUTER = re.compile(rb"<f[^>]*>([^<]*)")


@dataclass(slots=True)
class PlainFormulas:
    """The formula cells of a sheet, in the order of the bytes."""

    data: bytes
    pieces: list[bytes]
    """Around each cell: what is before it, its name, attributes, formula, and value or None."""
    names: list[str]
    kinds: dict[bytes, str]

    @property
    def formula_names(self) -> list[str]:
        """The cells in which a formula stands: here they all do."""
        return self.names

    def stored(self, strings: list[str]) -> dict[str, CellValue]:
        """The value stored for each formula cell that has one. An empty text is a value."""
        found: dict[str, CellValue] = {}
        for name, attributes, value in zip(self.names, self._each(_ATTRIBUTES), self._values(), strict=True):
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
        for formula in self._each(_FORMULA):
            match = _OUTER.match(formula)
            if match is not None:
                yield unescaped_xml(match[1]).decode()

    def words_before_brackets(self) -> set[str]:
        """The functions that are used, in capitals, and what only looks like one inside a text."""
        return {word.decode().upper() for word in {*_CALLED.findall(b"\n".join(self._each(_FORMULA)))}}

    def with_values(self, values: Mapping[str, CellValue]) -> bytes:
        """The sheet with these values stored; see :meth:`meltbook.workbook.cache_cells.FormulaCells.with_values`."""
        there = cache(is_stored)  # many cells hold the same few words
        kinds = self.kinds
        written = [self.pieces[0]]
        for name, raw_name, attributes, formula, value, after in zip(
            self.names,
            *(self._each(which) for which in (_NAME, _ATTRIBUTES, _FORMULA)),
            self._values(),
            self.pieces[_STEP::_STEP],
            strict=True,
        ):
            kind, element = "", b""
            if name in values:
                new, old_kind = values[name], kinds[attributes]
                look = there if isinstance(new, str) else is_stored
                if value is not None and look(_held(value), old_kind, new):
                    kind, element = old_kind, value
                else:
                    kind, element = value_xml(new)
            words = attributes if kind == kinds[attributes] else _of_kind(attributes, kind)
            written.append(b'<c r="%b"%b>%b%b</c>' % (raw_name, words, formula, element))
            written.append(after)
        return b"".join(written)

    def _each(self, which: int) -> list[bytes]:
        return self.pieces[which::_STEP]

    def _values(self) -> list[bytes | None]:
        return [*self.pieces[_VALUE::_STEP]]


def plain_formulas(data: bytes) -> PlainFormulas | None:
    """The formula cells of a sheet; nothing where it isn't plainly spelt. A SheetXmlError where it is no XML."""
    span = plain_span(data, _NOT_PLAIN)
    if span is None:
        return None
    first, last = span
    pieces = _CELL.split(data[first:last])
    names = [name.decode() for name in pieces[_NAME::_STEP]]
    kinds = plain_attributes(pieces[_ATTRIBUTES::_STEP])
    if kinds is None or data.count(b"<f", first, last) != len(names) or len(set(names)) != len(names):
        return None
    pieces[0] = data[:first] + pieces[0]
    pieces[-1] += data[last:]
    return PlainFormulas(data, pieces, names, kinds)


def _held(value: bytes) -> bytes:
    """What stands in ``<v>``."""
    return value[3:-4] if value.startswith(b"<v>") else value.partition(b">")[2].removesuffix(b"</v>")


@cache
def _of_kind(attributes: bytes, kind: str) -> bytes:
    """The attributes of a cell that holds a value of this kind."""
    tag = b"<c%b>" % attributes
    put = {b"t": kind.encode()} if kind else {}
    return with_attributes(tag, put, drop=() if kind else (b"t",))[2:-1]
