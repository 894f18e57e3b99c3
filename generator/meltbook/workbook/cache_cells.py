"""The stored values of one sheet's formulas: read them, replace them, or take them out.

A formula cell is ``<c r="B2" s="5" t="str"><f>A1</f><v>text</v></c>``. Only ``t`` and ``<v>`` are touched.
A formula that fills several cells stands in the first of them; the others hold a ``<v>`` alone, and go the
same way.

A log of 10,000 rows has 600,000 formulas, so a sheet in the plain spelling that every program uses is read
with one pattern (:mod:`meltbook.workbook.plain_formulas`). Any other sheet goes through the tokenizer here, with
the same outcome.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from meltbook.workbook.address import cell_address
from meltbook.workbook.cells import CellValue
from meltbook.workbook.plain_formulas import PlainFormulas, plain_formulas
from meltbook.workbook.sheet_xml import (
    Area,
    RawCell,
    area,
    end_of,
    inner,
    is_empty,
    opened,
    prefix_of,
    scan,
    start_tag,
    tag_name,
    with_attributes,
)
from meltbook.workbook.stored_xml import is_stored, stored_value, unescaped_xml, value_xml


class FormulaCell(NamedTuple):
    """Where the parts of a formula cell stand in the sheet's bytes.

    ``body`` is the end of its start tag and ``formula`` the place and end of ``<f>``; ``value`` is the place
    and end of ``<v>``, both at the end of ``<f>`` where there is none, and ``text`` of what ``<v>`` holds.
    """

    name: str
    kind: str
    start: int
    body: int
    formula: tuple[int, int]
    value: tuple[int, int]
    text: tuple[int, int]
    is_odd: bool = False
    """Whether the start tag holds more that belongs to the value, or is the whole cell."""

    @property
    def has_formula(self) -> bool:
        """Whether the formula stands in this cell, or the cell is one that another's formula fills."""
        return self.formula[0] >= 0


_NONE = (-1, -1)
_OUTER = re.compile(rb"<f[^>]*>([^<]*)")


@dataclass(slots=True)
class FormulaCells:
    """The formula cells of a sheet, in the order of the bytes."""

    data: bytes
    cells: list[FormulaCell] = field(default_factory=list)

    @property
    def names(self) -> list[str]:
        """The cells whose value is a formula's."""
        return [cell.name for cell in self.cells]

    @property
    def formula_names(self) -> list[str]:
        """Those of them in which the formula stands."""
        return [cell.name for cell in self.cells if cell.has_formula]

    def stored(self, strings: list[str]) -> dict[str, CellValue]:
        """The value stored for each formula cell that has one. An empty text is a value."""
        found: dict[str, CellValue] = {}
        data = self.data
        for name, kind, _, _, _, _, (first, last), _ in self.cells:
            if first < 0:
                continue
            raw = data[first:last]
            if kind == "" or kind == "n":
                if raw:
                    found[name] = float(raw)
            elif raw or kind == "str":
                found[name] = stored_value(raw, kind, strings)
        return found

    def formula_texts(self) -> Iterator[str]:
        """The text of each formula, as far as the file writes it out."""
        for cell in self.cells:
            match = _OUTER.search(self.data, *cell.formula) if cell.has_formula else None
            if match is not None:
                yield unescaped_xml(match[1]).decode()

    def _holds(self, cell: FormulaCell, value: CellValue) -> bool:
        """Whether this value is stored already, to all the digits that programs write."""
        if cell.is_odd or cell.text[0] < 0:
            return False
        return is_stored(self.data[slice(*cell.text)], cell.kind, value)

    def with_values(self, values: Mapping[str, CellValue]) -> bytes:
        """The sheet with these values stored. The other formula cells have none afterwards.

        None is stored as an empty text, as a formula that shows nothing gives it. A value that is there
        already keeps its spelling, so that a sheet whose results don't change stays as it is.
        """
        data, at = self.data, 0
        pieces: list[bytes] = []
        prefix = prefix_of(start_tag(data, self.cells[0].start)) if self.cells else b""
        for cell in self.cells:
            if cell.name in values and self._holds(cell, values[cell.name]):
                continue
            kind, element = value_xml(values[cell.name], prefix) if cell.name in values else ("", b"")
            if kind != cell.kind or cell.is_odd:
                tag = data[cell.start : cell.body]
                new = with_attributes(
                    tag, {b"t": kind.encode()} if kind else {}, drop=(b"vm",) if kind else (b"t", b"vm")
                )
                if is_empty(tag) and element:
                    new, element = opened(new), element + b"</%s>" % tag_name(tag)
                pieces += (data[at : cell.start], new)
                at = cell.body
            pieces += (data[at : cell.value[0]], element)
            at = cell.value[1]
        pieces.append(data[at:])
        return b"".join(pieces)


def formula_cells(data: bytes) -> FormulaCells | PlainFormulas:
    """Find the formula cells of a sheet."""
    plain = plain_formulas(data)
    return FormulaCells(data, _any_cells(data)) if plain is None else plain


def other_cells(data: bytes, names: set[str]) -> dict[str, tuple[bytes, str]]:
    """Of these cells, those that the sheet holds: their XML and their kind."""
    found: dict[str, tuple[bytes, str]] = {}

    def see(cell: RawCell) -> None:
        name = cell_address(cell.row, cell.col)
        if name in names:
            kind = cell.attributes.get("t", "n")
            found[name] = (data[cell.start : end_of(data, cell.start, cell.close)], kind)

    scan(data, see)
    return found


# ------------------------------------------------------------------------------------- in any spelling


def _any_cells(data: bytes) -> list[FormulaCell]:
    arrays: list[Area] = []
    seen: list[RawCell] = []

    def see(cell: RawCell) -> None:
        formula = cell.child("f")
        if formula is not None and formula.attributes.get("t") in ("array", "dataTable"):
            whole = area(formula.attributes.get("ref", ""))
            if not whole.is_one:
                arrays.append(whole)
        if formula is not None or any(array.holds(cell.row, cell.col) for array in arrays):
            seen.append(cell)

    scan(data, see)
    return [_from_raw(data, cell) for cell in seen]


def _from_raw(data: bytes, cell: RawCell) -> FormulaCell:
    tag = start_tag(data, cell.start)
    body = cell.start + len(tag)
    formula, value = cell.child("f"), cell.child("v")
    spot = _NONE if formula is None else (formula.start, end_of(data, formula.start, formula.close))
    text = _NONE
    if value is not None:
        end = end_of(data, value.start, value.close)
        first = value.start + len(start_tag(data, value.start))
        text = (first, first + len(inner(data, value)))
        place = (value.start, end)
    else:
        after = body if formula is None else spot[1]
        place = (after, after)
    odd = "vm" in cell.attributes or is_empty(tag)
    name = cell_address(cell.row, cell.col)
    return FormulaCell(name, cell.attributes.get("t", ""), cell.start, body, spot, place, text, odd)
