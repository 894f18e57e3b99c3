"""Numbers and dates on the command line, as a letter from the utility has them.

A number decides about all prices, so nothing is guessed: what can be read in two ways is an error that names
both.
"""

from __future__ import annotations

import datetime as dt
import math
import re

import click

MOST = 1e12

_NUMBER = re.compile(r"^[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)$")
_THOUSANDS = re.compile(r"^([+-]?[0-9]{1,3})((?:,[0-9]{3})+)$")
_COMMA = re.compile(r"^([+-]?[0-9]*),([0-9]+)$")
_DAY = re.compile(r"^([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})$")
_SLASHED = re.compile(r"^([0-9]{1,2})[/.-]([0-9]{1,2})[/.-]([0-9]{4})$")


def read_number(text: str) -> float:
    """The number; ValueError with what is wrong with it."""
    text = text.strip().replace("\N{MINUS SIGN}", "-")
    if "," in text:
        decimal, thousands = _COMMA.match(text), _THOUSANDS.match(text)
        if decimal and thousands:
            raise ValueError(
                f"{text!r} can be read as {decimal[1] or '0'}.{decimal[2]} or as {float(text.replace(',', '')):.0f}: "
                "type it with a point, or without any sign in it."
            )
        if decimal:
            raise ValueError(f"{text!r} has a comma: type {decimal[1] or '0'}.{decimal[2]}.")
        raise ValueError(f"{text!r} is no number: type it with a point for the decimals and no other sign in it.")
    if not _NUMBER.match(text):
        raise ValueError(f"{text!r} is no number, such as 0.151.")
    value = float(text)
    if not math.isfinite(value) or abs(value) > MOST:
        raise ValueError(f"{text!r} is too large to be meant.")
    return value


class Number(click.ParamType[float]):
    """A number with a point; ``negative`` says whether one below 0 can be meant."""

    name = "number"

    def __init__(self, *, negative: bool = False) -> None:
        self.negative = negative

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Read what was typed."""
        try:
            number = read_number(str(value))
        except ValueError as error:
            self.fail(str(error), param, ctx)
        if number < 0 and not self.negative:
            self.fail(f"{value} is below 0.", param, ctx)
        return number


class Percent(click.ParamType[float]):
    """A percentage, with its sign or without: 8 and 8% are 0.08. From ``low`` to ``high`` percent."""

    name = "percent"

    def __init__(self, low: float, high: float) -> None:
        self.low, self.high = low, high

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """Read what was typed. A bare 0.08 may be a share or a percentage."""
        text = str(value).strip()
        bare = text.removesuffix("%").strip()
        try:
            number = read_number(bare)
        except ValueError as error:
            self.fail(str(error), param, ctx)
        if bare == text and 0 < abs(number) <= 1:
            self.fail(f"{text} can be read as {number:g} % or as {number * 100:g} %: type the % with it.", param, ctx)
        if not self.low <= number <= self.high:
            self.fail(f"{text} is not from {self.low:g} to {self.high:g} %.", param, ctx)
        return number / 100


class Day(click.ParamType[dt.date]):
    """A date as year-month-day."""

    name = "date"

    def convert(self, value: object, param: click.Parameter | None, ctx: click.Context | None) -> dt.date:
        """Read what was typed."""
        from meltbook.workbook.inputs import FIRST_DAY, LAST_DAY

        text = str(value).strip()
        if match := _SLASHED.match(text):
            first, second, year = (int(part) for part in match.groups())
            readings = dict.fromkeys(f"{year}-{m:02}-{d:02}" for m, d in ((first, second), (second, first)) if m <= 12)
            meant = " or ".join(readings) or "such as 2027-01-01"
            self.fail(f"{text!r} is to be typed as year-month-day: {meant}.", param, ctx)
        match = _DAY.match(text)
        if not match:
            self.fail(f"{text!r} is no date; type it as year-month-day, such as 2027-01-01.", param, ctx)
        try:
            day = dt.date(*(int(part) for part in match.groups()))
        except ValueError:
            self.fail(f"there is no day {text}.", param, ctx)
        if not FIRST_DAY <= day <= LAST_DAY:
            self.fail(f"{text} is not from {FIRST_DAY} to {LAST_DAY}.", param, ctx)
        return day
