from __future__ import annotations

from typing import Any

import pytest

from meltbook.method import Results
from tests.unit.method.studios import day, kwh_log, on

POT = {"name": "Pot", "basis": "Charges", "life": 50}
ELEMENTS = {"name": "Elements", "basis": "Hot days", "life": 200}
FLOOR = {"name": "Floor", "basis": "Heat-ups", "life": 4}


def furnace_with(*parts: dict[str, Any], kinds: list[dict[str, Any]] | None = None, **more: Any) -> Results:
    """20 charges in January on 20 hot days after one start, then 10 idle days; all measured."""
    return kwh_log(
        day("Heat-up", 1, date="2025-01-01"),
        day("Charge", 20, charges=20, weight=1000),
        day("Idle", 10, reading=3100),
        part_kinds=kinds or [POT, ELEMENTS, FLOOR],
        ledger=list(parts),
        **more,
    )


def test_a_part_in_use_is_shared_over_its_expected_life() -> None:
    results = furnace_with({"name": "Pot", "installed": "2025-01-01", "cost": 500})
    assert results.value("part_rate", 1) == 10  # 500 / max(50, 20)
    assert results.value("part_used_up", 1) == 200
    assert results.value("part_left", 1) == 30
    assert results.value("happened_wear") == pytest.approx(0.2)  # 200 / 1000
    assert results.value("price_wear") == pytest.approx(0.2)  # 10 x 20 charges / 1000


def test_a_part_that_outlives_its_life_gets_cheaper() -> None:
    results = furnace_with({"name": "Pot", "installed": "2025-01-01", "cost": 500, "uses_before": 60})
    assert results.value("part_life_used", 1) == 80  # 60 + 20 charges
    assert results.value("part_rate", 1) == 6.25
    assert results.value("part_left", 1) == 0
    # to price with stays at the expected life: 500 / 50 x 20 / 1000
    assert results.value("price_wear") == pytest.approx(0.2)


def test_each_basis_counts_its_own_uses() -> None:
    results = furnace_with(
        {"name": "Pot", "installed": "2025-01-01", "cost": 500},
        {"name": "Elements", "installed": "2025-01-01", "cost": 620},
        {"name": "Floor", "installed": "2025-01-01", "cost": 80},
    )
    assert results.columns["part_log_uses"][:3] == [20, 31, 1]
    assert results.columns["part_rate"][:3] == [10, 3.1, 20]
    # 1 start x 20 + 1 day x 3.1
    assert results.value("row_wear", 1) == pytest.approx(23.1)
    assert results.value("row_wear", 2) == pytest.approx(20 * 10 + 20 * 3.1)
    assert results.value("happened_wear") == pytest.approx((200 + 31 * 3.1 + 20) / 1000)


def test_a_row_pays_for_the_parts_in_place_on_its_first_day() -> None:
    results = furnace_with(
        {"name": "Pot", "installed": "2024-01-01", "retired": "2025-01-10", "cost": 500},
        {"name": "Pot", "installed": "2025-01-10", "cost": 600},
    )
    assert results.columns["part_log_uses"][:2] == [20, 0]
    assert results.value("wear_a_charge", 2) == 25  # 500 / 20: the row begins on 2 January
    assert results.value("wear_a_charge", 3) == 12  # 600 / 50 from 22 January on


def test_three_retired_parts_say_how_long_one_lasts() -> None:
    parts = [
        {"name": "Pot", "installed": f"2020-0{month}-01", "retired": f"2020-0{month + 1}-01", "cost": 100}
        | {"uses_before": uses}
        for month, uses in ((1, 30), (2, 40), (3, 35))
    ]
    results = furnace_with(*parts, {"name": "Pot", "installed": "2025-01-01", "cost": 500})
    # (30 + 40 + 35 + 20 so far) / 3 retired
    assert results.value("kind_of_part_mean", 1) == pytest.approx(125 / 3)
    assert results.value("part_expected", 4) == pytest.approx(125 / 3)
    two = furnace_with(*parts[:2], {"name": "Pot", "installed": "2025-01-01", "cost": 500})
    assert two.value("kind_of_part_mean", 1) == 50


