"""What a studio types, by the names of the input fields."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import TypeAlias

from pydantic import BaseModel

from meltbook.errors import Problem, StudioError
from meltbook.fields.kernel import Fixed, Input, Plain, Vocabulary
from meltbook.studio.furnaces import (
    FURNACE_SECTIONS,
    FURNACE_TABLES,
    SOURCE_ENDS,
    SOURCE_SECTIONS,
    SOURCE_TABLES,
    name_ends,
)
from meltbook.studio.model import PREFIXES, SECTIONS, Studio

Typed: TypeAlias = Plain | None

_DAY_ZERO = date(1899, 12, 30)


@dataclass(frozen=True, slots=True)
class TypedValues:
    """Values by field name; a column has as many as the studio has rows."""

    scalars: Mapping[str, Typed]
    columns: Mapping[str, tuple[Typed, ...]]


def day_number(day: date) -> int:
    """A date as a spreadsheet counts it."""
    return (day - _DAY_ZERO).days


def typed_values(studio: Studio) -> TypedValues:
    """Each section's keys are field names; each table's keys are, with the table's prefix before them.

    Those of a further furnace and of the second source end in its word besides.
    """
    scalars = _sections(studio, SECTIONS)
    columns = _tables(studio, tuple(PREFIXES))
    for end, furnace in zip(name_ends(len(studio.places))[1:], studio.more_furnaces, strict=True):
        scalars |= _sections(furnace, FURNACE_SECTIONS, end)
        columns |= _tables(furnace, FURNACE_TABLES, end)
    if studio.second_source:
        scalars |= _sections(studio.second_source, SOURCE_SECTIONS, SOURCE_ENDS["Second"])
        columns |= _tables(studio.second_source, SOURCE_TABLES, SOURCE_ENDS["Second"])
    return TypedValues(scalars, columns)


def _sections(owner: BaseModel, sections: Iterable[str], end: str = "") -> dict[str, Typed]:
    found: dict[str, Typed] = {}
    for section in sections:
        part = getattr(owner, section)
        found |= {key + end: _plain(getattr(part, key)) for key in type(part).model_fields}
    return found


def _tables(owner: BaseModel, tables: Iterable[str], end: str = "") -> dict[str, tuple[Typed, ...]]:
    found: dict[str, tuple[Typed, ...]] = {}
    for table in tables:
        rows = getattr(owner, table)
        keys = type(rows[0]).model_fields if rows else ()
        found |= {PREFIXES[table] + key + end: tuple(_plain(getattr(row, key)) for row in rows) for key in keys}
    return found


def check_it_fits(values: TypedValues, vocabulary: Vocabulary, rows_of: Mapping[str, int]) -> None:
    """Raise if the studio has more rows than the book prepares, or says what the book has no cell for."""
    problems: list[Problem] = []
    for name, (table, item) in vocabulary.columns.items():
        count = len(values.columns.get(name, ()))
        if isinstance(item, Input) and count > rows_of[table.name]:
            problems.append(
                Problem(
                    table.label,
                    None,
                    item.label,
                    f"{count} rows",
                    f"at most {rows_of[table.name]}",
                    "Make the book with more rows" + (f" ({table.capacity})." if table.capacity else "."),
                )
            )
            break
    if problems:
        raise StudioError("the studio has more rows than the workbook would have", problems)


def value_typed(values: TypedValues, name: str) -> Typed:
    """What is typed into a single cell; ``None`` where nothing is."""
    return values.scalars.get(name)


def fixed_or_typed(values: TypedValues, name: str, item: Fixed) -> Typed:
    """A constant of the book. One that declares no value is a choice made with the book: it is the
    studio's.
    """
    return item.values[0] if item.values else values.scalars.get(name)


def _plain(value: object) -> Typed:
    if isinstance(value, date):
        return day_number(value)
    if value is None or isinstance(value, float | int | str):
        return value
    raise TypeError(f"a studio holds plain values, not {value!r}")
