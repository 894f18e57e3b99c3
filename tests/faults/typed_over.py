"""Type over formulas, one cell at a time, and see whether a price moves and whether a check says so."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from meltbook.workbook.formulas import CellFormula
from tests.faults.book import Cell, SoundBook
from tests.faults.recalculate import Live

PRICES = (
    "cost_good",
    "low_good",
    "tag_suggested",
    "tag_in_force",
    "lowest_worst",
    "margin_worst",
    "left_ranked",
    "ranking_left",
    "list_tag",
    "price_charge",
    "price_melt",
    "price_hot",
    "price_line_standing",
    "price_line_wear",
    "price_line_glass",
    "price_line_own",
    "price_line_sold",
    "happened_hot",
    "happened_line_own",
    "furnace_rate",
    "overhead_hour",
)
"""The figures that an owner goes by. Whatever moves one of them without a check is a fault that nobody sees."""

ZERO = dt.date(1899, 12, 30)


@dataclass(frozen=True, slots=True)
class TypedOver:
    """One formula cell that was typed over."""

    name: str
    row: int | str | None
    moved: bool
    checks: tuple[str, ...]
    pairs: tuple[int, ...]


def prices(book: SoundBook) -> list[Cell]:
    """Every cell of the figures that an owner goes by."""
    return [cell for name in PRICES for cell, _ in book.formulas_of(name)]


def type_over(live: Live, *, every: bool, names: Sequence[str] = ()) -> Iterator[TypedOver]:
    """Type another number over formula cells, of these figures or of all: over each cell, or over a few of a figure."""
    book = live.book
    watched = prices(book)
    pairs = [cell for cell, _ in book.formulas_of("pair_apart")]
    calm = live.states()
    before = [live.value(cell) for cell in watched]
    for name in names or book.figures():
        cells = book.formulas_of(name)
        for cell, formula in cells if every else _a_few(live, cells):
            other = another(live.value(cell))
            states, found = live.with_cells({cell: other}, [*watched, *pairs])
            moved, apart = found[: len(watched)] != before, found[len(watched) :]
            checks = tuple(check for check, state in states.items() if state != calm[check])
            trips = tuple(row for row, value in enumerate(apart, start=1) if value == 1)
            yield TypedOver(name, formula.row, moved, checks, trips)


def _a_few(live: Live, cells: list[tuple[Cell, CellFormula]]) -> list[tuple[Cell, CellFormula]]:
    """The first, the middle one and the last of those that are not blank or 0."""
    full = [pair for pair in cells if live.value(pair[0]) not in (None, "", 0)] or cells
    return [full[place] for place in sorted({0, len(full) // 2, len(full) - 1})]


def another(value: object) -> float | str:
    """Something else than what a cell shows, of the same sort."""
    if isinstance(value, dt.datetime):
        value = value.date()
    if isinstance(value, dt.date):
        return float((value - ZERO).days + 7)
    if isinstance(value, bool) or value is None or value == "":
        return 1.0
    if isinstance(value, int | float):
        return 0.0 if value == 1 else value * 1.25 + 1
    return "typed"
