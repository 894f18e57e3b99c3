"""The codes by which a workbook tells Right from Not yet without holding an answer.

A figure becomes a whole number of what it is told to the nearest of, and that number a code below 99,991, mixed
with a *salt* that differs from step to step and file to file. From a code nobody reads the figure; but whoever
tries numbers one after another finds one that fits. It stops peeking, not cheating.

The workbook does the same in cells, one operation a cell (sheet Workings). :class:`Mixing` has a value for each.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from meltbook.classroom.names import DIGITS, FACTOR, LIMIT, MODULUS
from meltbook.method.arithmetic import half_up

TOLERANCE = 1
"""So many of what a step is told to the nearest of may a figure be away from the answer."""
CHOICE_NEAREST = 1.0
"""A choice is the place of its word in the list, told to the nearest whole one."""


@dataclass(frozen=True, slots=True)
class Mixing:
    """How a whole number of units becomes a code. The attributes are the columns of Workings, from ``doubled`` on."""

    doubled: int
    part: int
    rest: int
    mixed: int
    blend: int
    code: int


def scale_of(nearest: float) -> float:
    """How many of ``nearest`` are in 1, as it stands in the workbook."""
    return 1 / nearest


def units_of(x: float, nearest: float) -> int:
    """The whole number of ``nearest`` in a figure, with its sign; halves go away from 0.

    The number of units is rounded to three digits first, since a half that was worked out in another way may be
    a hair below a half.
    """
    if not math.isfinite(x):
        raise ValueError(f"{x} has no end")
    units = math.floor(half_up(abs(x) * scale_of(nearest), DIGITS) + 0.5)
    return -units if x < 0 else units


def mix(units: int, salt: int) -> Mixing:
    """The code of a whole number of units, and the numbers on the way to it."""
    doubled = 2 * abs(units) + (1 if units < 0 else 0)
    part, rest = divmod(doubled, MODULUS)
    mixed = (rest * FACTOR + salt) % MODULUS
    blend = mixed * mixed + part * FACTOR + rest
    return Mixing(doubled, part, rest, mixed, blend, blend % MODULUS)


def code(x: float, nearest: float, salt: int) -> int:
    """The code of a figure."""
    return mix(units_of(x, nearest), salt).code


def codes(answer: float, nearest: float, salt: int) -> tuple[int, int, int]:
    """The codes of the answer less one unit, of the answer, and of the answer and one unit more."""
    units = units_of(answer, nearest)
    return (mix(units - 1, salt).code, mix(units, salt).code, mix(units + 1, salt).code)


def countable(x: float, nearest: float) -> bool:
    """Whether a figure is small enough to have a code: the workbook looks at nothing beyond."""
    return math.isfinite(x) and mix(units_of(x, nearest), 0).doubled <= LIMIT


def is_right(x: float, answer: float, nearest: float) -> bool:
    """Whether a figure is the answer, or one unit more or less."""
    if not (countable(x, nearest) and math.isfinite(answer)):
        return False
    return abs(units_of(x, nearest) - units_of(answer, nearest)) <= TOLERANCE
