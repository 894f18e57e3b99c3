"""What all sheets of a book are drawn from, and the few ways in which a cell is written."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from meltbook.errors import DeclarationError
from meltbook.fields.kernel import Figure, Item, Shape, Vocabulary
from meltbook.method.results import Results
from meltbook.studio.furnaces import MOST_FURNACES, SOURCE_ENDS, name_ends
from meltbook.workbook.expected import cached, expected_value
from meltbook.workbook.formulas import Compiler
from meltbook.workbook.placement import Placement
from meltbook.workbook.style import Formats
from meltbook.workbook.typed import Typed, TypedValues


def done(answer: object) -> None:
    """Raise if XlsxWriter answers that it could not do what it was asked."""
    if isinstance(answer, int) and answer < 0:
        raise DeclarationError(f"XlsxWriter refused to write something (code {answer})")


@dataclass(frozen=True, slots=True)
class Ink:
    """What all sheets of a book are drawn from."""

    vocabulary: Vocabulary
    placement: Placement
    compiler: Compiler
    formats: Formats
    typed: TypedValues
    results: Results | None
    worded: Callable[[str], str]

    def result(self, name: str, row: int | str | None = None) -> float | int | str:
        """The cached value of a formula cell; empty if the book is written without results."""
        return "" if self.results is None else cached(expected_value(self.results, name, row))


_ENDS = (*name_ends(MOST_FURNACES), *SOURCE_ENDS.values())
_STATES = tuple(f"_{word}{end}" for word in ("state", "status") for end in _ENDS)


def is_state(item: Item) -> bool:
    """Whether a field says OK, LOOK or NOTE, of whichever furnace or source, and is tinted by what it says."""
    return isinstance(item, Figure) and item.shape is Shape.TEXT and item.name.endswith(_STATES)


def is_said(item: Item) -> bool:
    """Whether a field tells a student how a step stands, and is tinted by what it tells."""
    return isinstance(item, Figure) and item.shape is Shape.TEXT and item.name.endswith("_said")


def write_plain(sheet: Any, row: int, col: int, value: Typed, look: Any) -> None:
    """Write a value that is not a formula. A text stays a text, whatever it begins with."""
    if value is None or value == "":
        done(sheet.write_blank(row, col, None, look))
    elif isinstance(value, str):
        done(sheet.write_string(row, col, value, look))
    else:
        done(sheet.write_number(row, col, value, look))
