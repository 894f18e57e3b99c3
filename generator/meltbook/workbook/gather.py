"""The studio that stands in the input cells of a workbook."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from pydantic import BaseModel, ValidationError

from meltbook.errors import Problem
from meltbook.fields.kernel import Fixed, Vocabulary
from meltbook.studio.calendar_end import DO, WANTED, past_the_calendar
from meltbook.studio.complaints import advice, shown
from meltbook.studio.energy import LogRow
from meltbook.studio.expect import expectations, input_name, row_model
from meltbook.studio.furnaces import (
    FURNACE_SECTIONS,
    FURNACE_TABLES,
    SECOND_SOURCE,
    SOURCE_ENDS,
    SOURCE_SECTIONS,
    SOURCE_TABLES,
    MoreFurnace,
    SecondSource,
    Source,
    name_ends,
)
from meltbook.studio.model import PREFIXES, SECTIONS, Studio
from meltbook.workbook.cells import Cell, CellValue
from meltbook.workbook.inputs import Fault, StudioValue, take
from meltbook.workbook.placement import ColumnSpot, Placement
from meltbook.workbook.read import BookFile

LISTS: dict[tuple[str, str], tuple[str, str]] = {
    ("log", "glass"): ("glasses", "name"),
    ("pieces", "glass"): ("glasses", "name"),
    ("ledger", "name"): ("part_kinds", "name"),
    ("shop", "rank_channel"): ("channels", "name"),
    ("shop", "picture_piece"): ("pieces", "name"),
    ("decisions", "pot_kind"): ("part_kinds", "name"),
}
"""Inputs that hold a name from a list, and the column that is the list, each as table and key."""

LISTED_IN: dict[str, str] = {input_name(*name): input_name(*source) for name, source in LISTS.items()}
"""The same by the names of the fields."""

NAME_INPUTS = frozenset({*LISTED_IN, *LISTED_IN.values()})

Row = dict[str, StudioValue]


@dataclass(slots=True)
class Gathered:
    """The studio, and every cell that it couldn't use."""

    studio: Studio
    problems: list[Problem] = field(default_factory=list)


@dataclass(slots=True)
class _Gatherer:
    file: BookFile
    vocabulary: Vocabulary
    placement: Placement
    problems: list[Problem] = field(default_factory=list)
    raw: dict[str, list[CellValue]] = field(default_factory=dict)

    def section(self, section: str, given: Mapping[str, str], end: str = "") -> Row:
        """What is typed into the single cells of a section; a key that can't be used is left out.

        ``end`` is what the names of a further furnace's or the second source's fields end in.
        """
        values: Row = {}
        for key, expected in expectations(section).items():
            name = key + end
            spot = self.placement.scalars.get(name)
            if key in given and not end:
                values[key] = given[key]
            elif spot is not None:
                cell = self.file.cell(spot.sheet, spot.row, spot.col)
                value, fault = take(cell, expected, is_name=key in NAME_INPUTS)
                if fault is None:
                    values[key] = value
                    self.raw[name] = [cell.value]
                else:
                    self.problems.append(Problem(spot.sheet, spot.row + 1, self.label(name), *fault))
        return values

    def table(self, table: str, end: str = "") -> list[Row]:
        """What is typed into a table, one dictionary a row, as far as the last row with anything in it."""
        rows: list[Row] = []
        for key, expected in expectations(table).items():
            name = input_name(table, key) + end
            spot = self.placement.columns.get(name)
            if spot is None:
                continue
            is_name = name.removesuffix(end) in NAME_INPUTS
            raw: list[CellValue] = [None] * self._count(name, spot)
            for position, cell in self._column(name, spot, filled=expected.optional):
                raw[position] = cell.value
                if cell.is_empty and expected.optional:
                    continue
                value, fault = take(cell, expected, is_name=is_name)
                while len(rows) <= position:
                    rows.append({})
                if fault is None:
                    rows[position][key] = value
                else:
                    self.problems.append(Problem(spot.sheet, spot.first + position + 1, self.label(name), *fault))
            if is_name:
                self.raw[name] = raw
        return rows

    def _count(self, name: str, spot: ColumnSpot) -> int:
        """As many rows as the column's table has; more of them are told as a problem elsewhere."""
        return min(spot.rows, self.vocabulary.columns[name][0].rows)

    def _column(self, name: str, spot: ColumnSpot, *, filled: bool) -> Iterator[tuple[int, Cell]]:
        """The cells of a column, or those that the file mentions, with their place in it."""
        sheet, count = self.file.sheet(spot.sheet), self._count(name, spot)
        if filled:
            return sheet.filled(spot.first, spot.col, count)
        return ((position, sheet.at(spot.first + position, spot.col)) for position in range(count))

    def label(self, name: str) -> str:
        """The heading of a column or the label of a cell."""
        if name in self.vocabulary.columns:
            return self.vocabulary.columns[name][1].label
        return self.vocabulary.scalars[name].label if name in self.vocabulary.scalars else name


