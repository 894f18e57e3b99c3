"""Idle or go cold, worked by hand."""

from __future__ import annotations

from typing import Any

import pytest

from meltbook.method import Results
from meltbook.method.checks import CHECKS
from tests.unit.method.deciding import decided, furnace
from tests.unit.method.studios import day, numbers, run

COLD = {"cooling_days": 2, "cooling_use": 30, "crack_chance": 0.05, "glass_worth": 200, "cold_labour": 43}
"""Cooling takes 2 x 30 kWh = 6; a crack 0.05 x (800 + 200) = 50; with a heat-up of 101 and 43 of labour, 200."""

NEEDED = ("gap_crossing", "gap_first_cold", "gap_last_idle", "gap_last_words", "gap_sentence", "asked_sentence")


def without(part: str, **typed: Any) -> Results:
    """The furnace without a part of it."""
    return run(**{key: value for key, value in furnace(**typed).items() if key != part})


# ------------------------------------------------------------------------------------------- what a day costs


def test_an_idle_day_and_a_heat_up() -> None:
    results = decided()
    assert results.value("decide_wear_charge") == pytest.approx(8)
    assert results.value("decide_wear_day") == pytest.approx(1.5)
    assert results.value("decide_wear_start") == pytest.approx(15)
    assert results.value("idle_day_cost") == pytest.approx(16.5)
    assert (results.value("heatup_use_one"), results.value("heatup_days_one")) == (800, 4)
    assert results.value("heatup_cost_one") == pytest.approx(101)


def test_what_is_typed_goes_before_the_log() -> None:
    results = decided(idle_day_typed=100, heatup_use_typed=500, heatup_days_typed=3)
    assert results.value("idle_day_cost") == pytest.approx(11.5)
    assert results.value("heatup_cost_one") == pytest.approx(50 + 15 + 4.5)


def test_a_typed_nothing_is_not_a_blank() -> None:
    results = decided(idle_day_typed=0, heatup_use_typed=0, heatup_days_typed=0)
    assert results.value("idle_day_cost") == pytest.approx(1.5)
    assert results.value("heatup_cost_one") == pytest.approx(15)


def test_two_heat_ups_are_halved() -> None:
    log = [*furnace()["log"], day("Cold", 3), day("Heat-up", 6), day("Charge", 1, charges=1, weight=50)]
    results = run(**{**furnace(), "log": log})
    assert (results.value("heatup_use_one"), results.value("heatup_days_one")) == (1000, 5)


def test_wear_that_the_owner_leaves_out() -> None:
    results = run(**furnace(), wear={"wear_counted": "None"})
    assert [results.value(f"decide_wear_{one}") for one in ("charge", "day", "start")] == [0, 0, 0]
    assert results.value("idle_day_cost") == pytest.approx(15)
    assert results.value("heatup_cost_one") == pytest.approx(80)


def test_without_an_idle_day_a_mean_day_stands_in() -> None:
    log = [row for row in furnace()["log"] if row["kind"] != "Idle"]
    studio = furnace() | {"furnace": {"meter_kind": "kWh meter"}, "log": [*log[:-1], log[-1] | {"reading": 3800}]}
    # 3800 kWh over 19 hot days
    assert run(**studio).value("idle_day_use") == pytest.approx(200)


# ------------------------------------------------------------------------------------------------ the two costs


def test_going_cold_once() -> None:
    results = decided(**COLD)
    assert results.value("crack_cost") == pytest.approx(50)
    assert results.value("cold_cost_once") == pytest.approx(200)
    assert results.value("cold_trip_days") == 6


def test_the_chance_of_a_crack_costs_what_a_new_pot_costs_now() -> None:
    assert decided(crack_chance=0.05).value("crack_cost") == pytest.approx(40)
    assert decided(crack_chance=0.05, pot_kind="Floor").value("crack_cost") == pytest.approx(15)
    # an unknown kind has no cost: only the glass is lost
    assert decided(crack_chance=0.05, pot_kind="Crown", glass_worth=60).value("crack_cost") == pytest.approx(3)
    assert decided(crack_chance=0, glass_worth=60).value("crack_cost") == 0
    unasked = decided(glass_worth=60)
    assert unasked.value("crack_cost") is None
    assert unasked.value("cold_cost_once") == pytest.approx(decided(crack_chance=0).value("cold_cost_once"))
    # a planned change is another matter than a cracked pot
    assert decided(crack_chance=0.05, planned_typed=5000).value("crack_cost") == pytest.approx(40)


