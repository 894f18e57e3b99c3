"""Studios for the gas meter and the bill check: each unit that energy is billed in, and bills of every awkward kind."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio

Row = dict[str, Any]

BILLS = Capacity(log=24, tariffs=3, ledger=2, part_kinds=2, glasses=2, overheads=2, pieces=2, campaigns=3, bills=24)

LOG: list[Row] = [
    {"date": "2024-02-20", "kind": "Heat-up", "days": 4, "reading": 5100.0},
    {"kind": "Charge", "days": 14, "charges": 9, "weight": 310.0},
    {"kind": "Idle", "days": 0, "reading": 5733.0},
    {"kind": "Blow", "days": 3},
    {"kind": "Idle", "days": 11, "reading": 6020.5},
    {},
    {"kind": "Cold", "days": 9},
    {"kind": "Heat-up", "days": 3},
    {"kind": "Charge", "days": 1, "weight": 36.0, "reading": 6203.0},
    {"kind": "New meter", "reading": 12.0},
    {"kind": "Idle", "days": 30, "reading": 800.0},
    {"kind": "Charge", "days": 5, "charges": 4, "weight": 140.0},
    {"kind": "Idle", "days": 2},
]
"""Over a leap day, with a row of no days, a blank one, cold days, a new meter; the last two rows wait for a reading."""

MONTHS: list[Row] = [
    {"start": "2024-02-24", "end": "2024-03-09", "use": 700.0, "metered": 40.0, "estimated": 25.5},
    {"start": "2024-03-10", "end": "2024-03-31", "use": 520.0, "metered": 30.0},
    {"start": "2024-04-01", "end": "2024-04-30", "use": 590.0, "estimated": 60.0, "ref": "April"},
    {"start": "2024-05-01", "end": "2024-05-31", "use": 640.0},
]
"""Bills that follow on one another and cut rows of the log; the last one runs into rows that wait."""


def gas_studios() -> dict[str, Studio]:
    """Each unit that energy may be billed in, and each that a bill may give the heat of a volume in."""
    meter = {"meter_kind": "Gas meter", "opening_reading": 4800.0}
    uses = [{"use": 6.5}, {"use": 7.25}, {"use": 5.5}, {"use": 4.0}]
    return {
        "therms (US)": _studio("therm (US)", meter | {"billing_factor": 1.029}),
        "therms (EC)": _studio("therm (EC)", meter | {"billing_factor": 1.0}, weight="kg"),
        "cubic metres, heat in MJ": _studio(
            "m³", meter | {"billing_factor": 0.974, "heat_content": 38.5, "heat_content_in": "MJ"}, weight="kg"
        ),
        "cubic metres, heat in kWh": _studio(
            "m³", meter | {"heat_content": 10.6, "heat_content_in": "kWh", "heat_content_on": "2024-05-02"}
        ),
        "cubic feet, heat not known": _studio("ft³", meter | {"billing_factor": 1.12}),
        "hundred cubic feet, heat in Btu": _studio(
            "Ccf", meter | {"heat_content": 103_800.0, "heat_content_in": "Btu"}
        ),
        "hundred cubic feet, heat in therms": _studio(
            "Ccf", meter | {"heat_content": 1.038, "heat_content_in": "therm (US)"}
        ),
        "propane by the litre": _studio("litre", meter | {"billing_factor": 3.7, "heat_content": 7.08}),
        "propane by weight, no meter": _studio("kg", {"meter_kind": "No meter", "heat_content": 0.0}, day_kinds=uses),
        "a heat content that isn't asked for": _studio(
            "kWh", {"meter_kind": "kWh meter", "billing_factor": 40.0, "heat_content": 2.0, "heat_content_in": "MJ"}
        ),
        "a factor of 0": _studio("m³", meter | {"billing_factor": 0.0, "heat_content": 38.5, "heat_content_in": "MJ"}),
        "hours on elements, whatever the factor": _studio(
            "kWh", {"meter_kind": "Hour meter", "connected_kw": 9.0, "billing_factor": 7.0}
        ),
    }


def bill_studios() -> dict[str, Studio]:
    """Bills that overlap, stand in the wrong order, say nothing, lie beside the log, or are equal on paper only."""
    gas = {"meter_kind": "Gas meter", "opening_reading": 4800.0}
    day = {"start": "2024-03-05", "end": "2024-03-05"}
    return {
        "bills that overlap, and one in another": _bills(
            {"start": "2024-02-01", "end": "2024-03-20", "use": 900.0},
            {"start": "2024-03-10", "end": "2024-04-20", "use": 500.0},
            {"start": "2024-03-12", "end": "2024-03-13", "use": 60.0, "metered": 2.0},
        ),
        "bills in the wrong order, and blank rows": _bills(*reversed(MONTHS), {}, MONTHS[0], {"ref": "later"}),
        "bills that are not whole": _bills(
            {"start": "2024-03-10", "end": "2024-03-09", "use": 10.0},
            {"start": "2024-03-10", "use": 10.0},
            {"end": "2024-03-10", "use": 10.0, "metered": 1.0},
            {"start": "2024-03-10", "end": "2024-03-10"},
        ),
        "nothing billed": _bills(day | {"use": 0.0}, day | {"use": 0.0, "metered": 3.0}),
        "bills before and after the log, and over all of it": _bills(
            {"start": "2023-01-01", "end": "2024-02-19", "use": 800.0},
            {"start": "2024-07-01", "end": "2031-12-31", "use": 20.0, "estimated": 30.0},
            {"start": "2000-01-01", "end": "2050-01-01", "use": 2500.0},
            {"start": "2024-03-30", "end": "2024-04-01", "use": 1.0},
        ),
        "as many bills as there is room for": _bills(*_every_week(24)),
        "equal on paper": _bills(
            {"start": "2020-01-01", "end": "2020-01-31", "use": 0.3, "metered": 0.1, "estimated": 0.2},
            {"start": "2020-01-01", "end": "2020-01-31", "use": 0.8, "metered": 0.1, "estimated": 0.7},
            {"start": "2020-01-01", "end": "2020-01-31", "use": 3.0, "metered": 2.7},
            {"start": "2020-01-01", "end": "2020-01-31", "use": 1.0, "estimated": 1.1},
        ),
        "no allowance": _bills(*MONTHS, shop={"unexplained_limit": 0.0}),
        "all is allowed": _bills(
            *MONTHS, {"start": "2024-03-05", "end": "2024-03-05", "use": 1.0}, shop={"unexplained_limit": 1.0}
        ),
        "no price in force on half of the log": _studio(
            "m³", gas, tariffs=[{"start": "2024-04-01", "price": 0.7}], bills=MONTHS
        ),
        "no log": _studio("m³", gas, log=[], bills=MONTHS),
        "rows that overlap": _studio(
            "m³",
            gas,
            log=[
                {"date": "2024-03-01", "kind": "Charge", "days": 10, "weight": 200.0, "reading": 5300.0},
                {"date": "2024-03-06", "kind": "Idle", "days": 10, "reading": 5500.0},
                {"date": "2024-02-20", "kind": "Idle", "days": 15, "reading": 5700.0},
            ],
            bills=[{"start": "2024-03-05", "end": "2024-03-12", "use": 600.0}, {**day, "use": 80.0}],
        ),
    }


def _every_week(count: int) -> list[Row]:
    first = date(2024, 2, 18)
    return [
        {
            "start": first + timedelta(days=7 * week),
            "end": first + timedelta(days=7 * week + 6),
            "use": 160.0 + 7 * week,
            "metered": 20.0 if week % 3 else None,
            "estimated": 9.5 * (week % 4),
        }
        for week in range(count)
    ]


def _bills(*rows: Row, **sections: Any) -> Studio:
    meter = {"meter_kind": "Gas meter", "opening_reading": 4800.0, "billing_factor": 0.974}
    return _studio("m³", meter, bills=list(rows), **sections)


def _studio(unit: str, furnace: Row, weight: str = "lb", **sections: Any) -> Studio:
    whole: Row = {
        "furnace": furnace,
        "day_kinds": [{}, {}, {"weighting": 0.85}, {"weighting": 0.6}],
        "tariffs": [{"start": "2024-01-01", "price": 0.66, "surcharge": 0.11}, {"start": "2024-03-15", "price": 0.71}],
        "log": LOG,
        "bills": MONTHS,
        **sections,
    }
    shop = {"weight_unit": weight, "energy_unit": unit, **whole.pop("shop", {})}
    return Studio.model_validate({"shop": shop, **whole})
