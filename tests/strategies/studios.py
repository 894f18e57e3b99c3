"""Odd but legal studios, for comparing the reference engine with the workbook in other programs.

Numbers are drawn with few digits, so that two routes to the same figure differ by rounding only, and every
optional block is sometimes there and sometimes not.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio

SMALL = Capacity(log=28, tariffs=8, ledger=6, part_kinds=4, glasses=3, overheads=4, pieces=5, campaigns=5)
MANY_TARIFFS = Capacity(log=28, tariffs=40, ledger=6, part_kinds=4, glasses=3, overheads=4, pieces=5, campaigns=5)
TINY = Capacity(log=10, tariffs=3, ledger=3, part_kinds=2, glasses=2, overheads=2, pieces=2, campaigns=2)

Draw = Callable[[st.SearchStrategy[Any]], Any]

KINDS = ("Heat-up", "Charge", "Blow", "Idle", "Cold", "New meter")
FIRST_DAYS = (date(2024, 2, 27), date(2023, 12, 28), date(2025, 6, 1), date(2026, 1, 1))


def hundredths(low: int, high: int) -> st.SearchStrategy[float]:
    return st.integers(low, high).map(lambda number: number / 100)


def maybe(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    return st.one_of(st.none(), strategy)


SHARE = st.sampled_from((0.0, 0.05, 0.1, 0.3, 0.5, 0.85, 1.0))
MONEY = st.one_of(st.just(0.0), hundredths(1, 9000))
YES_NO = st.sampled_from((None, "Yes", "No"))


def _without_blanks(row: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in row.items() if value is not None}


def _log(draw: Draw, metered: bool, capacity: Capacity) -> list[dict[str, Any]]:
    count = draw(st.one_of(st.just(1), st.integers(0, capacity.log - 1)))
    sparse = draw(st.booleans())
    reading, day = draw(hundredths(0, 50000)), draw(st.sampled_from(FIRST_DAYS))
    rows: list[dict[str, Any]] = []
    for index in range(count):
        if draw(st.integers(0, 11)) == 0:
            rows.append({})
            continue
        kind = draw(st.sampled_from(KINDS[:5] if draw(st.integers(0, 9)) else KINDS))
        days = draw(st.sampled_from((None, 1, 1, 2, 5, 14, 0)))
        row: dict[str, Any] = {"kind": kind, "days": days}
        if index == 0 or draw(st.integers(0, 3)) == 0:
            row["date"] = day + timedelta(days=draw(st.sampled_from((0, 0, 0, 1, -1, 30))))
            day = row["date"]
        day += timedelta(days=1 if days is None else days)
        if kind == "Charge" or draw(st.integers(0, 9)) == 0:
            row["weight"] = draw(maybe(st.one_of(st.just(0.0), hundredths(100, 30000))))
            row["charges"] = draw(maybe(st.integers(0, 4)))
            row["glass"] = draw(st.sampled_from((None, None, "Clear", "Cullet", "Unknown glass")))
            row["gathers"] = draw(maybe(st.integers(0, 60)))
        if metered and draw(st.integers(0, 6 if sparse else 2)) == 0:
            reading = max(0.0, round(reading + draw(hundredths(-500, 20000)), 2))
            row["reading"] = reading
        if kind == "New meter":
            reading = draw(hundredths(0, 2000))
            row["reading"] = draw(st.sampled_from((reading, reading, None)))
            row["new_kw"] = draw(st.sampled_from((None, 14.5)))
        if draw(st.integers(0, 19)) == 0:
            row["new_kw"] = 9.5
        if draw(st.integers(0, 9)) == 0:
            row["note"] = "=1+1 & a note"
        rows.append(_without_blanks(row))
    return rows


def _tariffs(draw: Draw, most: int) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = []
    day = draw(st.sampled_from((date(2000, 1, 1), date(2023, 12, 30), date(2025, 6, 3), date(2026, 1, 20))))
    for _ in range(draw(st.integers(0, most))):
        if draw(st.integers(0, 9)) == 0:
            rows.append({})
            continue
        row: dict[str, Any] = {"start": day, "price": draw(st.sampled_from((0.1, 0.15, 0.2, 0.3, 14.0, None)))}
        day += timedelta(days=draw(st.sampled_from((3, 9, 40, 366, 0, -5))))
        if draw(st.integers(0, 2)) == 0:
            row |= {"price_two": 0.2, "share_one": 0.45, "share_two": draw(st.sampled_from((0.55, 0.3)))}
        if draw(st.integers(0, 4)) == 0:
            row |= {"price_three": 0.07, "share_three": 0.25}
        row["surcharge"] = draw(st.sampled_from((None, 0.01, -0.02)))
        row["tax"] = draw(st.sampled_from((None, 0.07, 0.2)))
        if draw(st.booleans()):
            row |= {"service": draw(MONEY), "service_per": draw(st.sampled_from((None, "Day", "Month")))}
            row["service_share"] = draw(maybe(SHARE))
        if draw(st.booleans()):
            row |= {"demand": draw(MONEY), "demand_kw": draw(maybe(hundredths(0, 3000)))}
            row["demand_share"] = draw(maybe(SHARE))
        row["block"] = draw(st.sampled_from((None, None, "Yes")))
        rows.append(_without_blanks(row))
    return rows


def _ledger(draw: Draw, most: int) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = []
    for _ in range(draw(st.integers(0, most))):
        fitted = date(2023, 11, 1) + timedelta(days=draw(st.sampled_from((0, 0, 60, 130, 580, 800))))
        row: dict[str, Any] = {
            "name": draw(st.sampled_from(("Pot", "Pot", "Elements", "Door", "Unknown part", None))),
            "installed": draw(st.sampled_from((fitted, fitted, None))),
            "retired": draw(st.sampled_from((None, fitted, fitted + timedelta(days=40), fitted - timedelta(days=3)))),
            "cost": draw(maybe(MONEY)),
            "uses_before": draw(st.sampled_from((None, None, 12.0))),
            "life": draw(st.sampled_from((None, None, 80.0, 0.0))),
            "why": draw(st.sampled_from((None, "Cracked", "Leaking", "Planned"))),
        }
        rows.append(_without_blanks(row))
    return rows


def _piece(draw: Draw, number: int) -> dict[str, Any]:
    row: dict[str, Any] = {
        "name": draw(st.sampled_from((f"Piece {number}", f"Piece {number}", "Bowl", None))),
        "size": draw(st.sampled_from((None, "6 in"))),
        "order": draw(st.sampled_from((None, 1.0, 2.0))),
        "glass": draw(st.sampled_from((None, None, "Cullet", "Unknown glass"))),
        "drawn": draw(maybe(hundredths(10, 900))),
        "gathers": draw(maybe(st.integers(0, 5).map(float))),
        "finished": draw(maybe(hundredths(10, 1000))),
        "recovered": draw(maybe(SHARE)),
        "minutes": draw(st.sampled_from((None, 0.0, 12.0, 20.0, 45.0))),
        "loss": draw(st.sampled_from((None, 0.0, 0.1, 0.95))),
        "loss_after": draw(st.sampled_from((None, None, 0.0, 0.2))),
        "seconds": draw(maybe(SHARE)),
        "second_value": draw(st.sampled_from((None, 5.0, 900.0))),
        "seconds_after": draw(maybe(SHARE)),
        "second_value_after": draw(maybe(MONEY)),
        "per_load": draw(st.sampled_from((None, 8.0, 30.0))),
        "load_share": draw(st.sampled_from((None, None, 0.05))),
        "made": draw(maybe(st.integers(0, 90).map(float))),
        "tag": draw(st.sampled_from((None, None, 0.0, 19.0, 48.0))),
        "listed": draw(YES_NO),
    }
    for key in ("first_minutes", "second_minutes", "off_minutes", "glory_minutes", "other_minutes"):
        row[key] = draw(st.sampled_from((None, None, 7.5)))
    for key in ("colour_weight", "colour_price", "colour_waste", "materials", "packing"):
        row[key] = draw(st.sampled_from((None, 0.25, 3.0)))
    return _without_blanks(row)


def _channel(draw: Draw, number: int) -> dict[str, Any]:
    row: dict[str, Any] = {
        "name": draw(st.sampled_from((f"Way {number}", f"Way {number}", None))),
        "tag_share": draw(st.sampled_from((None, 1.0, 0.5, 0.0))),
        "commission": draw(st.sampled_from((None, 0.0, 0.4, 0.5, 1.0))),
        "fee": draw(st.sampled_from((None, 0.03, 0.065, 0.6))),
        "fee_base": draw(st.sampled_from((None, "What is left", "Tag", "Tag with tax"))),
        "fixed_fee": draw(st.sampled_from((None, 0.3))),
        "postage_paid": draw(st.sampled_from((None, 9.5))),
        "postage_charged": draw(st.sampled_from((None, 6.0, 60.0))),
        "lost_share": draw(st.sampled_from((None, 0.03, 1.0))),
        "lost_how": draw(st.sampled_from((None, "Replaced", "Refunded"))),
        "margin": draw(st.sampled_from((None, 0.0, 0.3, 0.5, 1.0))),
        "must_earn": draw(YES_NO),
    }
    return _without_blanks(row)


@st.composite
def studios(draw: Draw, capacity: Capacity = SMALL) -> Studio:
    """A studio that fits in a book of this capacity."""
    meter = draw(st.sampled_from(("Hour meter", "Hour meter", "kWh meter", "No meter")))
    weights = st.sampled_from((None, 1.0, 1.0, 0.6, 0.0))
    uses = st.sampled_from((None, 0.0, 120.0, 260.0))
    data: dict[str, Any] = {
        "shop": _without_blanks(
            {
                "studio_name": draw(st.sampled_from((None, "Shop"))),
                "weight_unit": draw(st.sampled_from(("lb", "kg"))),
                "currency": draw(st.sampled_from(("USD", "EUR", "JPY", "KWD"))),
                "sales_tax": draw(st.sampled_from((None, 0.0, 0.07, 0.21))),
                "tax_inside": draw(st.sampled_from(("Yes", "No"))),
                "pricing_date": draw(
                    st.sampled_from((None, None, date(2024, 2, 29), date(2025, 7, 1), date(2030, 1, 1)))
                ),
                "period_from": draw(st.sampled_from((None, date(2024, 3, 1)))),
                "period_to": draw(st.sampled_from((None, date(2024, 3, 20), date(2025, 6, 10)))),
                "ordinary_weight": draw(st.sampled_from((None, 0.0, 5000.0))),
                "ordinary_hours": draw(st.sampled_from((None, 0.0, 900.0))),
                "window_hours": draw(st.sampled_from((None, 0.0, 400.0))),
                "minutes_a_day": draw(st.sampled_from((None, 0.0, 240.0))),
                "share_in_pieces": draw(maybe(SHARE)),
                "share_good": draw(maybe(SHARE)),
                "gather_weight": draw(st.sampled_from((None, None, 0.6))),
                "furnace_by": draw(st.sampled_from(("Weight", "Gathers", "Bench minutes"))),
                "tag_step": draw(st.sampled_from((1.0, 0.05, 5.0, 0.5))),
                "tag_ending": draw(st.sampled_from((None, 0.0, 0.95, 0.9))),
                "made_when": draw(st.sampled_from(("All time", "Between your dates"))),
                "price_limit": draw(st.sampled_from((None, 0.5))),
                "rank_channel": draw(st.sampled_from((None, "Way 2", "Nowhere"))),
                "picture_piece": draw(st.sampled_from((None, "Bowl", "Nothing"))),
            }
        )
        | {
            "share_drawn": draw(st.sampled_from((1.0, 0.8, 0.3, None, 0.0))),
            "paid_factor": draw(st.sampled_from((1.0, None, 1.2))),
            "recovery_tolerance": draw(st.sampled_from((0.25, None))),
        },
        "furnace": _without_blanks(
            {
                "meter_kind": meter,
                "opening_reading": draw(st.sampled_from((None, 0.0, 40.0))),
                "connected_kw": draw(st.sampled_from((None, 12.0, 12.0, 0.0))),
                "measured_amps": draw(st.sampled_from((None, 50.0))),
                "measured_volts": draw(st.sampled_from((None, 240.0))),
                "measured_phases": draw(st.sampled_from((None, 1, 3))),
                "nameplate_kw": draw(st.sampled_from((None, 14.0))),
                "nameplate_volts": draw(st.sampled_from((None, 240.0, 0.0))),
                "supply_volts": draw(st.sampled_from((None, 230.0))),
                "cullet_share": draw(maybe(SHARE)),
                "furnace_purchase": draw(st.sampled_from((None, 0.0, 12000.0))),
                "furnace_worth_end": draw(st.sampled_from((None, 500.0))),
                "furnace_life": draw(st.sampled_from((None, 0.0, 10.0))),
                "furnace_maintenance": draw(st.sampled_from((None, 300.0))),
            }
        ),
        "wear": {
            "wear_method": draw(st.sampled_from(("Used up", "Paid"))),
            "wear_counted": draw(st.sampled_from(("Count", "Count", "None"))),
        },
        "day_kinds": [_without_blanks({"weighting": draw(weights), "use": draw(uses)}) for _ in KINDS],
        "glasses": [
            _without_blanks({"name": name, "price": draw(st.sampled_from((None, 0.0, 0.85, 1.1)))})
            for name in ("Clear", "Cullet")[: capacity.glasses]
        ],
        "people": [
            _without_blanks({"rate": draw(st.sampled_from((None, 0.0, 19.0, 32.0))), "hired": draw(YES_NO)})
            for _ in range(4)
        ],
        "overheads": [
            _without_blanks({"amount": draw(maybe(MONEY)), "per": draw(st.sampled_from((None, "Month", "Year")))})
            for _ in range(draw(st.integers(0, capacity.overheads)))
        ],
        "equipment": [
            _without_blanks(
                {
                    "cost": draw(st.sampled_from((None, 0.0, 4.5))),
                    "per": draw(st.sampled_from((None, "Hour", "Day", "Load"))),
                    "hours": draw(st.sampled_from((None, 14.0))),
                }
            )
            for _ in range(3)
        ],
        "channels": [_channel(draw, number) for number in range(1, draw(st.integers(0, 6)) + 1)],
        "tariffs": _tariffs(draw, capacity.tariffs),
        "log": _log(draw, meter != "No meter", capacity),
        "part_kinds": [
            _without_blanks(
                {
                    "name": name,
                    "basis": draw(st.sampled_from((None, "Charges", "Hot days", "Heat-ups"))),
                    "life": draw(st.sampled_from((None, 100.0, 0.0))),
                    "cost_now": draw(st.sampled_from((None, None, 700.0))),
                    "gone": draw(YES_NO),
                }
            )
            for name in ("Pot", "Elements", "Door")[: capacity.part_kinds]
        ],
        "ledger": _ledger(draw, capacity.ledger),
        "pieces": [_piece(draw, number) for number in range(draw(st.integers(0, capacity.pieces)))],
    }
    return Studio.model_validate(data)


def corpus(count: int, capacity: Capacity = SMALL) -> list[Studio]:
    """The same ``count`` generated studios every time."""
    found: list[Studio] = []

    @settings(
        max_examples=count,
        derandomize=True,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(studios(capacity))
    def collect(studio: Studio) -> None:
        found.append(studio)

    collect()
    return found
