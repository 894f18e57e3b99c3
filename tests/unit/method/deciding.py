"""A furnace whose decisions can be worked out in the head, for the tests of the method."""

from __future__ import annotations

from typing import Any

from meltbook.method import Results
from tests.unit.method.studios import FLAT, day, run

LONG_AGO, SOON_AFTER = "2001-01-01", "2001-02-01"

KINDS = [
    {"name": "Pot", "basis": "Charges", "life": 100, "cost_now": 800},
    {"name": "Elements", "basis": "Hot days", "life": 400, "cost_now": 600},
    {"name": "Floor", "basis": "Heat-ups", "life": 20, "cost_now": 300},
]
IN_SERVICE = [{"name": kind["name"], "installed": "2025-01-01", "cost": 1} for kind in KINDS]


def furnace(**typed: Any) -> dict[str, Any]:
    """One campaign: 4 days of heat-up, 10 charges of 50 in 10 days, 5 blow days, 5 idle days, at 0.10 a kWh.

    In service are a pot (800 for 100 charges: 8 a charge), elements (600 for 400 days: 1.50 a day) and a floor (300
    for 20 heat-ups: 15 each). So

    - an idle day costs 150 kWh x 0.10 + 1.50 = 16.50;
    - a heat-up takes 800 kWh and 4 days: 80 + 15 + 4 x 1.50 = 101;
    - a charge with its blow and idle days takes (2400 + 900 + 750) / 10 = 405 kWh and 2 days: 40.50 + 3 + 8 = 51.50.

    ``typed`` goes to the decisions.
    """
    return {
        "furnace": {"meter_kind": "No meter"},
        "day_kinds": [{"use": 200}, {"use": 240}, {"use": 180}, {"use": 150}],
        "tariffs": FLAT,
        "log": [
            day("Heat-up", 4, date="2025-03-01"),
            day("Charge", 10, charges=10, weight=500),
            day("Blow", 5),
            day("Idle", 5),
        ],
        "part_kinds": KINDS,
        "ledger": IN_SERVICE,
        "decisions": typed,
    }


def decided(**typed: Any) -> Results:
    """The furnace's decisions."""
    return run(**furnace(**typed))


def gone(uses: float, why: str | None = "Cracked", **more: Any) -> dict[str, Any]:
    """A pot that came and went long before the log."""
    return {
        "name": "Pot",
        "installed": LONG_AGO,
        "retired": SOON_AFTER,
        "cost": 700,
        "uses_before": uses,
        "why": why,
        **more,
    }


def serving(uses: float | None = None, **more: Any) -> dict[str, Any]:
    """A pot in service, fitted after the log's charges."""
    return {"name": "Pot", "installed": "2025-03-16", "cost": 700, "uses_before": uses, **more}


def pots(*ledger: dict[str, Any], life: float | None = None, **typed: Any) -> Results:
    """The furnace with these parts instead. A planned change costs 800, as a new pot does."""
    kinds = [{"name": "Pot", "basis": "Charges", "life": life, "cost_now": 800}, *KINDS[1:]]
    return run(**{**furnace(**typed), "part_kinds": kinds, "ledger": list(ledger)})
