"""Set a few cells of one sheet, and touch nothing else in it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from meltbook.workbook.address import cell_address
from meltbook.workbook.cell_xml import cell_value, keeps_space, number_xml, text_xml
from meltbook.workbook.cells import CellValue
from meltbook.workbook.sheet_xml import (
    Area,
    Element,
    Outline,
    Patch,
    RawCell,
    RawRow,
    SheetXmlError,
    area,
    end_of,
    is_empty,
    opened,
    patched,
    prefix_of,
    scan,
    start_tag,
    tag_name,
    with_attributes,
)

Place = tuple[int, int]
New = float | int | str | None


@dataclass(frozen=True, slots=True)
class Kept:
    """A block of cells that must not be typed over, and what it is."""

    area: Area
    what: str
    do: str


@dataclass(slots=True)
class EditedSheet:
    """The sheet's new bytes, what stood in each cell before, and what can't be done, by cell."""

    data: bytes = b""
    before: dict[Place, CellValue] = field(default_factory=dict)
    refused: dict[Place, tuple[str, str]] = field(default_factory=dict)
    """For each cell, what was found there and what to do about it."""


def edit_sheet(
    data: bytes, edits: Mapping[Place, New], strings: Callable[[], list[str]], kept: Sequence[Kept] = ()
) -> EditedSheet:
    """Set the cells. If any of them is refused, the sheet comes back as it was."""
    survey = _Survey(edits)
    outline = scan(data, survey.see)
    result = EditedSheet(data)
    _judge(data, outline, survey, strings, kept, result)
    if not result.refused:
        result.data = _Editor(data, outline, survey).edited(edits)
    return result


class _Survey:
    """What an edit has to know of the cells: those in its rows, and the formats above them."""

    def __init__(self, edits: Mapping[Place, New]) -> None:
        self.edits = edits
        self.wanted_rows = {row for row, _ in edits}
        self.rows: dict[int, list[RawCell]] = {row: [] for row in self.wanted_rows}
        self.arrays: list[Area] = []
        self.above: dict[int, list[tuple[int, str, bool]]] = {col: [] for _, col in edits}

    def see(self, cell: RawCell) -> None:
        """Take note of one cell of the sheet."""
        has_formula = False
        for child in cell.children:
            if child.name == "f":
                has_formula = True
                if child.attributes.get("t") in ("array", "dataTable") and "ref" in child.attributes:
                    self.arrays.append(area(child.attributes["ref"]))
        if cell.row in self.wanted_rows:
            self.rows[cell.row].append(cell)
        if cell.col in self.above and not has_formula and "s" in cell.attributes:
            is_text = cell.attributes.get("t") in ("s", "str", "inlineStr")
            self.above[cell.col].append((cell.row, cell.attributes["s"], is_text))

    def at(self, row: int, col: int) -> RawCell | None:
        """The cell there, if the file mentions it."""
        return next((cell for cell in self.rows[row] if cell.col == col), None)

    def style_above(self, row: int, col: int, for_text: bool) -> str | None:
        """The format of the nearest prepared cell above: one that is empty or holds the same sort of value.

        A heading is text, so a number does not take its format from it.
        """
        above = [(style, is_text) for at, style, is_text in self.above[col] if at < row]
        return next((style for style, is_text in reversed(above) if for_text or not is_text), None)


def _judge(
    data: bytes,
    outline: Outline,
    survey: _Survey,
    strings: Callable[[], list[str]],
    kept: Sequence[Kept],
    result: EditedSheet,
) -> None:
    """Find out what stands in each cell, and whether it may be replaced."""
    for row, col in survey.edits:
        place = (row, col)
        cell = survey.at(row, col)
        if cell is not None and cell.child("f") is not None:
            result.refused[place] = (
                "a formula",
                "Type into a cell that is meant for it; formulas stay as they are.",
            )
            continue
        if any(array.holds(row, col) for array in survey.arrays):
            result.refused[place] = (
                "a part of a formula that fills several cells",
                "Leave these cells to the formula.",
            )
            continue
        for merged in outline.merged:
            if merged.holds(row, col) and place != (merged.top, merged.left):
                anchor = cell_address(merged.top, merged.left)
                result.refused[place] = (
                    "a part of merged cells",
                    f"Type into {anchor}, or take the merge off.",
                )
        for block in kept:
            if block.area.holds(row, col):
                result.refused[place] = (block.what, block.do)
        if cell is None or place in result.refused:
            result.before.setdefault(place, None)
            continue
        kind = cell.attributes.get("t", "n")
        fragment = data[cell.start : end_of(data, cell.start, cell.close)]
        try:
            result.before[place] = cell_value(fragment, kind, strings() if kind == "s" else [])
        except ValueError:
            result.refused[place] = (
                "a value that the file does not hold",
                "The file is damaged here: open it in a spreadsheet program, clear the cell, and save it.",
            )


class _Editor:
    """Makes the patches for a sheet of which everything is known and allowed."""

    def __init__(self, data: bytes, outline: Outline, survey: _Survey) -> None:
        if outline.sheet_data is None:
            raise SheetXmlError("has a sheet without cells")
        self.data = data
        self.outline = outline
        self.survey = survey
        self.sheet_data: Element = outline.sheet_data
        self.tag = start_tag(data, outline.sheet_data.start)
        self.prefix = prefix_of(self.tag)
        self.patches: list[Patch] = []

    def edited(self, edits: Mapping[Place, New]) -> bytes:
        """The sheet with the cells set."""
        rows = {row.row: row for row in self.outline.rows}
        new_rows: list[tuple[int, bytes]] = []
        added: list[Place] = []
        for row in sorted(self.survey.wanted_rows):
            values = {col: value for (at, col), value in sorted(edits.items()) if at == row}
            absent = {
                col: value for col, value in values.items() if self.survey.at(row, col) is None and value is not None
            }
            added += ((row, col) for col in absent)
            for col in values.keys() - absent.keys():
                self._replace(row, col, values[col])
            if row in rows:
                self._add_cells(rows[row], absent)
            elif absent:
                cells = b"".join(self._new_cell(row, col, value, None) for col, value in absent.items())
                new_rows.append((row, b'<%srow r="%d">%s</%srow>' % (self.prefix, row + 1, cells, self.prefix)))
        self._add_rows(new_rows)
        self._widen(added)
        return patched(self.data, self.patches)

    def _replace(self, row: int, col: int, value: New) -> None:
        cell = self.survey.at(row, col)
        if cell is None:
            return  # an absent cell is clear already
        tag = start_tag(self.data, cell.start)
        extra = cell.child("extLst")
        tail = self.data[extra.start : end_of(self.data, extra.start, extra.close)] if extra else b""
        end = end_of(self.data, cell.start, cell.close)
        tag = with_attributes(tag, {}, drop=(b"t", b"cm", b"vm"))
        self.patches.append(Patch(cell.start, end, _cell(tag, value, tail)))

    def _new_cell(self, row: int, col: int, value: New, raw_row: RawRow | None) -> bytes:
        style = self._style_for(row, col, isinstance(value, str), raw_row)
        tag = b'<%sc r="%s"' % (self.prefix, cell_address(row, col).encode())
        return _cell(tag + (b' s="%s">' % style.encode() if style else b">"), value)

    def _style_for(self, row: int, col: int, for_text: bool, raw_row: RawRow | None) -> str | None:
        """The format of a cell that the file did not mention: its row's, its column's, or the nearest
        above.
        """
        if raw_row is not None and raw_row.attributes.get("customFormat") in ("1", "true"):
            return raw_row.attributes.get("s")
        for first, last, style in self.outline.columns:
            if first <= col <= last and style != "0":
                return style
        return self.survey.style_above(row, col, for_text)

    def _add_cells(self, row: RawRow, absent: Mapping[int, New]) -> None:
        if not absent:
            return
        tag = start_tag(self.data, row.start)
        body_start = row.start + len(tag)
        new_tag = _with_spans(tag, row.attributes, absent)
        cells = {col: self._new_cell(row.row, col, value, row) for col, value in absent.items()}
        if is_empty(tag):
            text = opened(new_tag) + b"".join(cells.values()) + b"</%s>" % tag_name(tag)
            self.patches.append(Patch(row.start, body_start, text))
            return
        if new_tag != tag:
            self.patches.append(Patch(row.start, body_start, new_tag))
        there = self.survey.rows[row.row]
        for col, text in cells.items():
            after = next((cell.start for cell in there if cell.col > col), row.close)
            self.patches.append(Patch(after, after, text))

    def _add_rows(self, new_rows: Sequence[tuple[int, bytes]]) -> None:
        if not new_rows:
            return
        if is_empty(self.tag):
            text = opened(self.tag) + b"".join(text for _, text in new_rows) + b"</%s>" % tag_name(self.tag)
            start = self.sheet_data.start
            self.patches.append(Patch(start, start + len(self.tag), text))
            return
        for row, text in new_rows:
            at = next((other.start for other in self.outline.rows if other.row > row), self.sheet_data.close)
            self.patches.append(Patch(at, at, text))

    def _widen(self, added: Sequence[Place]) -> None:
        """Let the sheet's own statement of its size hold the new cells."""
        stated = self.outline.dimension
        if stated is None or not added:
            return
        now = wide = area(stated.attributes["ref"])
        for row, col in added:
            wide = wide.with_cell(row, col)
        if wide == now:
            return
        first, last = cell_address(wide.top, wide.left), cell_address(wide.bottom, wide.right)
        tag = start_tag(self.data, stated.start)
        reference = (first if wide.is_one else f"{first}:{last}").encode()
        self.patches.append(Patch(stated.start, stated.start + len(tag), with_attributes(tag, {b"ref": reference})))


