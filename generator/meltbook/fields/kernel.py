"""How a figure is declared.

Every cell that means something is declared once, in a chapter of this package, with its name, its label,
what it is measured in, a note and, if it works itself out, its formula. Where it stands is the business of
``meltbook.sheets``; which cell that is, of ``meltbook.workbook.place``.

A formula is written in the names of other fields, so it reads like the method::

    Figure("energy_cost", "Energy cost", Shape.MONEY, "energy_used * mean_price")

Inside a formula a name stands for

* a scalar: the cell with that name;
* a column of the same table, or of a table aligned with it: the cell in this row;
* ``name.all``: the whole column, from its seed row (if any) to its end row;
* ``name.prev`` and ``name.next``: the row above and the row below (a table with carried columns has a
  seed row above its first row and an end row below its last);
* ``name.3``: the third row of a table; ``name.seed`` and ``name.end``: its seed and end row.

``needs`` lists names that must hold numbers, or the cell stays blank; ``nonzero`` lists names that must not
be 0; ``blank_if`` names a cell that, when empty, keeps this one empty. The workbook layer writes those guards,
in that order, around the formula, so that a formula says one thing only.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from types import MappingProxyType

from meltbook.errors import DeclarationError

NAME = re.compile(r"^[a-z]+(_[a-z]+)+$")
"""Names that no spreadsheet program takes for a cell address: an underscore, no digits."""

FAR_FUTURE = 2958465
"""9999-12-31 as a spreadsheet date: "no end yet" where a date must be compared."""

Plain = float | int | str


class Shape(Enum):
    """What a value is, which decides how it looks and what may be typed."""

    MONEY = "money"  # an amount, in the currency's own digits
    RATE = "rate"  # money per something, four decimals
    WEIGHT = "weight"
    ENERGY = "energy"
    KILOWATTS = "kilowatts"
    DAYS = "days"
    DATE = "date"
    COUNT = "count"  # whole things: charges, pieces, gathers
    READING = "reading"
    SHARE = "share"  # 0 to 1, shown in percent
    FACTOR = "factor"  # a plain number
    MINUTES = "minutes"
    HOURS = "hours"
    YEARS = "years"
    TEXT = "text"


@dataclass(frozen=True, slots=True)
class Typed:
    """What may be typed into an input.

    ``choices`` are the allowed words; ``choices_from`` names a column that lists them instead. ``whole``
    asks for whole numbers; the bounds are inclusive. ``asks`` says in other words what to type, such as a
    formula; ``warns`` lets something else stand after a question.
    """

    minimum: float | None = None
    maximum: float | None = None
    whole: bool = False
    choices: tuple[str, ...] = ()
    choices_from: str = ""
    asks: str = ""
    warns: bool = False


@dataclass(frozen=True, slots=True)
class Item:
    """What every field has. ``unit`` is shown to people and may hold {weight}, {currency} and {energy}."""

    name: str
    label: str
    shape: Shape
    unit: str = ""
    note: str = ""

    def __post_init__(self) -> None:
        if not NAME.match(self.name):
            raise DeclarationError(f"{self.name!r} can't be a field name: small letters with an underscore, no digits")


@dataclass(frozen=True, slots=True)
class Input(Item):
    """A cell that the owner types. What a new book has in it comes from the studio it is made from."""

    typed: Typed = Typed()


@dataclass(frozen=True, slots=True)
class Fixed(Item):
    """A labelled constant or word that comes with the book; ``values`` has one value, or one a row."""

    values: tuple[Plain, ...] = ()


@dataclass(frozen=True, slots=True)
class Figure(Item):
    """A cell that works itself out.

    A column of unlike rows (the list of checks) gives ``formulas``, one a row, in place of ``formula``.
    ``seed`` and ``end`` (for columns) fill the seed and the end row: plain values, or text beginning with
    ``=`` that is a formula in field names, read as if it stood in that row.
    """

    formula: str = ""
    formulas: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    nonzero: tuple[str, ...] = ()
    blank_if: str = ""
    seed: Plain | None = None
    end: Plain | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """Columns that share their rows.

    ``rows`` is how many rows are prepared; ``capacity`` is the option that may change it. ``seeded`` tables
    have a seed row above the first row; ``grows`` tables have an end row ("Add rows above this line").
    ``aligned`` names a table whose rows are the same things, so a bare name reaches across.
    """

    name: str
    label: str
    columns: tuple[Item, ...]
    rows: int
    capacity: str = ""
    seeded: bool = False
    grows: bool = False
    aligned: str = ""


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """All fields of a book, found by name."""

    scalars: Mapping[str, Item] = field(default_factory=dict)
    tables: Mapping[str, Table] = field(default_factory=dict)
    columns: Mapping[str, tuple[Table, Item]] = field(default_factory=dict)

    @classmethod
    def of(cls, scalars: Iterable[Item], tables: Iterable[Table]) -> Vocabulary:
        """Collect declarations; a name that is declared twice is an error."""
        found: dict[str, Item] = {}
        table_map: dict[str, Table] = {}
        columns: dict[str, tuple[Table, Item]] = {}
        for item in scalars:
            if item.name in found:
                raise DeclarationError(f"{item.name} is declared twice")
            found[item.name] = item
        for table in tables:
            if table.name in table_map:
                raise DeclarationError(f"the table {table.name} is declared twice")
            table_map[table.name] = table
            for item in table.columns:
                if item.name in columns or item.name in found:
                    raise DeclarationError(f"{item.name} is declared twice")
                columns[item.name] = (table, item)
        return cls(MappingProxyType(found), MappingProxyType(table_map), MappingProxyType(columns))
