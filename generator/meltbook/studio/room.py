"""How many rows a workbook must prepare so that a studio fits in it."""

from __future__ import annotations

from dataclasses import fields, replace

from meltbook.errors import Problem, StudioError, UsageError
from meltbook.studio.capacity import Capacity
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
        if rows < len(studio.log):
            raise UsageError(
                f"The studio's log has {len(studio.log)} rows, more than the {rows} asked for.",
                hint=f"Give at least {len(studio.log)} rows, or leave the option out.",
            )
        wanted = replace(wanted, log=rows)
    problems: list[Problem] = []
    told: list[str] = []
    known = {field.name for field in fields(Capacity)}
    for table in PREFIXES:
        if table not in known:
            continue
        have, need = getattr(wanted, table), len(getattr(studio, table))
        if need <= have:
            continue
        if table in FIXED_TABLES:
            problems.append(
                Problem(
                    table,
                    None,
                    "",
                    f"{need} rows",
                    f"at most {have}",
                    "Each row of this table has its own meaning.",
                )
            )
            continue
        larger = max(need, min(int(need * SPARE) + 1, MOST_ROWS))
        wanted = replace(wanted, **{table: larger})
        told.append(f"The table {table} gets {larger} rows, since the studio fills {need}.")
    if len(studio.log) > MOST_ROWS:
        problems.append(
            Problem(
                "log",
                None,
                "",
                f"{len(studio.log)} rows",
                f"at most {MOST_ROWS}",
                "Put older years in a book of their own.",
            )
        )
    if problems:
        raise StudioError("The studio doesn't fit in a workbook.", problems)
    return wanted, tuple(told)
