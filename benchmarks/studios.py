"""A studio with a log of any length, made by rule: the invented shop on the lake, if it went on for decades.

Pots are as many as the book has room for and letters one fewer, whatever the length, so that from one size to the next
nothing grows but the log.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from meltbook.studio.capacity import Capacity
from meltbook.studio.energy import LogRow
from meltbook.studio.model import Studio
from meltbook.studio.starts import load_start
from meltbook.studio.tariff import TariffRow
from meltbook.studio.wear import LedgerRow

FIRST_DAY = dt.date(2020, 1, 6)
CAMPAIGNS = 25
"""Fewer than a book prepares, however long the log is."""
HEATUP_DAYS = 5
HOURS_A_DAY = 17.25
WEEK = ("Charge", "Blow", "Blow", "Charge", "Blow", "Idle", "Idle")


def long_studio(rows: int) -> tuple[Studio, Capacity]:
    """A studio whose log has this many rows, one a day, and the room for exactly that.

    One line of its tariff table is free, for a letter.
    """
    base = load_start("lakeside-lb").studio
    room = Capacity(log=rows)
    studio = base.model_copy(
        update={
            "shop": base.shop.model_copy(update={"period_from": None, "period_to": None}),
            "log": tuple(_log(rows)),
            "tariffs": tuple(_tariffs(rows, room.tariffs - 1)),
            "ledger": tuple(_pots(rows, room.ledger)),
        }
    )
    return studio, room


def _day(row: float) -> dt.date:
    return FIRST_DAY + dt.timedelta(days=int(row))


def _log(rows: int) -> Iterator[LogRow]:
    """Campaigns of equal length; each begins with a heat-up, and the meter is read at the end of each week."""
    length = max(HEATUP_DAYS + len(WEEK), -(-rows // CAMPAIGNS))
    reading = 4310.0
    for row in range(rows):
        day = row % length
        kind = "Heat-up" if day < HEATUP_DAYS else WEEK[(day - HEATUP_DAYS) % len(WEEK)]
        reading += HOURS_A_DAY + (row % 5) * 0.5
        read = row % len(WEEK) == len(WEEK) - 1
        yield LogRow.model_validate(
            {
                "date": _day(row),
                "kind": kind,
                "days": 1,
                "charges": 1 if kind == "Charge" else None,
                "reading": reading if read else None,
                "weight": 150.0 + row % 9 if kind == "Charge" else None,
                "glass": "Own cullet" if kind == "Charge" and row % 4 == 0 else None,
                "gathers": 40 + row % 7 if kind in ("Charge", "Blow") else None,
                "note": "Seeds on the first day" if row % 60 == 0 else None,
            }
        )


def _tariffs(rows: int, count: int) -> Iterator[TariffRow]:
    """Letters over the whole log; each is at least a day later than the one before."""
    for letter in range(count):
        start = _day(max(letter, letter * rows / count))
        yield TariffRow(start=start, price=0.12 + 0.004 * letter, surcharge=0.005, tax=0.04, service=24)


def _pots(rows: int, count: int) -> Iterator[LedgerRow]:
    """Pots over the whole log, each retired on the day on which the next one is fitted."""
    for pot in range(count):
        last = pot == count - 1
        yield LedgerRow(
            name="Pot",
            installed=_day(pot * rows / count),
            retired=None if last else _day((pot + 1) * rows / count),
            cost=2450.0 + 20 * pot,
            why=None if last else "Planned",
        )
