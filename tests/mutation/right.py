"""A right book, and what is done to it: the words that the twists are written in."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import NamedTuple

from meltbook.fields.kernel import Vocabulary

Value = float | int | str | None
Cells = Mapping[str, Value]
"""Values by place: ``connected_kw``, ``log_weight.8``, ``tariff_key.end``."""

ERROR = "=1/0"
"""A formula that fails, to be typed into a cell."""


class Twist(NamedTuple):
    """What is typed over, and what other cells must show while it is."""

    typed: Cells
    shows: Cells


class Right:
    """What the cells of the right book hold."""

    def __init__(self, vocabulary: Vocabulary, value: Callable[[str], Value]) -> None:
        self.vocabulary = vocabulary
        self.value = value

    def number(self, place: str) -> float:
        """A cell that holds a number."""
        found = self.value(place)
        assert isinstance(found, int | float), f"{place} holds {found!r}"
        return found

    def sum(self, column: str) -> float:
        """The numbers of a column, added up."""
        return sum(value for value in map(self.value, self.cells(column)) if isinstance(value, int | float))

    def rows(self, column: str) -> range:
        """The rows of a column, counted from 1."""
        return range(1, self.vocabulary.columns[column][0].rows + 1)

    def cells(self, column: str) -> list[str]:
        """All cells of a column."""
        return [f"{column}.{row}" for row in self.rows(column)]

    def all(self, *names: str) -> dict[str, Value]:
        """All cells of some fields with what they hold."""
        columns = self.vocabulary.columns
        return {cell: self.value(cell) for name in names for cell in (self.cells(name) if name in columns else (name,))}


def only(right: Right, column: str, row: int, value: Value, *, rest: Value = 0) -> dict[str, Value]:
    """A whole column of zeros, or of nothing, with one value in it."""
    return {cell: value if cell == f"{column}.{row}" else rest for cell in right.cells(column)}
