"""A student's numbers as a studio: what the reference engine of the big workbook answers to an exercise.

Each function takes the drawn numbers, builds the plainest studio that poses the same question, and gives for each
step what ``meltbook.method`` says. Nothing here reads an exercise's formulas; what the step means is settled by
docs/method.md. A step that the method has no figure of its own for (a sum on the way, a number as it is typed) is
left out, or worked back from figures that it has.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from meltbook.method import Results
from tests.unit.method.studios import day, run

Given = Mapping[str, float]
Columns = Mapping[str, Sequence[float | str | None]]
ALL_TIME = 1
FIRST_DAY = "2025-01-01"


def _number(results: Results, name: str, row: int | None = None) -> float:
    value = results.value(name, row)
    assert isinstance(value, int | float), f"{name}: {value!r}"
    return float(value)


def _numbers(column: Sequence[float | str | None]) -> list[float | None]:
    return [each if isinstance(each, int | float) else None for each in column]


def _used(reading: float | None) -> float:
    assert reading is not None
    return reading


def meter_and_bill(given: Given, columns: Columns, weight: str) -> dict[str, float]:
    """A month of 30 days between two readings; the month's service charge is spread over its days."""
    opening, closing = _numbers(columns["meter_reading"])
    tax = given["tax_share"]
    results = run(
        shop={"weight_unit": weight},
        furnace={"connected_kw": given["connected_kw"], "opening_reading": opening},
        tariffs=[
            {
                "start": FIRST_DAY,
                "price": given["price_cents"] / 100,
                "tax": tax,
                "service": given["service_charge"] / 30,
                "service_per": "Day",
            }
        ],
        log=[day("Idle", 30, date=FIRST_DAY, reading=closing)],
    )
    use = _number(results, "period_use", ALL_TIME)
    energy, standing = _number(results, "period_cost", ALL_TIME), _number(results, "period_standing", ALL_TIME)
    return {
        "hours_on": use / given["connected_kw"],
        "energy_used": use,
        "energy_cost": energy / (1 + tax),
        "before_tax": (energy + standing) / (1 + tax),
        "tax": (energy + standing) * tax / (1 + tax),
        "bill": energy + standing,
        "all_in_price": (energy + standing) / use,
        "price_money": _number(results, "price_now") / (1 + tax),
    }


def short_log(given: Given, columns: Columns, weight: str) -> dict[str, float]:
    """The log as it stands; its first row is the opening reading."""
    readings, weights, days = (_numbers(columns[f"log_{name}"]) for name in ("reading", "weight", "days"))
    kinds = [str(kind) for kind in columns["log_kind"]]
    rows = []
    for kind, long, reading, charged in list(zip(kinds, days, readings, weights, strict=True))[1:]:
        row: dict[str, Any] = {} if rows else {"date": FIRST_DAY}
        rows.append(day(kind, round(_used(long)), reading=reading, weight=charged, **row))
    results = run(
        shop={"weight_unit": weight},
        furnace={"connected_kw": given["connected_kw"], "opening_reading": readings[0]},
        tariffs=[{"start": FIRST_DAY, "price": given["price"]}],
        log=rows,
    )
    use = _number(results, "period_use", ALL_TIME)
    return {
        "hours_on": use / given["connected_kw"],
        "energy_used": use,
        "hot_days": _number(results, "period_hot_days", ALL_TIME),
        "energy_hot_day": _number(results, "use_a_day", ALL_TIME),
        "energy_cost": _number(results, "period_cost", ALL_TIME),
        "weight": _number(results, "period_weight", ALL_TIME),
        "energy_weight": _number(results, "use_a_weight", ALL_TIME),
        "cost_weight": _number(results, "step_hot", ALL_TIME),
    }


def ladder(given: Given, columns: Columns, weight: str) -> dict[str, float]:
    """A year without a meter, use typed a day of each kind; read is the ladder to price with."""
    kinds = {"Heat-up": "heatup", "Charge": "charge", "Blow": "blow", "Idle": "idle"}
    rows = []
    for kind, name in kinds.items():
        more: dict[str, Any] = {} if rows else {"date": FIRST_DAY}
        if kind == "Charge":
            more |= {"charges": round(given["charge_days"]), "weight": given["glass"]}
        rows.append(day(kind, round(given[f"{name}_days"]), **more))
    results = run(
        shop={
            "weight_unit": weight,
            "share_in_pieces": given["share_pieces"],
            "share_good": given["share_good"],
        },
        furnace={"meter_kind": "No meter", "furnace_purchase": 0},
        day_kinds=[{"use": given[f"{name}_use"]} for name in kinds.values()],
        tariffs=[{"start": FIRST_DAY, "price": given["price"]}],
        glasses=[{"name": "Clear", "price": given["raw_price"]}],
        log=rows,
        part_kinds=[
            {"name": "Pot", "basis": "Charges", "life": given["pot_life"]},
            {"name": "Elements", "basis": "Hot days", "life": given["elements_life"]},
        ],
        ledger=[
            {"name": "Pot", "installed": FIRST_DAY, "cost": given["pot_cost"]},
            {"name": "Elements", "installed": FIRST_DAY, "cost": given["elements_cost"]},
        ],
    )
    melt, hot = _number(results, "price_melt"), _number(results, "price_hot")
    glass, price = given["glass"], given["price"]
    return {
        "melt_energy": melt * glass / price,
        "melt_cost": melt,
        "hot_energy": _number(results, "period_use", ALL_TIME),
        "hot_cost": hot,
        "wear": _number(results, "price_wear"),
        "glass_cost": _number(results, "price_line_glass"),
        "in_pieces": _number(results, "price_line_sold"),
    }


