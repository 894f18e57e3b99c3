"""What the reference engine hands over: a value for every figure, by the figure's name.

The chapters of this package keep their findings in dataclasses, and one rule turns those into figures: **an
attribute with an underscore in its name is the figure of that name; an attribute that is one plain word is a
working** (every figure's name has an underscore). So a record of the log that says ``energy_cost`` fills the
column ``energy_cost``, and nothing has to be listed twice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, fields
from typing import TYPE_CHECKING, Any

from meltbook.errors import DeclarationError

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

Value = float | int | str | None
"""A number, a text, or ``None`` for a cell that stays blank. Dates are spreadsheet day numbers."""


@dataclass(slots=True)
class Results:
    """Values by field name.

    ``columns`` hold one value a data row, as many as the book has rows; ``seeds`` and ``ends`` hold the value
    in the row above the first and below the last, for columns that have one. ``groups`` says which rows of a
    column of unlike rows, counted from 0, belong together.
    """

    scalars: dict[str, Value] = field(default_factory=dict)
    columns: dict[str, list[Value]] = field(default_factory=dict)
    seeds: dict[str, Value] = field(default_factory=dict)
    ends: dict[str, Value] = field(default_factory=dict)
    groups: dict[str, range] = field(default_factory=dict)

    def put(self, **values: Value) -> None:
        """Add single figures."""
        for name, value in values.items():
            self._claim(name)
            self.scalars[name] = value

    def take(self, chapter: DataclassInstance) -> None:
        """Add every single figure that a chapter's dataclass holds."""
        for name in figure_names(chapter):
            value = getattr(chapter, name)
            self._claim(name)
            self.scalars[name] = value

    def column(self, name: str, values: Sequence[Value]) -> None:
        """Add one column."""
        self._claim(name)
        self.columns[name] = list(values)

    def table(self, records: Sequence[DataclassInstance]) -> None:
        """Add a column for every figure that the records of a table hold: one record a row."""
        if records:
            for name in figure_names(records[0]):
                self.column(name, [getattr(record, name) for record in records])

    def frame(self, name: str, *, seed: Value = None, end: Value = None) -> None:
        """Say what stands in the seed row and in the end row of a column; ``None`` where it has none."""
        if seed is not None:
            self.seeds[name] = seed
        if end is not None:
            self.ends[name] = end

    def value(self, name: str, row: int | None = None) -> Value:
        """One figure: a single one, or that of a row of a column (the first row is 1)."""
        if row is None:
            return self.scalars[name]
        return self.columns[name][row - 1]

    def _claim(self, name: str) -> None:
        if name in self.scalars or name in self.columns:
            raise DeclarationError(f"the reference engine works out {name} twice")


def figure_names(record: DataclassInstance | type[Any]) -> list[str]:
    """The attributes of a dataclass that are figures: those with an underscore in their name."""
    return [item.name for item in fields(record) if "_" in item.name]
