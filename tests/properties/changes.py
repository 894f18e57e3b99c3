"""Changes to a studio that must not change its money, and what "its money" is."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from meltbook.fields.kernel import Figure, Vocabulary
from meltbook.method import Results
from meltbook.method.results import Value
from meltbook.studio.capacity import Capacity
from meltbook.studio.energy import LogRow
from meltbook.studio.model import Studio
from meltbook.workbook.book import vocabulary_for

ROOM = Capacity(log=40, tariffs=10, ledger=8, part_kinds=4, glasses=3, overheads=4, pieces=5, campaigns=30)
"""Room for the generated studios with some rows more, and for every campaign."""

KG = 0.45359237
"""A pound in kilograms, by definition."""

Key = tuple[str, int | None]
"""A figure, and its row if it is a column; the first is 0."""


# ------------------------------------------------------------------------------------------------------ money


def money(results: Results, vocabulary: Vocabulary) -> dict[Key, Value]:
    """All amounts of a book, and its margins, but those that stand in the rows of the log and of the tariff."""
    return {key: _value(results, key) for key in keys(results, vocabulary)}


def keys(results: Results, vocabulary: Vocabulary) -> Iterator[Key]:
    """Where the money of a book stands."""
    for name, item in vocabulary.scalars.items():
        if isinstance(item, Figure) and _is_money(item):
            yield name, None
    for name, (table, item) in vocabulary.columns.items():
        if table.name not in ("log", "tariffs", "ledger") and isinstance(item, Figure) and _is_money(item):
            yield from ((name, row) for row in range(len(results.columns[name])))


def unit(name: str, vocabulary: Vocabulary) -> str:
    """What a figure is measured in."""
    item = vocabulary.scalars.get(name) or vocabulary.columns[name][1]
    return item.unit


def _is_money(item: Figure) -> bool:
    return "{currency}" in item.unit or item.unit == "of what you get"


def _value(results: Results, key: Key) -> Value:
    name, row = key
    return results.scalars[name] if row is None else results.columns[name][row]


def moved(one: Mapping[Key, Value], other: Mapping[Key, Value], scale: Mapping[str, float] | None = None) -> list[str]:
    """The figures in which two books differ, the first book's being multiplied by what ``scale`` has for them."""
    assert one.keys() == other.keys()
    found = []
    for (name, row), value in one.items():
        now = other[name, row]
        if isinstance(value, int | float):
            value = value * (scale or {}).get(name, 1.0)
        if not _same(value, now):
            found.append(f"{name}{'' if row is None else f'.{row + 1}'} was {value!r} and is {now!r}")
    return found


def _same(one: Value, other: Value) -> bool:
    if isinstance(one, int | float) and isinstance(other, int | float):
        return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-9)
    return one == other


# ---------------------------------------------------------------------------------------------------- changes


def with_rows(studio: Studio, table: str, rows: list[Any]) -> Studio:
    return studio.model_copy(update={table: tuple(rows)})


def blank_row(studio: Studio, table: str, at: int) -> Studio:
    """A row in which nothing is typed, somewhere in a table."""
    rows = list(getattr(studio, table))
    blank = type(rows[0]) if rows else LogRow
    return with_rows(studio, table, [*rows[:at], blank(), *rows[at:]])


def cut(studio: Studio, at: int, days: int) -> Studio:
    """A stretch of the log written as two: the first has so many of its days and about half of the rest."""
    row = studio.log[at]
    charges = row.charges if row.charges is not None else int(row.kind == "Charge")
    first = row.model_copy(
        update={
            "days": days,
            "charges": charges // 2,
            "weight": None if row.weight is None else row.weight * 0.25,
            "gathers": None if row.gathers is None else row.gathers * 0.5,
            "reading": None,
        }
    )
    second = row.model_copy(
        update={
            "date": None,
            "days": (row.days or 1) - days,
            "charges": charges - charges // 2,
            "weight": None if row.weight is None else row.weight * 0.75,
            "gathers": None if row.gathers is None else row.gathers * 0.5,
        }
    )
    return with_rows(studio, "log", [*studio.log[:at], first, second, *studio.log[at + 1 :]])


def may_be_cut(studio: Studio, results: Results, at: int, days: int) -> bool:
    """Whether no part comes or goes, no period begins or ends, and no first price comes, between the two halves.

    Rows count for a part, and for a period, by their first day; so there a cut does change something, and should.
    """
    row = studio.log[at]
    if row.kind in (None, "New meter") or (row.days or 1) <= days:
        return False
    first = results.columns["first_day"][at]
    assert isinstance(first, int)
    edges = [results.scalars[name] for name in ("chosen_from", "chosen_to", "window_low", "window_high")]
    edges += [day for name in ("part_from", "part_end") for day in results.columns[name]]
    edges += [day for day in results.columns["tariff_key"] if day][:1]  # a row before the first price has none at all
    return first > 0 and not any(isinstance(day, int) and first <= day <= first + days for day in edges)


def in_kilograms(studio: Studio) -> Studio:
    """The same studio, every weight converted, and every price for a weight with it."""

    def changed(item: Any, **factors: float) -> Any:
        typed = {key: getattr(item, key) for key in factors}
        return item.model_copy(
            update={key: None if value is None else value * factors[key] for key, value in typed.items()}
        )

    shop = changed(studio.shop, ordinary_weight=KG, gather_weight=KG)
    weights = {"drawn": KG, "finished": KG, "colour_weight": KG, "colour_price": 1 / KG}
    return studio.model_copy(
        update={
            "shop": shop.model_copy(update={"weight_unit": "kg"}),
            "decisions": changed(studio.decisions, full_charge=KG),
            "glasses": tuple(changed(glass, price=1 / KG) for glass in studio.glasses),
            "log": tuple(changed(row, weight=KG) for row in studio.log),
            "pieces": tuple(changed(piece, **weights) for piece in studio.pieces),
            "courses": tuple(changed(course, glass=KG) for course in studio.courses),
        }
    )


def in_pounds(studio: Studio) -> Studio:
    """The same numbers, as if they were pounds."""
    return studio.model_copy(update={"shop": studio.shop.model_copy(update={"weight_unit": "lb"})})


def scale_to_kilograms(studio: Studio) -> dict[str, float]:
    """By what each figure of a book in pounds is multiplied in the book in kilograms."""
    vocabulary = vocabulary_for(studio, ROOM)
    by_weight = {name: unit(name, vocabulary) for name in (*vocabulary.scalars, *vocabulary.columns)}
    scale = {name: 1 / KG for name, measure in by_weight.items() if measure.endswith("/{weight}")}
    if studio.shop.furnace_by == "Weight":
        scale["furnace_rate"] = scale["rate_after"] = 1 / KG
    return scale
