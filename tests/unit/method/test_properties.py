"""What must not change a figure: blank rows, rows cut in two, another unit of weight."""

from __future__ import annotations

import random
from typing import Any

import pytest

from meltbook.method import Results
from meltbook.studio.capacity import Capacity
from tests.unit.method.studios import day, numbers, run

ROOM = Capacity(log=80, campaigns=20)
MONEY = [
    *(f"happened_{step}" for step in ("charge", "melt", "hot", "standing", "wear", "glass", "own", "line_own")),
    *(f"price_{step}" for step in ("charge", "melt", "hot", "standing", "wear", "glass", "own", "line_own")),
]


def studio(chance: random.Random) -> dict[str, Any]:
    """A furnace with two letters, two pots and two glasses, read now and then."""
    log = [day("Heat-up", 2, date="2025-01-10")]
    reading = 0.0
    for _ in range(20):
        kind = chance.choice(["Charge", "Charge", "Blow", "Idle", "Cold", "Heat-up"])
        row = day(kind, chance.randint(1, 6))
        if kind == "Charge":
            row |= {"charges": chance.randint(1, 5), "weight": chance.randint(10, 90)}
            row |= {"glass": chance.choice(["Clear", "Opal", None])}
        if chance.random() < 0.4:
            reading += chance.randint(50, 500)
            row["reading"] = reading
        log.append(row)
    log.append(day("Charge", 1, charges=1, weight=20, reading=reading + 300))
    return {
        "furnace": {"meter_kind": "kWh meter", "furnace_purchase": 9000, "furnace_life": 9},
        "day_kinds": [{}, {}, {}, {"weighting": 0.7}],
        "tariffs": [
            {"start": "2025-01-01", "price": 0.11, "service": 31},
            {"start": "2025-02-03", "price": 0.17, "service": 44, "tax": 0.1},
        ],
        "glasses": [{"name": "Clear", "price": 1.5}, {"name": "Opal", "price": 4}],
        "part_kinds": [
            {"name": "Pot", "basis": "Charges", "life": 30},
            {"name": "Elements", "basis": "Hot days", "life": 300},
        ],
        "ledger": [
            {
                "name": "Pot",
                "installed": "2025-01-01",
                "retired": "2025-02-01",
                "cost": 700,
                "why": "Cracked",
            },
            {"name": "Pot", "installed": "2025-02-01", "cost": 800},
            {"name": "Elements", "installed": "2024-01-01", "cost": 900, "uses_before": 50},
        ],
        "log": log,
    }


def money(results: Results) -> list[object]:
    return [results.value(name) for name in MONEY]


@pytest.mark.parametrize("seed", range(20))
def test_blank_rows_change_no_money(seed: int) -> None:
    chance = random.Random(seed)
    plain = studio(chance)
    blank: dict[str, Any] = {}
    spaced = {**plain, "log": [row for each in plain["log"] for row in (each, blank)]}
    before, after = run(capacity=ROOM, **plain), run(capacity=ROOM, **spaced)
    assert money(after) == pytest.approx(money(before))
    assert after.columns["period_cost"] == pytest.approx(before.columns["period_cost"])


@pytest.mark.parametrize("seed", range(20))
def test_a_row_cut_in_two_changes_no_energy(seed: int) -> None:
    plain = studio(random.Random(seed))
    cut: list[dict[str, Any]] = []
    for row in plain["log"]:
        days = row["days"]
        if days > 1:
            first = {**row, "days": 1} | ({"reading": None} if "reading" in row else {})
            second = {key: value for key, value in row.items() if key not in ("date", "charges", "weight")}
            cut += [first, {**second, "days": days - 1, "charges": 0}]
        else:
            cut.append(row)
    before, after = run(capacity=ROOM, **plain), run(capacity=ROOM, **{**plain, "log": cut})
    for name in ("happened_hot", "happened_melt", "happened_standing", "happened_glass", "happened_own"):
        assert after.value(name) == pytest.approx(before.value(name)), name
    assert after.value("campaign_count") == before.value("campaign_count")


@pytest.mark.parametrize("seed", range(10))
def test_kilograms_and_pounds_come_to_the_same_money(seed: int) -> None:
    pounds = studio(random.Random(seed))
    factor = 0.45359237
    kilograms = {
        **pounds,
        "shop": {"weight_unit": "kg"},
        "log": [{**row, "weight": row["weight"] * factor} if "weight" in row else row for row in pounds["log"]],
        "glasses": [{**glass, "price": glass["price"] / factor} for glass in pounds["glasses"]],
    }
    before, after = run(capacity=ROOM, **pounds), run(capacity=ROOM, **kilograms)
    scaled = [value / factor if isinstance(value, float) else value for value in money(before)]
    assert money(after) == pytest.approx(scaled)
    assert after.value("furnace_efficiency") == pytest.approx(before.value("furnace_efficiency"))


@pytest.mark.parametrize("seed", range(10))
def test_sums_come_out_the_same_by_two_routes(seed: int) -> None:
    results = run(capacity=ROOM, **studio(random.Random(seed)))

    def both(one: str, other: str) -> float:
        return sum(a * b for a, b in zip(numbers(results, one), numbers(results, other), strict=True))

    left = results.value("last_pending")
    assert isinstance(left, float)
    assert sum(numbers(results, "energy_used")) + left == pytest.approx(sum(numbers(results, "reading_use")))
    assert sum(numbers(results, "row_wear")) == pytest.approx(both("part_rate", "part_log_uses"))
    assert sum(numbers(results, "energy_cost")) == pytest.approx(both("energy_used", "mean_price"))
    price, key = results.ends["tariff_all_in"], results.ends["tariff_key"]
    assert isinstance(price, float) and isinstance(key, int)
    by_parts = price * key - both("tariff_key", "tariff_change")
    assert results.ends["tariff_integral"] == pytest.approx(by_parts)
    for name in ("period_weight", "period_cost", "period_days", "period_standing", "period_row_wear"):
        everything, _, _, *campaigns = numbers(results, name)
        assert sum(campaigns) == pytest.approx(everything), name
