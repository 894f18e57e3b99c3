"""The value that the reference engine has for a formula cell, however the cell is named."""

from __future__ import annotations

import math

from meltbook.errors import DeclarationError
from meltbook.method.results import Results, Value
from meltbook.sheets.kernel import STATE_PREFIX
from meltbook.workbook.formulas import STATE_SOURCE, RowIndex

_PLAIN = {float, int, str, type(None)}


def expected_value(results: Results, name: str, row: RowIndex = None) -> Value:
    """The value of a cell that ``iter_formulas`` names. A figure without one is a DeclarationError."""
    try:
        if row is None:
            value = results.scalars[STATE_SOURCE if name.startswith(STATE_PREFIX) else name]
        elif row == "seed":
            value = results.seeds[name]
        elif row == "end":
            value = results.ends[name]
        else:
            value = results.columns[name][int(row)]
    except (KeyError, IndexError):
        place = "" if row is None else f", row {row + 1 if isinstance(row, int) else row}"
        raise DeclarationError(f"the reference engine has no value for {name}{place}") from None
    return checked(value, name)


def expected_column(results: Results, name: str, rows: int) -> list[Value]:
    """The values of so many data rows of a column, from the first."""
    values = results.columns.get(name, [])[:rows]
    if len(values) < rows:
        expected_value(results, name, len(values))  # which says what is missing
    if not {*map(type, values)} <= _PLAIN or not all(math.isfinite(one) for one in values if isinstance(one, float)):
        for value in values:
            checked(value, name)
    return values


def checked(value: Value, name: str) -> Value:
    """A value that a cell can hold, or an error."""
    if isinstance(value, bool) or (isinstance(value, float) and not math.isfinite(value)):
        raise DeclarationError(f"the reference engine's value for {name} is {value!r}, which no cell can hold")
    return value


def cached(value: Value) -> float | int | str:
    """A value as it is stored beside the formula: a blank is an empty text."""
    return "" if value is None else value