def _cell(tag: bytes, value: New, tail: bytes = b"") -> bytes:
    """A whole cell with this start tag, value and, last, what other programs keep in it."""
    prefix = prefix_of(tag)
    if value is None and not tail:
        return tag if is_empty(tag) else tag[:-1].rstrip() + b"/>"
    if value is None:
        content = b""
    elif isinstance(value, str):
        tag = with_attributes(tag, {b"t": b"inlineStr"})
        space = b' xml:space="preserve"' if keeps_space(value) else b""
        content = b"<%sis><%st%s>%s</%st></%sis>" % (prefix, prefix, space, text_xml(value), prefix, prefix)
    else:
        content = b"<%sv>%s</%sv>" % (prefix, number_xml(value), prefix)
    return opened(tag) + content + tail + b"</%s>" % tag_name(tag)


def _with_spans(tag: bytes, attributes: Mapping[str, str], cols: Mapping[int, New]) -> bytes:
    """A row's start tag whose hint about its columns, if it has one, holds the new cells."""
    words = attributes.get("spans", "").split()
    ends = [number for word in words for number in word.split(":")]
    if not ends or not all(number.isdigit() for number in ends):
        return tag
    numbers = [int(number) for number in ends] + [col + 1 for col in cols]
    if min(numbers) == min(map(int, ends)) and max(numbers) == max(map(int, ends)):
        return tag
    return with_attributes(tag, {b"spans": b"%d:%d" % (min(numbers), max(numbers))})
