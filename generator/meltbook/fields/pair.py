"""One figure, worked out by two ways that do not read the same cells."""

from __future__ import annotations

from typing import NamedTuple


class Pair(NamedTuple):
    """The formulas of the two ways to one figure. ``check`` is the check that reports it.

    Where a difference must be exact to a day, ``one`` holds the difference and ``other`` is 0: two ways agree
    if they differ by less than a small part of them, and a day is a small part of a date.
    """

    check: str
    what: str
    one: str
    other: str = "0"