def test_the_days_of_the_table() -> None:
    results = decided(**COLD, day_value=40)
    assert numbers(results, "gap_idle") == pytest.approx([16.5 * days for days in range(1, 31)])
    # the trip takes 6 days: a need after 1 day loses 5 of them
    lost = [200, 160, 120, 80, 40, *([0] * 25)]
    assert numbers(results, "gap_cold") == pytest.approx([200 + more for more in lost])
    assert results.value("gap_saves", 3) == pytest.approx(49.5 - 320)
    assert results.columns["gap_choice"] == ["Idle"] * 12 + ["Go cold"] * 18


def test_the_crossing() -> None:
    results = decided(**COLD)
    # 200 / 16.5 = 12.12
    assert results.value("gap_crossing") == pytest.approx(200 / 16.5)
    assert (results.value("gap_last_idle"), results.value("gap_first_cold")) == (12, 13)
    assert results.value("gap_last_words") == "12 days"
    assert results.value("gap_sentence") == "Idle for up to 12 days; from 13 days on, going cold costs less."


def test_a_crossing_inside_the_trip() -> None:
    # An idle day costs 98.50 + 1.50 = 100, so the trip's 6 days cost more than the 200 of going cold. With a day at
    # 20, N x 100 = 200 + (6 - N) x 20: N = 320 / 120 = 2.67. Two days: 200 against 280; three: 300 against 260.
    results = decided(**COLD, day_value=20, idle_day_typed=985)
    assert results.value("gap_crossing") == pytest.approx(320 / 120)
    assert results.value("gap_first_cold") == 3
    assert results.value("gap_saves", 2) == pytest.approx(-80)
    assert results.value("gap_saves", 3) == pytest.approx(40)
    assert results.value("gap_sentence") == "Idle for up to 2 days; from 3 days on, going cold costs less."


def test_where_the_trip_is_as_long_as_the_crossing_both_ways_agree() -> None:
    # 6 days x 16.50 = 99, which is what going cold costs: 80 + 15 + 6 = 101, so the heat-up takes 20 kWh less
    results = decided(heatup_use_typed=780, cooling_days=2, day_value=70)
    assert results.value("cold_cost_once") == pytest.approx(99)
    assert results.value("gap_crossing") == pytest.approx(6)
    assert results.value("gap_first_cold") == 7


def test_equal_costs_are_idled() -> None:
    # 6 + 101 + 50 + 8 = 165 = 10 days
    results = decided(**COLD | {"cold_labour": 8})
    assert results.value("gap_crossing") == pytest.approx(10)
    assert results.value("gap_first_cold") == 11
    assert (results.value("gap_choice", 10), results.value("gap_choice", 11)) == ("Idle", "Go cold")


def test_from_the_first_day_on() -> None:
    results = decided(idle_day_typed=5000)
    assert (results.value("gap_last_idle"), results.value("gap_first_cold")) == (0, 1)
    assert results.value("gap_sentence") == (
        "Going cold costs less from the first day on. No crack, work or lost days counted yet."
    )


def test_one_day_is_no_days() -> None:
    # 101 of going cold over 1000 kWh x 0.10 + 1.50 is no whole day; over 585 kWh, 60 a day, it is 1.68
    results = decided(idle_day_typed=585)
    assert results.value("gap_last_words") == "1 day"
    assert results.value("gap_sentence") == (
        "Idle for up to 1 day; from 2 days on, going cold costs less. No crack, work or lost days counted yet."
    )


# ------------------------------------------------------------------------------------------- the days asked about


