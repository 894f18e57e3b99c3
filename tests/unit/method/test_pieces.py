from __future__ import annotations

from typing import Any

import pytest

from meltbook.method import Results
from tests.unit.method.studios import day, melt, run

GAFFER = [{"rate": 30}]


def piece(piece: dict[str, Any] | None = None, **more: Any) -> Results:
    """A bowl of 1.5 drawn and 10 bench minutes, in the furnace whose hot days cost 0.64 a weight."""
    shop = {"share_drawn": 0.8, **more.pop("shop", {})}
    typed = {"name": "Bowl", "drawn": 1.5, "minutes": 10, **(piece or {})}
    return run(**melt(shop=shop, people=more.pop("people", GAFFER), pieces=[typed], **more))


def test_the_furnace_is_charged_by_weight_gathers_or_minutes() -> None:
    gathered = {"gathers": 2}
    # pool 0.64 x 500 = 320
    assert piece().value("cost_furnace", 1) == pytest.approx(1.2)  # 320 / 400 x 1.5
    by_gather = piece(gathered, shop={"furnace_by": "Gathers"})
    assert by_gather.value("cost_furnace", 1) == pytest.approx(1.6)  # 320 / 400 gathers x 2
    by_minute = piece(shop={"furnace_by": "Bench minutes", "window_hours": 80})
    assert by_minute.value("cost_furnace", 1) == pytest.approx(320 / 4800 * 10)
    ordinary = piece(shop={"furnace_by": "Bench minutes", "ordinary_hours": 730})
    assert ordinary.value("window_minutes") == pytest.approx(2400)  # 730 x 60 x 20 / 365
    assert piece(shop={"furnace_by": "Bench minutes"}).value("cost_furnace", 1) is None


def test_glass_drawn_comes_from_gathers_where_it_is_not_typed() -> None:
    # 500 x 0.8 / 400 gathers = 1 a gather
    results = piece({"drawn": None, "gathers": 3})
    assert results.value("gather_weight_used") == pytest.approx(1.0)
    assert results.value("piece_drawn_used", 1) == pytest.approx(3.0)
    typed = piece({"drawn": None, "gathers": 3}, shop={"gather_weight": 0.7})
    assert typed.value("piece_drawn_used", 1) == pytest.approx(2.1)
    assert piece({"drawn": None}).value("piece_drawn_used", 1) is None


def test_raw_glass_gives_back_what_is_recovered() -> None:
    glasses = [{"name": "Clear", "price": 2}, {"name": "Opal", "price": 5}]
    assert piece(glasses=glasses).value("cost_glass", 1) == 3
    back = {"finished": 1.0, "recovered": 0.5}
    assert piece(back, glasses=glasses).value("cost_glass", 1) == 2.5  # (1.5 - 0.5 x 0.5) x 2
    heavier = {"finished": 9, "recovered": 0.5}
    assert piece(heavier, glasses=glasses).value("cost_glass", 1) == 3
    assert piece({"glass": "Opal"}, glasses=glasses).value("cost_glass", 1) == 7.5
    unknown = piece({"glass": "Bottle"}, glasses=glasses)
    assert unknown.value("piece_glass_row", 1) == 0
    assert unknown.value("cost_glass", 1) is None
    assert unknown.value("check_found", 17) == 1


def test_people_and_their_paid_hours() -> None:
    people = [{"rate": 30}, {"rate": 12}, {"rate": 18}]
    minutes = {"first_minutes": 10, "second_minutes": 20, "off_minutes": 6}
    results = piece(minutes, people=people, shop={"paid_factor": 1.5})
    assert results.value("cost_gaffer", 1) == pytest.approx(7.5)  # 10 / 60 x 30 x 1.5
    assert results.value("cost_first", 1) == pytest.approx(3)
    assert results.value("cost_second", 1) == pytest.approx(9)
    assert results.value("cost_off", 1) == pytest.approx(3)  # at the gaffer's rate, without the factor


def test_overhead_follows_the_bench() -> None:
    rent = [{"name": "Rent", "amount": 100, "per": "Month"}]
    results = piece(overheads=rent, shop={"ordinary_hours": 600})
    assert results.value("overhead_hour") == 2
    assert results.value("cost_overhead", 1) == pytest.approx(2 / 6)
    assert piece(overheads=rent).value("overhead_hour") is None
    assert piece(overheads=[{"name": "Rent", "amount": 0}]).value("overhead_hour") == 0
    assert piece().value("overhead_hour") is None
    # 1200 x 20 / 365 less 10 hours at 2
    idle_bench = piece(overheads=rent, shop={"ordinary_hours": 600, "window_hours": 10})
    assert idle_bench.value("rent_not_earned") == pytest.approx(1200 * 20 / 365 - 20)


def test_one_loss_is_borne_by_everything() -> None:
    results = piece({"loss": 0.2, "off_minutes": 6, "packing": 1})
    # (1.2 + 5 + 3) / 0.8 + 1
    assert results.value("kiln_share", 1) == 1
    assert results.value("cost_good", 1) == pytest.approx(12.5)
    assert results.value("cost_loss", 1) == pytest.approx(11.5 - 9.2)
    assert results.value("bench_hours_good", 1) == pytest.approx(10 / 60 / 0.8)


