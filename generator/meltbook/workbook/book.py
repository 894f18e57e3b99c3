"""A studio becomes a book: the one place where fields, sheets, the reference engine and the writer meet."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from pathlib import Path

from meltbook.fields import build
from meltbook.fields.kernel import Vocabulary
from meltbook.method import compute
from meltbook.method.results import Results
from meltbook.sheets import book_sheets
from meltbook.sheets.kernel import Sheet
from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio
from meltbook.units import money_digits
from meltbook.workbook.paper import Paper
from meltbook.workbook.place import Placement, lay_out
from meltbook.workbook.write import BookOptions, write_book


@dataclass(frozen=True, slots=True)
class BookParts:
    """Everything that a book is made of, before a byte is written."""

    vocabulary: Vocabulary
    sheets: tuple[Sheet, ...]
    placement: Placement
    results: Results


def book_parts(studio: Studio, capacity: Capacity) -> BookParts:
    """Declare, place and compute a book without writing it."""
    vocabulary = vocabulary_for(studio, capacity)
    sheets = book_sheets(vocabulary)
    return BookParts(
        vocabulary=vocabulary,
        sheets=sheets,
        placement=lay_out(sheets, vocabulary, asdict(capacity)).placement,
        results=compute(studio, capacity),
    )


def vocabulary_for(studio: Studio, capacity: Capacity) -> Vocabulary:
    """The fields of a book in this studio's units."""
    return build(
        weight_unit=studio.shop.weight_unit,
        energy_unit=studio.shop.energy_unit,
        currency=studio.shop.currency,
        money_digits=money_digits(studio.shop.currency),
        capacity=capacity,
        sources=studio.furnace_sources,
        second_unit=studio.second_source.energy_unit if studio.second_source else "",
    )


def make_book(
    studio: Studio,
    path: Path,
    *,
    capacity: Capacity | None = None,
    paper: Paper = "Letter",
    overwrite: bool = False,
) -> Placement:
    """Write the studio's book with the right cached value in every formula cell.

    Raises:
        UsageError: the file is there already and may not be overwritten, or its folder can't be written to.
        StudioError: the studio has more rows than the book prepares.
    """
    capacity = capacity or Capacity()
    vocabulary = vocabulary_for(studio, capacity)
    return write_book(
        path,
        vocabulary,
        book_sheets(vocabulary),
        studio,
        compute(studio, capacity),
        BookOptions(
            paper=paper,
            capacities=asdict(capacity),
            money_digits=money_digits(studio.shop.currency),
            overwrite=overwrite,
        ),
    )
