"""Which cell each field is. Plain facts, whether worked out from the sheets or read from an edited file."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from difflib import get_close_matches

from meltbook.errors import DeclarationError


@dataclass(frozen=True, slots=True)
class Spot:
    """The cell of a single figure: the sheet's tab name, and row and column counted from 0."""

    sheet: str
    row: int
    col: int


@dataclass(frozen=True, slots=True)
class ColumnSpot:
    """The cells of a column. ``first`` is the first data row; a seed row is above it, an end row below."""

    sheet: str
    col: int
    first: int
    rows: int
    has_seed: bool = False
    has_end: bool = False

    @property
    def top(self) -> int:
        """The first row of the named range: the seed row if there is one."""
        return self.first - 1 if self.has_seed else self.first

    @property
    def bottom(self) -> int:
        """The last row of the named range: the end row if there is one."""
        return self.first + self.rows - 1 + self.has_end


@dataclass(frozen=True, slots=True)
class Placement:
    """Where every field stands. The cells that repeat the state of all checks are among the scalars."""

    scalars: Mapping[str, Spot] = field(default_factory=dict)
    columns: Mapping[str, ColumnSpot] = field(default_factory=dict)


def unknown_name(name: str, known: Iterable[str], where: str = "") -> DeclarationError:
    """The error for a name that nothing declares, with the nearest one that something does."""
    near = get_close_matches(name, list(known), n=1)
    guess = f"; did you mean {near[0]!r}?" if near else ""
    return DeclarationError(f"{where + ': ' if where else ''}unknown name {name!r}{guess}")
