"""A log that runs on past the last day of the calendar: each of its cells is fine, and together they have no date."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from meltbook.errors import Problem
from meltbook.studio.complaints import shown
from meltbook.studio.energy import LogRow
from meltbook.studio.model import Studio

WANTED = f"a row that ends by {dt.date.max}"
DO = "Look at its date and its days, and at the last date above it."


def past_the_calendar(log: Sequence[LogRow]) -> tuple[int, str] | None:
    """The place of the first row that ends after the last day there is, counted from 0, and the key to look at."""
    goes_on = 0  # the day on which a row without a date would begin; 0 while none had one
    for place, row in enumerate(log):
        start = row.date.toordinal() if row.date else goes_on
        if row.kind is None or not start:
            continue
        days = 1 if row.days is None or row.kind == "New meter" else max(1, row.days)
        goes_on = start + days
        if goes_on - 1 > dt.date.max.toordinal():
            return place, "days" if row.days else "date"
    return None


def logs_past_the_calendar(studio: Studio) -> list[Problem]:
    """The same of every furnace's log, as it is said of a studio file."""
    found = []
    logs = [("log", studio.log), *((f"furnace {at}, log", more.log) for at, more in enumerate(studio.more_furnaces, 2))]
    for table, log in logs:
        past = past_the_calendar(log)
        if past is not None:
            place, key = past
            found.append(Problem(table, place + 1, key, shown(getattr(log[place], key)), WANTED, DO))
    return found
