"""How many rows a workbook must prepare so that a studio fits in it."""

from __future__ import annotations

from dataclasses import fields, replace
from typing import Any

from pydantic import BaseModel

from meltbook.errors import Problem, StudioError, UsageError
from meltbook.studio.capacity import Capacity
from meltbook.studio.furnaces import FURNACE_TABLES, SOURCE_TABLES
from meltbook.studio.model import PREFIXES, Studio

FEWEST_ROWS = 10
MOST_ROWS = 20_000
"""Beyond this the spreadsheet programs that were tried get slow at every keystroke."""

FIXED_TABLES = ("day_kinds", "people", "equipment", "channels")
"""Tables whose rows each have a meaning of their own, so that none can be added."""

SPARE = 1.25
"""A table that has to grow gets a quarter more rows than it needs."""


def capacity_for(studio: Studio, rows: int | None = None) -> tuple[Capacity, tuple[str, ...]]:
    """The rows to prepare, and a sentence for each table that had to be made larger.

    ``rows`` are the log's rows where the owner asked for a number: a studio that doesn't fit in it is then an
    error. Otherwise every table grows to fit.
    """
    wanted = Capacity()
    if rows is not None:
        if not FEWEST_ROWS <= rows <= MOST_ROWS:
            raise UsageError(
                f"A log of {rows} rows can't be prepared.", hint=f"Give {FEWEST_ROWS} to {MOST_ROWS} rows."
            )
        longest = max(len(studio.log), *(len(furnace.log) for furnace in studio.more_furnaces), 0)
        if rows < longest:
            raise UsageError(
                f"The studio's log has {longest} rows, more than the {rows} asked for.",
                hint=f"Give at least {longest} rows, or leave the option out.",
            )
        wanted = replace(wanted, log=rows)
    problems: list[Problem] = []
    told: list[str] = []
    fitted = _grown(studio, tuple(PREFIXES), wanted, "", told, problems)
    more = tuple(
        _grown(furnace, FURNACE_TABLES, _of_a_furnace(fitted, wanted), f"furnace {number}", told, problems)
        for number, furnace in enumerate(studio.more_furnaces, start=2)
    )
    second = 0
    if studio.second_source:
        second = _grown(studio.second_source, SOURCE_TABLES, wanted, "the second source", told, problems).tariffs
    if problems:
        raise StudioError("The studio doesn't fit in a workbook.", problems)
    return replace(fitted, more=more, second=second), tuple(told)


def _of_a_furnace(shop: Capacity, wanted: Capacity) -> Capacity:
    """The shop's tables as they are, a furnace's own as long as was wanted."""
    rows: dict[str, Any] = {table: getattr(wanted, table) for table in FURNACE_TABLES}
    return replace(shop, **rows)


def _grown(
    owner: BaseModel, tables: tuple[str, ...], wanted: Capacity, whose: str, told: list[str], problems: list[Problem]
) -> Capacity:
    """The rows wanted, or more where the studio, a furnace or a source has more."""
    known = {field.name for field in fields(Capacity)}
    before = f"{whose}: " if whose else ""
    for table in tables:
        if table not in known:
            continue
        have, need = getattr(wanted, table), len(getattr(owner, table))
        if table == "log" and need > MOST_ROWS:
            expected, do = f"at most {MOST_ROWS}", "Put older years in a book of their own."
            problems.append(Problem(f"{before}log", None, "", f"{need} rows", expected, do))
        if need <= have:
            continue
        if table in FIXED_TABLES:
            do = "Each row of this table has its own meaning."
            problems.append(Problem(f"{before}{table}", None, "", f"{need} rows", f"at most {have}", do))
            continue
        larger = max(need, min(int(need * SPARE) + 1, MOST_ROWS))
        grown: dict[str, Any] = {table: larger}
        wanted = replace(wanted, **grown)
        told.append(f"{before}The table {table} gets {larger} rows, since the studio fills {need}.")
    return wanted