def piece(given: Given, columns: Columns, weight: str) -> dict[str, float]:
    """10 charge days of 1,000 kWh for 500 of glass, at the price that makes the furnace's rate what it is."""
    results = run(
        shop={"weight_unit": weight, "ordinary_hours": given["ordinary_hours"]},
        furnace={"meter_kind": "No meter", "furnace_purchase": 0},
        wear={"wear_counted": "None"},
        day_kinds=[{}, {"use": 1000}],
        tariffs=[{"start": FIRST_DAY, "price": given["furnace_rate"] * 500 / 10_000}],
        log=[day("Charge", 10, date=FIRST_DAY, charges=10, weight=500)],
        glasses=[{"name": "Clear", "price": given["raw_price"]}],
        people=[{"rate": given["wage"]}],
        overheads=[{"name": "Rent and more", "category": "Rent", "amount": given["overhead_year"], "per": "Year"}],
        equipment=[{}, {"cost": given["annealing"], "per": "Load"}],
        pieces=[
            {
                "name": "Bowl",
                "drawn": given["finished"] + given["left_over"],
                "finished": given["finished"],
                "minutes": given["minutes"],
                "per_load": 1,
                "loss": given["lost"],
                "packing": given["packing"],
            }
        ],
    )
    return {
        "drawn": _number(results, "piece_drawn_used", 1),
        "furnace": _number(results, "cost_furnace", 1),
        "raw_glass": _number(results, "cost_glass", 1),
        "wages": _number(results, "cost_gaffer", 1),
        "overhead_hour": _number(results, "overhead_hour"),
        "overhead": _number(results, "cost_overhead", 1),
        "spent": _number(results, "spent_started", 1),
        "cost_good": _number(results, "cost_before_packing", 1),
        "ready": _number(results, "cost_good", 1),
    }


def three_channels(given: Given, columns: Columns, weight: str) -> dict[str, float]:
    """A vase made of materials and the owner's hours; the gallery alone must earn the margin."""
    results = run(
        shop={"weight_unit": weight, "tag_step": 0.01},
        people=[{"rate": given["own_wage"]}],
        channels=[
            {
                "name": "Own shop",
                "fee": given["card_share"],
                "fee_base": "Tag",
                "fixed_fee": given["card_fixed"],
            },
            {"name": "Wholesale", "tag_share": given["wholesale_share"]},
            {
                "name": "Gallery",
                "commission": given["commission"],
                "margin": given["target"],
                "must_earn": "Yes",
            },
        ],
        **_melt(use=1, price=0.1),
        pieces=[
            {
                "name": "Vase",
                "drawn": 0,
                "materials": given["other_costs"],
                "minutes": given["own_hours"] * 60,
                "loss": 0,
                "tag": given["tag"],
            }
        ],
    )
    margin = _number(results, "margin_two", 1)
    return {
        "cost": _number(results, "cost_good", 1),
        "net_shop": _number(results, "net_one", 1),
        "net_wholesale": _number(results, "net_two", 1),
        "net_gallery": _number(results, "net_three", 1),
        "margin_wholesale": margin,
        "markup_wholesale": margin / (1 - margin),  # the method's page: m = k / (1 + k)
        "tag_needed": _number(results, "tag_exact_three", 1),
        "earn_hour": _number(results, "earn_three", 1),
    }


def new_tariff(given: Given, columns: Columns, weight: str) -> dict[str, float]:
    """A piece that draws 1 of glass, which takes the piece's energy; the letter is typed as a percentage."""
    results = run(
        shop={"weight_unit": weight, "tag_step": given["tag_step"]},
        **_melt(
            use=given["energy_piece"],
            price=given["price_before"],
            surcharge=given["surcharge"],
            tax=given["tax_share"],
        ),
        letter={"letter_start": "2026-01-01", "letter_change": given["rise"]},
        people=[{"rate": 0}],
        channels=[{"name": "Own shop", "margin": given["target"], "must_earn": "Yes"}],
        pieces=[{"name": "Bowl", "drawn": 1, "minutes": 0, "materials": given["other_costs"], "loss": 0}],
    )
    return {
        "all_in_before": _number(results, "price_before"),
        "all_in_after": _number(results, "price_after"),
        "cost_before": _number(results, "cost_good", 1),
        "tag_before": _number(results, "tag_suggested", 1),
        "cost_after": _number(results, "cost_after", 1),
        "margin_old_tag": _number(results, "margin_after", 1),
        "tag_needed": _number(results, "after_wanted", 1),
        "tag_after": _number(results, "tag_after", 1),
        "tag_change": _number(results, "tag_change", 1),
    }


def _melt(*, use: float, **tariff: float) -> dict[str, Any]:
    """A furnace that melts 1 of glass a day with this energy, without wear, ownership or raw glass."""
    return {
        "furnace": {"meter_kind": "No meter", "furnace_purchase": 0},
        "wear": {"wear_counted": "None"},
        "day_kinds": [{}, {"use": use}],
        "tariffs": [{"start": FIRST_DAY, **tariff}],
        "log": [day("Charge", 10, date=FIRST_DAY, charges=10, weight=10)],
    }


REFERENCE: dict[str, Callable[[Given, Columns, str], dict[str, float]]] = {
    "meter-and-bill": meter_and_bill,
    "short-log": short_log,
    "ladder": ladder,
    "piece": piece,
    "three-channels": three_channels,
    "new-tariff": new_tariff,
}
