"""The test's own arithmetic: exercises' formulas worked out once more, sharing no code with the generator.

A formula of an exercise is turned into a line of Python with a handful of functions. Good enough for the formulas
that the shipped exercises have, and for nothing that comes from outside.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any

Cells = Mapping[str, Any]
"""Numbers by name, and columns as lists; None is an empty cell and a string one with a word."""
_WORD = re.compile(r'"[^"]*"|[a-z]+(?:_[a-z]+)*')


class Column(list[Any]):
    """A column that is multiplied row by row."""

    def __mul__(self, other: Any) -> Column:
        return Column(number(a) * number(b) for a, b in zip(self, other, strict=True))


def number(cell: Any) -> float:
    if isinstance(cell, str):
        raise ValueError(cell)
    return 0.0 if cell is None else float(cell)


def _flat(things: Sequence[Any]) -> list[float]:
    flat = [one for thing in things for one in (thing if isinstance(thing, list) else [thing])]
    return [float(one) for one in flat if isinstance(one, int | float)]


def _up(x: float, places: float) -> float:
    scale = 10 ** int(places)
    return math.copysign(math.ceil(abs(x) * scale), x) / scale


def _half_up(x: float, places: float) -> float:
    scale = 10 ** int(places)
    return math.copysign(math.floor(abs(x) * scale + 0.5 + 1e-9), x) / scale


_FUNCTIONS = {
    "SUM": lambda *a: sum(_flat(a)),
    "MIN": lambda *a: min(_flat(a), default=0.0),
    "MAX": lambda *a: max(_flat(a), default=0.0),
    "SUMIF": lambda tests, word, of: sum(number(x) for t, x in zip(tests, of, strict=True) if t == word),
    "COUNTIF": lambda tests, word: sum(t == word for t in tests),
    "SUMPRODUCT": lambda column: sum(_flat(column)),
    "INDEX": lambda column, place: number(column[int(place) - 1]),
    "ROUND": _half_up,
    "ROUNDUP": _up,
    "INT": lambda x: math.floor(x),
    "ABS": abs,
    "IF": lambda test, one, other: one if test else other,
}


def work_out(formula: str, cells: Cells) -> float | None:
    """What a formula comes to; None for an error: a division by nothing, or a word where a number belongs."""
    names: dict[str, Any] = {}

    def one(match: re.Match[str]) -> str:
        text = match[0]
        if text.startswith('"'):
            return text
        value = cells[text]
        names[f"_{text}"] = Column(value) if isinstance(value, list) else value
        return f"num(_{text})" if not isinstance(value, list) else f"_{text}"

    line = _WORD.sub(one, formula).replace("<>", "!=")
    try:
        found = float(eval(line, {"__builtins__": {}, "num": number, **_FUNCTIONS, **names}))
    except (ZeroDivisionError, ValueError, OverflowError):
        return None
    # What is larger than any number is an error in a spreadsheet.
    return found if math.isfinite(found) else None


def in_nearest(x: float, nearest: float) -> int:
    """A figure as a whole number of what it is told to the nearest of."""
    size = (Decimal(repr(abs(x))) / Decimal(repr(nearest))).quantize(Decimal("0.001"), ROUND_HALF_EVEN)
    whole = int(size + Decimal("0.5"))
    return -whole if x < 0 else whole


def near(x: float | None, y: float | None, nearest: float) -> bool:
    """Whether two figures are the same to within one of the nearest; of very large ones, to eleven digits."""
    if x is not None and y is not None and abs(x) + abs(y) > 1e11 * nearest:
        return math.isclose(x, y, rel_tol=1e-11)
    return x is not None and y is not None and abs(in_nearest(x, nearest) - in_nearest(y, nearest)) <= 1