def test_a_second_loss_spares_the_kiln_what_broke_before_it() -> None:
    results = piece({"loss": 0.2, "loss_after": 0.0, "off_minutes": 6})
    # (1.2 + 5 + 0.8 x 3) / 0.8
    assert results.value("kiln_share", 1) == pytest.approx(0.8)
    assert results.value("cost_good", 1) == pytest.approx(10.75)


def test_seconds_bring_something_back() -> None:
    results = piece({"loss": 0.2, "seconds": 0.5, "second_value": 4})
    assert results.value("seconds_credit", 1) == pytest.approx(0.4)
    assert results.value("cost_good", 1) == pytest.approx((6.2 - 0.4) / 0.8)


def test_the_lowest_cost_leaves_out_the_owner_and_the_rent() -> None:
    results = piece(overheads=[{"name": "Rent", "amount": 900}], shop={"ordinary_hours": 100})
    assert results.value("low_good", 1) == pytest.approx(0.3)  # 1.5 x 0.16 / 0.8
    hired = piece(people=[{"rate": 30, "hired": "Yes"}])
    assert hired.value("low_good", 1) == pytest.approx(5.3)
    assert hired.value("own_hours_good", 1) == 0


def test_a_glory_hole_that_burns_all_day_is_not_driven_by_a_piece() -> None:
    shared = [{"cost": 60, "per": "Day"}]
    results = piece(equipment=shared, shop={"minutes_a_day": 240})
    assert results.value("cost_glory", 1) == pytest.approx(2.5)
    assert results.value("low_good", 1) == pytest.approx(0.3)
    hourly = piece({"glory_minutes": 30}, equipment=[{"cost": 6, "per": "Hour"}])
    assert hourly.value("low_good", 1) == pytest.approx(3.3)


def test_melting_days_stand_in_where_one_more_charge_is_not_known() -> None:
    log = [day("Charge", 2, date="2025-03-01", weight=100)]
    results = run(
        furnace={"meter_kind": "kWh meter"},
        tariffs=[{"start": "2020-01-01", "price": 0.1}],
        log=[{**log[0]}, day("Idle", 2, reading=400)],
    )
    assert results.value("low_energy") == pytest.approx(0.2)  # 200 kWh x 0.10 / 100
    note = "One more charge is not known here, so melting and blowing days stand in."
    assert results.value("low_energy_note") == note
    assert run().value("low_energy_note") is None
    assert piece().value("low_energy_note") == "It counts the energy that one more charge takes."


def test_what_is_not_counted_is_named() -> None:
    results = piece()
    assert results.value("piece_missing", 1) == "Not counted yet: rent, losses, annealing, raw glass"
    assert results.value("piece_missing_list", 1) == ", rent, losses, annealing, raw glass"
    assert results.value("piece_final", 1) == 0
    load = piece(equipment=[{}, {"cost": 5, "per": "Load"}])
    assert load.value("miss_annealing", 1) == ", annealing"
    known = piece({"per_load": 10}, equipment=[{}, {"cost": 5, "per": "Load"}])
    assert known.value("miss_annealing", 1) is None
    nothing_known = piece({"minutes": None})
    assert nothing_known.value("cost_good", 1) is None
    assert nothing_known.value("piece_missing", 1) == "Not counted yet: bench minutes"
    no_weight = piece({"drawn": None, "gathers": None})
    assert no_weight.value("piece_missing", 1) == "Not counted yet: glass drawn"
    empty = run(pieces=[{"name": "Cup"}])
    assert empty.value("piece_missing", 1) == "Not counted yet: furnace: no cost yet, glass drawn, bench minutes"
    unpaid = run(pieces=[{"name": "Cup", "drawn": 1, "minutes": 20}])
    assert unpaid.value("piece_missing", 1) == "Not counted yet: furnace: no cost yet, the gaffer's rate"


def test_a_row_without_a_name_stays_blank() -> None:
    results = piece({"name": None})
    assert results.value("cost_furnace", 1) is None
    assert results.value("piece_final", 1) == 0
    assert results.value("piece_nameless", 1) == 1
    assert results.value("check_found", 31) == 1


def test_a_name_that_stands_twice_is_counted_twice() -> None:
    pieces = [{"name": "Bowl"}, {"name": "Cup"}, {"name": "Bowl"}]
    results = run(pieces=pieces)
    assert results.columns["piece_twice"] == [1, 0, 1, 0, 0]
    assert results.value("check_found", 31) == 2


@pytest.mark.parametrize(
    ("row", "more", "told"),
    [
        ({}, {}, True),  # the bench minutes stand in for those at the glory hole
        ({"glory_minutes": 5}, {}, True),
        ({"glory_minutes": 0}, {}, False),
        ({}, {"equipment": [{"cost": 0}]}, False),
        ({}, {"equipment": [{"cost": 60, "per": "Day"}]}, False),
        ({}, {"machines": [{"name": "Hole", "feeds": "Glory hole"}]}, False),
    ],
)
def test_a_glory_hole_that_nobody_typed_is_told(row: dict[str, Any], more: dict[str, Any], told: bool) -> None:
    words = "The glory hole is in no cost yet: type its cost, or 0, on Shop, or its rows on Equipment."
    assert piece(row, **more).value("glory_not_counted") == (words if told else None)
    assert run().value("glory_not_counted") is None
