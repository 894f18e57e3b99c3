"""Small studios for the tests of the method."""

from __future__ import annotations

from datetime import date
from typing import Any

from meltbook.method import Results, SheetFacts, compute
from meltbook.method.arithmetic import serial
from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio

SMALL = Capacity(log=45, tariffs=5, part_kinds=3, ledger=6, glasses=3, overheads=4, pieces=5, campaigns=4)

FLAT = [{"start": "2020-01-01", "price": 0.10}]
"""One letter: 0.10 a kWh, nothing else."""


def run(*, capacity: Capacity = SMALL, facts: SheetFacts | None = None, **studio: Any) -> Results:
    """Compute a studio that is given as plain data."""
    return compute(Studio.model_validate(studio), capacity, facts=facts)


def kwh_log(*rows: dict[str, Any], **more: Any) -> Results:
    """A log with a kWh meter at 0.10 a kWh."""
    furnace = {"meter_kind": "kWh meter", **more.pop("furnace", {})}
    return run(**{"furnace": furnace, "tariffs": FLAT, "log": list(rows), **more})


def day(kind: str, days: int | None = None, **more: Any) -> dict[str, Any]:
    """A row of the log."""
    row = {"kind": kind, **more}
    return row if days is None else {**row, "days": days}


def melt(**more: Any) -> dict[str, Any]:
    """A furnace of typed uses, whose hot days cost 0.64 a weight charged and one more charge 0.16.

    10 charge days x 100 kWh + 10 idle days x 60 kWh = 1600 kWh x 0.20 = 320 for 500.
    """
    return {
        "furnace": {"meter_kind": "No meter", "furnace_purchase": 0},
        "wear": {"wear_counted": "None"},
        "day_kinds": [{}, {"use": 100}, {}, {"use": 60}],
        "tariffs": [{"start": "2020-01-01", "price": 0.20}],
        "log": [
            day("Charge", 10, date="2025-03-01", charges=10, weight=500, gathers=400),
            day("Idle", 10),
        ],
        **more,
    }


def numbers(results: Results, name: str) -> list[float]:
    """A column that holds nothing but numbers; blanks are 0."""
    found: list[float] = []
    for value in results.columns[name]:
        assert not isinstance(value, str)
        found.append(0.0 if value is None else value)
    return found


def on(text: str) -> int:
    """The day number of a date."""
    return serial(date.fromisoformat(text))
