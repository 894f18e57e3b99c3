"""From a cell that the owner typed to a value of the studio, or to what is wrong with it.

Nothing is guessed: text that looks like a number is not one, as it isn't for the formulas of the workbook
either. The one kindness is that of the spreadsheet itself, in which capitals don't matter where words are
compared.
"""

from __future__ import annotations

import datetime as dt
from typing import NamedTuple

from meltbook.studio.complaints import advice, shown
from meltbook.studio.expect import Expected
from meltbook.workbook.cells import Cell, CellError

FIRST_DAY = dt.date(1950, 1, 1)
LAST_DAY = dt.date(2199, 12, 31)
"""Days outside these are numbers that were not meant as dates, such as a year alone or 20260302."""

_DAY_ZERO = dt.date(1899, 12, 30)
_PATTERN_SIGNS = "*?~"
_CRITERION_SIGNS = ("<", ">", "=")

StudioValue = float | int | str | dt.date | None


class Fault(NamedTuple):
    """What is wrong with a cell: what was found, what is expected and what to do."""

    found: str
    expected: str
    do: str


def day_of(number: float) -> dt.date:
    """The date with this day number."""
    return _DAY_ZERO + dt.timedelta(days=int(number))


def day_text(number: float) -> str:
    """A date as it is typed, or the number where it is none."""
    try:
        return day_of(number).isoformat()
    except (OverflowError, ValueError):
        return f"the number {shown(number)}"


def take(cell: Cell, expected: Expected, *, is_name: bool = False) -> tuple[StudioValue, Fault | None]:
    """The value of an input cell. With a fault the value is ``None``: not typed.

    ``is_name`` cells hold names that formulas look up, so some signs in them would be read as patterns.
    """
    value = cell.value
    if cell.formula is not None and (not cell.stored or value is None):
        return None, Fault(
            "a formula whose value is not in the file",
            str(expected),
            "Open the workbook in a spreadsheet program and save it there, or type the number itself.",
        )
    if value is None or value == "":
        if expected.optional:
            return None, None
        return None, Fault("an empty cell", str(expected), "It was emptied; it can't be left empty.")
    if isinstance(value, CellError):
        return None, Fault(f"the error {value}", str(expected), "Type the value again in place of the error.")
    if isinstance(value, str) and not value.strip():
        return None, Fault("only spaces", str(expected), "Delete what is in the cell: it looks empty and isn't.")
    if expected.sort == "choice":
        return _choice(value, expected)
    if expected.sort == "text":
        return _text(value, expected, is_name=is_name)
    if isinstance(value, bool | str):
        return None, Fault(shown(value), str(expected), advice(value, expected))
    return _date(value, expected) if expected.sort == "date" else _number(value, expected)


def _choice(value: float | str | bool, expected: Expected) -> tuple[StudioValue, Fault | None]:
    for choice in expected.choices:
        if isinstance(choice, str) and isinstance(value, str) and choice.casefold() == value.casefold():
            return choice, None
        if isinstance(choice, int) and not isinstance(value, bool | str) and value == choice:
            return choice, None
    if isinstance(value, str) and value != value.strip():
        inner, fault = _choice(value.strip(), expected)
        if fault is None:
            return None, Fault(f"{shown(value)} with a space too many", str(expected), f"Choose {inner} from the list.")
    return None, Fault(shown(value), str(expected), advice(value, expected))


def _text(value: float | str | bool, expected: Expected, *, is_name: bool) -> tuple[StudioValue, Fault | None]:
    if isinstance(value, bool):
        return None, Fault(shown(value), str(expected), "Type another word: this one is a value of its own.")
    text = value if isinstance(value, str) else f"{value:.15g}"
    if expected.longest is not None and len(text) > expected.longest:
        return None, Fault(shown(text), f"text of at most {expected.longest} characters", "Make it shorter.")
    if text != text.strip():
        if not is_name:
            return text.strip(), None
        return None, Fault(
            f"{shown(text)} with a space at its start or end",
            "the name alone",
            "Type it again without the space.",
        )
    if is_name and (any(sign in text for sign in _PATTERN_SIGNS) or text.startswith(_CRITERION_SIGNS)):
        return None, Fault(
            shown(text),
            "a name without *, ? and ~, that begins with none of <, > and =",
            "Spreadsheets read these signs as patterns when they look a name up: leave them out.",
        )
    return text, None


def _number(value: float, expected: Expected) -> tuple[StudioValue, Fault | None]:
    good = (
        (expected.minimum is None or value >= expected.minimum)
        and (expected.maximum is None or value <= expected.maximum)
        and (expected.above is None or value > expected.above)
        and (expected.below is None or value < expected.below)
    )
    if not good or (expected.sort == "whole" and value != int(value)):
        return None, Fault(shown(value), str(expected), advice(value, expected))
    return (int(value) if expected.sort == "whole" else float(value)), None


def _date(value: float, expected: Expected) -> tuple[StudioValue, Fault | None]:
    first, last = (FIRST_DAY - _DAY_ZERO).days, (LAST_DAY - _DAY_ZERO).days
    if not first <= value <= last:
        return None, Fault(
            f"the number {shown(value)}",
            f"a date from {FIRST_DAY} to {LAST_DAY}",
            "Type the date as year-month-day, such as 2026-03-02.",
        )
    if value != int(value):
        return None, Fault("a date with a time of day", str(expected), f"Type {day_of(value)} alone.")
    return day_of(value), None
