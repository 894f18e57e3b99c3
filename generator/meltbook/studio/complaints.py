"""From the models' complaints to problems that name the table, the row, the key and what to do."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from difflib import get_close_matches

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from meltbook.errors import Problem
from meltbook.studio.expect import Expected, expectations, table_names
from meltbook.studio.model import PREFIXES, SECTIONS

LONGEST_SHOWN = 60

DECIMAL_COMMA = re.compile(r"^[-+]?(\d+|\d{1,3}([ .’'\u00a0\u202f]\d{3})+),\d+$")
PLAIN_NUMBER = re.compile(r"^[-+]?(\d+([ ,’'\u00a0\u202f]\d{3})*)(\.\d+)?$")
PERCENT = re.compile(r"^(\d+(?:[.,]\d+)?)\s*%$")
DATE_TEXT = re.compile(r"^\d{1,4}[-/. ]\d{1,2}[-/. ]\d{1,4}$")


def shown(value: object) -> str:
    """A value as it stands in a message: text in quotes, dates as they are typed, nothing too long."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dt.date):
        return value.isoformat()
    if isinstance(value, float):
        return f"{value:.15g}" if math.isfinite(value) else "a number without end"
    if isinstance(value, str):
        text = value if len(value) <= LONGEST_SHOWN else value[: LONGEST_SHOWN - 1] + "…"
        return f"the text '{text}'"
    if isinstance(value, Mapping):
        return "a table"
    if isinstance(value, Sequence):
        return "a list"
    return str(value)


def advice(value: object, expected: Expected) -> str:
    """What to do about a value that isn't what was expected."""
    if expected.sort == "choice":
        near = expected.nearest(str(value)) if value is not None else ""
        return f"Did you mean {near}?" if near else "Choose one of these words."
    if isinstance(value, str):
        return _text_advice(value.strip(), expected)
    if isinstance(value, dt.datetime) and expected.sort == "date":
        return f"Leave out the time of day: {value.date()}."
    if isinstance(value, int | float) and not isinstance(value, bool):
        if expected.sort == "date":
            return "Type the date as year-month-day."
        if expected.is_share and 1 < value <= 100:
            return f"Type {value:g} % as {value / 100:g}."
        if expected.sort == "whole":
            return "Round it, or split it over two rows."
        if expected.sort == "text":
            return "Put it in quotes."
        if value < 0:
            return "Leave out the minus sign, or leave it empty."
    return "Correct it, or leave it empty." if expected.optional else "It can't be left empty."


def _text_advice(text: str, expected: Expected) -> str:
    if expected.sort == "date":
        if not any(character.isdigit() for character in text):
            return "Type a date, year-month-day, or leave it empty."
        return "It only looks like a date: type it again as a date, year-month-day."
    if expected.sort == "text":
        return "Make it shorter."
    if DECIMAL_COMMA.match(text):
        plain = re.sub(r"[^\d,+-]", "", text).replace(",", ".")
        return (
            f"A decimal comma makes it text here: type {plain} as a number, with the decimal mark that your "
            "program uses."
        )
    if percent := PERCENT.match(text):
        return f"Type {float(percent[1].replace(',', '.')) / 100:g} as a number."
    if PLAIN_NUMBER.match(text):
        return f"It is text that looks like a number: type {re.sub('[^0-9.+-]', '', text)} again, as a number."
    if any(character.isdigit() for character in text):
        return "Type the number alone: the unit or currency stands beside it."
    return "Type a number, or leave it empty."


def problems_of(error: ValidationError, *, place: str = "") -> list[Problem]:
    """Every complaint about a studio, in its own order; ``place`` names the file."""
    return [_problem(detail, place) for detail in error.errors(include_url=False)]


def _problem(detail: ErrorDetails, place: str) -> Problem:
    where = tuple(part for part in detail["loc"] if not (isinstance(part, str) and "[" in part))
    whose, where = _whose(where)
    table = str(where[0]) if where else ""
    row = next((part + 1 for part in where if isinstance(part, int)), None)
    key = str(where[-1]) if len(where) > 1 and isinstance(where[-1], str) else ""
    kind, value = detail["type"], detail["input"]
    if kind == "extra_forbidden":
        return _of(whose, _unknown(table, row, key, place))
    if where == (SOURCE,):
        return Problem(whose, None, SOURCE, shown(value), "First or Second", "Choose one of these words.")
    if not key:
        return _of(whose, _misshapen(table, row, value))
    expected = expectations(table)[key]
    wanted = _wanted(detail, expected)
    return _of(whose, Problem(table, row, key, shown(value), wanted, advice(value, expected)))


SOURCE = "source"


def _whose(where: tuple[int | str, ...]) -> tuple[str, tuple[int | str, ...]]:
    """Which further furnace, or the second source, a complaint is about, and where in it."""
    if len(where) > 2 and where[0] == "more_furnaces" and isinstance(where[1], int):
        return f"furnace {where[1] + 2}", where[2:]
    if len(where) > 1 and where[0] == "second_source":
        return "the second source", where[1:]
    return "", where


def _of(whose: str, problem: Problem) -> Problem:
    return replace(problem, sheet=f"{whose}, {problem.sheet}" if problem.sheet else whose) if whose else problem


def _wanted(detail: ErrorDetails, expected: Expected) -> str:
    context = detail.get("ctx", {})
    if detail["type"] == "string_too_long":
        return f"text of at most {context['max_length']} characters"
    if detail["type"] == "string_pattern_mismatch":
        return "three capital letters, such as USD"
    return str(expected)


def _unknown(table: str, row: int | None, key: str, place: str) -> Problem:
    if not key:
        known: Sequence[str] = ("about", *table_names(), "more_furnaces", "second_source")
        near = get_close_matches(table, known, n=1)
        what = f"a section {table!r}"
        return Problem(place, None, "", what, f"one of {', '.join(known)}", _guess(near, table))
    known = tuple(expectations(table))
    prefix = PREFIXES.get(table, "")
    near = get_close_matches(key.removeprefix(prefix), known, n=1)
    return Problem(table, row, key, "an unknown key", f"one of {', '.join(known)}", _guess(near, key))


def _guess(near: Sequence[str], written: str) -> str:
    return f"Did you mean {near[0]}?" if near else f"Remove {written}, or see `meltbook new --help`."


def _misshapen(table: str, row: int | None, value: object) -> Problem:
    if table in SECTIONS:
        return Problem(table, None, "", shown(value), "a section of keys", f"Begin it with the line [{table}].")
    return Problem(table, row, "", shown(value), "one table for each row", f"Begin each row with the line [[{table}]].")