@pytest.mark.parametrize(
    ("days", "saves", "says"),
    [
        (14, 31, "For 14 days, going cold saves 31.00."),
        (2, -167, "For 2 days, idling saves 167.00."),
        (1, -183.5, "For 1 day, idling saves 183.50."),
        (12.5, 6.25, "For 12.50 days, going cold saves 6.25."),
        (0, -200, "For 0 days, idling saves 200.00."),
    ],
)
def test_the_days_asked_about(days: float, saves: float, says: str) -> None:
    results = decided(**COLD, gap_days=days)
    assert results.value("asked_idle") == pytest.approx(days * 16.5)
    assert results.value("asked_cold") == pytest.approx(200)
    assert results.value("asked_saves") == pytest.approx(saves)
    assert results.value("asked_sentence") == says


def test_days_asked_about_inside_the_trip() -> None:
    # 2.5 days of 6: 3.5 are lost
    results = decided(**COLD, gap_days=2.5, day_value=40)
    assert results.value("asked_cold") == pytest.approx(200 + 3.5 * 40)


def test_equal_costs_asked_about() -> None:
    results = decided(**COLD | {"cold_labour": 8}, gap_days=10)
    assert results.value("asked_sentence") == "For 10 days, both cost the same."
    # half a cent more for going cold is told as a cent; less of it is told as nothing
    cent = decided(**COLD | {"cold_labour": 8.006}, gap_days=10)
    assert cent.value("asked_sentence") == "For 10 days, idling saves 0.01."
    less = decided(**COLD | {"cold_labour": 8.004}, gap_days=10)
    assert less.value("asked_sentence") == "For 10 days, both cost the same."


def test_nothing_asked() -> None:
    results = decided(**COLD)
    for name in ("asked_idle", "asked_cold", "asked_saves", "asked_words", "asked_sentence", "gap_words"):
        assert results.value(name) is None


# --------------------------------------------------------------------------------------------- what is missing


def test_nothing_is_missing() -> None:
    assert decided().value("gap_missing") is None


def test_a_tariff_is_missing() -> None:
    results = without("tariffs", gap_days=3)
    assert results.value("gap_missing") == "Type a tariff first."
    assert [results.value(name) for name in NEEDED] == [None] * len(NEEDED)
    assert set(results.columns["gap_choice"]) == {None}


def test_a_log_is_missing() -> None:
    """Without a log there is no last day either: the pricing date has to be typed before any price is in force."""
    today = {"shop": {"pricing_date": "2025-06-01"}}

    def missing(**typed: float) -> object:
        return run(**furnace(**typed) | {"log": []} | today).value("gap_missing")

    for nothing_more in ("gap_missing", "campaign_missing"):
        assert without("log").value(nothing_more) == "Log a day first, or type a pricing date on Shop."
    assert missing() == "Log an idle day, or type the energy of one."
    assert missing(idle_day_typed=150) == "Log a heat-up, or type its energy and days."
    assert missing(idle_day_typed=150, heatup_use_typed=800) == "Log a heat-up, or type its energy and days."
    assert missing(idle_day_typed=150, heatup_use_typed=800, heatup_days_typed=4) is None


def test_a_tariff_that_is_not_in_force_yet() -> None:
    later = run(**furnace() | {"tariffs": [{"start": "2031-01-01", "price": 0.1}]})
    for name in ("gap_missing", "campaign_missing", "fill_missing"):
        assert later.value(name) == "No tariff is in force on the pricing date: see Tariffs."


def test_an_idle_day_that_costs_nothing() -> None:
    results = run(**furnace(idle_day_typed=0, day_value=10), wear={"wear_counted": "None"})
    assert results.value("gap_missing") == "An idle day costs nothing here, so there is nothing to weigh."
    assert results.value("gap_crossing") is None
    # the table stands all the same: 80 once, and 3 of 4 days at 10
    assert results.value("gap_saves", 1) == pytest.approx(-110)


@pytest.mark.parametrize(("kind", "faults"), [(None, 0), ("Floor", 0), ("Crown", 1)])
def test_a_kind_that_is_none_is_checked(kind: str | None, faults: int) -> None:
    assert decided(pot_kind=kind).value("check_found", CHECKS.index("unknown_names") + 1) == faults
