"""Sums with blanks in them, rounding as spreadsheets round, and dates as spreadsheets count them.

A blank is ``None`` and spreads: a sum, product or quotient over a blank is blank, and so is anything ÷ 0.
Where a blank should count as nothing instead, the method says so, and :func:`opt` does it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from datetime import date, timedelta
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

Maybe = float | None
"""A number, or blank."""

DAY_ZERO = date(1899, 12, 30)
"""The day before day 1 of spreadsheets, shifted by the 29 February 1900 that they believe in."""


def opt(value: Maybe) -> float:
    """The number, or 0 for a blank."""
    return 0.0 if value is None else value


def dflt(value: Maybe, default: float) -> float:
    """The number, or the default for a blank."""
    return default if value is None else value


def plus(*terms: Maybe) -> Maybe:
    """The sum; blank when any term is."""
    numbers = [term for term in terms if term is not None]
    return math.fsum(numbers) if len(numbers) == len(terms) else None


def times(*factors: Maybe) -> Maybe:
    """The product; blank when any factor is."""
    result = 1.0
    for factor in factors:
        if factor is None:
            return None
        result *= factor
    return result


def over(dividend: Maybe, *divisors: Maybe) -> Maybe:
    """The dividend ÷ each divisor; blank when one of them is blank or a divisor is 0."""
    result = dividend
    for divisor in divisors:
        if result is None or divisor is None or divisor == 0:
            return None
        result /= divisor
    return result


def total(values: Iterable[Maybe]) -> float:
    """The sum of what is there."""
    return math.fsum(value for value in values if value is not None)


def flag(condition: bool) -> int:
    """1 for yes, 0 for no."""
    return 1 if condition else 0


def half_up(value: float, digits: int) -> float:
    """Round half away from zero, on the decimal value of 15 digits that a spreadsheet shows.

    Python's own ``round`` goes to the even neighbour and reads the binary value: 0.125 would become 0.12
    and 1.005 would become 1.0.
    """
    if abs(value) >= 1e15:
        return value  # no digits are left behind the point
    decimal = Decimal(f"{value:.15g}")
    return float(decimal.quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_UP))


def to_the_cent(value: float, digits: int) -> float:
    """Money in the currency's own digits, half up; the tiny addition makes every program agree on halves."""
    return half_up(value + 0.000000001, digits)


def up_to_the_cent(value: float, digits: int) -> float:
    """Money of 0 or more in the currency's own digits, upwards; half a millionth over a cent is still that cent."""
    near = half_up(value, 6)
    if near >= 1e15:
        return near  # no digits are left behind the point
    return float(Decimal(f"{near:.15g}").quantize(Decimal(1).scaleb(-digits), rounding=ROUND_CEILING))


def up_to_step(value: float, step: float, ending: float, digits: int) -> float:
    """The next step at or above a value of money, with an ending: step 1 and ending 0.95 give x.95."""
    steps = math.ceil(max(0.0, half_up((value - ending) / step, 6)))
    return half_up(steps * step + ending, digits)


def nearest(value: float) -> int:
    """The nearest whole number to an amount of 0 or more, a half upwards."""
    return math.floor(half_up(value, 6) + 0.5)


def in_words(amount: float) -> str:
    """An amount inside a sentence, always with two digits behind the point: 3.00, 0.50, -12.30."""
    hundredths = nearest(abs(amount) * 100)
    return f"{'-' if half_up(amount, 6) < 0 else ''}{hundredths // 100}.{hundredths % 100:02d}"


def serial(day: date) -> int:
    """The day number that a spreadsheet gives a date: 2026-01-01 is 46023."""
    return (day - DAY_ZERO).days


def maybe_serial(day: date | None) -> int | None:
    """The day number of a date, blank where there is no date."""
    return None if day is None else serial(day)


def calendar(number: int) -> date:
    """The date of a day number."""
    return DAY_ZERO + timedelta(days=number)