def gather(file: BookFile, vocabulary: Vocabulary, placement: Placement, given: Mapping[str, str]) -> Gathered:
    """Read every input cell. ``given`` are values that were read already: the unit and the currency."""
    work = _Gatherer(file, vocabulary, placement)
    parts: dict[str, Any] = _part(work, SECTIONS, tuple(PREFIXES), given)
    sources = sources_of(vocabulary)
    ends = name_ends(len(sources))[1:]
    parts["more_furnaces"] = tuple(
        MoreFurnace(source=source, **_part(work, FURNACE_SECTIONS, FURNACE_TABLES, {}, end))
        for end, source in zip(ends, sources[1:], strict=True)
    )
    parts["log"] = _within_the_calendar(work, parts["log"], "")
    parts["more_furnaces"] = tuple(
        more.model_copy(update={"log": _within_the_calendar(work, more.log, end)})
        for end, more in zip(ends, parts["more_furnaces"], strict=True)
    )
    if f"energy_unit_{SECOND_SOURCE}" in vocabulary.scalars:
        unit = vocabulary.scalars[f"energy_unit_{SECOND_SOURCE}"]
        assert isinstance(unit, Fixed)
        second = _part(work, SOURCE_SECTIONS, SOURCE_TABLES, {}, SOURCE_ENDS["Second"])
        parts["second_source"] = SecondSource.model_validate({"energy_unit": unit.values[0], **second})
    return Gathered(Studio(**parts), work.problems)


def sources_of(vocabulary: Vocabulary) -> tuple[Source, ...]:
    """The source of each furnace of a book."""
    if "furnace_source" not in vocabulary.columns:
        return ("First",)
    item = vocabulary.columns["furnace_source"][1]
    assert isinstance(item, Fixed)
    return tuple("Second" if value == "Second" else "First" for value in item.values)


def _part(
    work: _Gatherer, names: tuple[str, ...], listed: tuple[str, ...], given: Mapping[str, str], end: str = ""
) -> dict[str, Any]:
    """Some sections and tables of the shop, of a furnace or of a source, as their models."""
    sections = {section: work.section(section, given, end) for section in names}
    tables = {table: work.table(table, end) for table in listed}
    _as_listed(work, sections, tables, end)
    parts: dict[str, Any] = {name: _model(work, name, values, None, end) for name, values in sections.items()}
    for table, rows in tables.items():
        parts[table] = tuple(_model(work, table, row, position, end) for position, row in enumerate(rows))
    return parts


def _within_the_calendar(work: _Gatherer, log: tuple[LogRow, ...], end: str) -> tuple[LogRow, ...]:
    """A log up to the first row that would end after the last day there is, which is a problem."""
    past = past_the_calendar(log)
    if past is None:
        return log
    place, key = past
    fault = Fault(shown(getattr(log[place], key)), WANTED, DO)
    work.problems.append(_at(work, input_name("log", key) + end, place, fault))
    return (*log[:place], *(LogRow() for _ in log[place:]))


def _model(work: _Gatherer, table: str, values: Row, position: int | None, end: str) -> BaseModel:
    """A section or row as its model. What the model still refuses becomes a problem and counts as not
    typed.
    """
    model = row_model(table)
    kept = dict(values)
    try:
        return model.model_validate(kept, strict=True)
    except ValidationError as error:
        for detail in error.errors(include_url=False):
            key = str(detail["loc"][0])
            name, expected = input_name(table, key) + end, expectations(table)[key]
            fault = Fault(shown(detail["input"]), str(expected), advice(detail["input"], expected))
            work.problems.append(_at(work, name, position, fault))
            kept.pop(key, None)
    return model.model_validate(kept, strict=True)


def _at(work: _Gatherer, name: str, position: int | None, fault: Fault) -> Problem:
    if position is None:
        scalar = work.placement.scalars[name]
        return Problem(scalar.sheet, scalar.row + 1, work.label(name), *fault)
    spot = work.placement.columns[name]
    return Problem(spot.sheet, spot.first + position + 1, work.label(name), *fault)


def _as_listed(work: _Gatherer, sections: dict[str, Row], tables: dict[str, list[Row]], end: str) -> None:
    """Give each name the spelling of the list it is looked up in: spreadsheets look past capitals.

    They don't look past the difference between the number 96 and the text 96, so that is a problem.
    """
    for (table, key), source in LISTS.items():
        if table not in sections and table not in tables:
            continue
        listed: dict[tuple[bool, str], str] = {}
        own = input_name(*source) + end
        for value in work.raw.get(own if own in work.raw else input_name(*source), []):
            if isinstance(value, float | str) and value != "":
                listed.setdefault(_looked_up(value), _text(value))
        name = input_name(table, key) + end
        rows = [sections[table]] if table in SECTIONS else tables[table]
        for position, row in enumerate(rows):
            if row.get(key) is None:
                continue
            cell = work.raw[name][position]
            if not isinstance(cell, float | str):
                continue
            is_number, folded = _looked_up(cell)
            if (is_number, folded) in listed:
                row[key] = listed[is_number, folded]
            elif (not is_number, folded) in listed:
                here, there = ("the number", "the text") if is_number else ("the text", "the number")
                fault = Fault(
                    f"{here} {folded}",
                    f"{there} {folded}, as in the list",
                    "Type both the same way; a letter before the number makes it text everywhere.",
                )
                work.problems.append(_at(work, name, None if table in SECTIONS else position, fault))
                del row[key]


def _looked_up(value: float | str) -> tuple[bool, str]:
    """What tells two names apart for a spreadsheet: number or text, and the letters without their case."""
    return isinstance(value, float), _text(value).casefold()


def _text(value: float | str) -> str:
    return value if isinstance(value, str) else f"{value:.15g}"