def test_a_pot_that_failed_early_is_lost_in_part_but_a_planned_one_is_not() -> None:
    pot = {"name": "Pot", "installed": "2025-01-01", "retired": "2025-01-31", "cost": 500}
    cracked = furnace_with({**pot, "why": "Cracked"})
    assert cracked.value("part_lost_early", 1) == pytest.approx(300)  # 500 x (1 - 20 / 50)
    assert cracked.value("lost_early_total") == pytest.approx(300)
    assert furnace_with({**pot, "why": "Planned"}).value("part_lost_early", 1) is None


def test_a_part_that_never_served_is_used_up_when_it_goes() -> None:
    results = furnace_with(
        {"name": "Pot", "installed": "2025-01-25", "retired": "2025-01-28", "cost": 500, "why": "Cracked"}
    )
    assert results.value("part_unused_cost", 1) == 500
    assert results.value("period_unused", 1) == 500
    assert results.value("part_lost_early", 1) == 500
    assert results.value("happened_wear") == pytest.approx(0.5)


def test_paid_counts_what_was_fitted() -> None:
    parts = ({"name": "Pot", "installed": "2025-01-01", "cost": 500},)
    results = furnace_with(*parts, wear={"wear_method": "Paid"})
    assert results.value("period_wear", 1) == 500
    dates = {"period_from": "2025-01-02", "period_to": "2025-12-31"}
    assert furnace_with(*parts, wear={"wear_method": "Paid"}, shop=dates).value("chosen_wear") == 0


def test_wear_may_be_set_to_none_or_not_be_known() -> None:
    assert furnace_with(wear={"wear_counted": "None"}).value("price_wear") == 0
    assert furnace_with(wear={"wear_counted": "None"}).value("happened_wear") == 0
    assert furnace_with().value("price_wear") is None
    no_life = [{"name": "Pot", "basis": "Charges"}]
    unknown = furnace_with({"name": "Pot", "installed": "2025-01-01", "cost": 500}, kinds=no_life)
    assert unknown.value("part_unknown", 1) == 1
    assert unknown.value("happened_wear") is None
    assert unknown.value("price_wear") is None


def test_prices_go_by_what_serves_or_served_last() -> None:
    first = {"name": "Pot", "installed": "2024-01-01", "retired": "2024-06-01", "cost": 400, "uses_before": 9}
    second = {"name": "Pot", "installed": "2024-06-01", "retired": "2025-01-15", "cost": 450}
    results = furnace_with(first, second)
    assert results.columns["part_newest"][:2] == [0, 1]
    assert results.columns["part_prices"][:2] == [0, 1]
    assert results.value("part_now_rate", 2) == 9  # 450 / 50
    gone = furnace_with(first, second, kinds=[{**POT, "gone": "Yes"}])
    assert gone.columns["part_prices"][:2] == [0, 0]
    assert gone.value("price_wear") == 0
    now = furnace_with(first, second, kinds=[{**POT, "cost_now": 700}])
    assert now.value("part_now_rate", 2) == 14  # 700 / 50


def test_of_two_parts_fitted_on_one_day_the_lower_row_is_newer() -> None:
    part = {"name": "Pot", "installed": "2025-01-01", "cost": 500}
    results = furnace_with(part, part)
    assert results.columns["part_newest"][:2] == [0, 1]
    assert results.columns["part_order"] == [1, 2, 3, 4, 5, 6]


def test_faulty_rows_are_counted() -> None:
    results = furnace_with(
        {"name": "Kettle", "installed": "2025-01-01", "cost": 5},
        {"name": "Pot", "cost": 5},
        {"name": "Pot", "installed": "2025-01-05", "retired": "2025-01-01", "cost": 5},
        {"note": "only a note"},
    )
    assert results.columns["part_fault"] == [1, 1, 1, 0, 0, 0]
    assert results.value("check_found", 18) == 3
    assert results.value("part_end", 3) == on("2025-01-01")
