"""How long a campaign, and how full a charge, worked by hand."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from meltbook.method import Results
from tests.unit.method.deciding import decided, furnace
from tests.unit.method.studios import day, numbers, run

TODAY = {"pricing_date": "2025-06-01"}


def logged(*rows: dict[str, Any], **typed: Any) -> Results:
    """The furnace after another log, on a day of its own."""
    return run(**furnace(**typed) | {"log": list(rows), "shop": TODAY})


# ------------------------------------------------------------------------------------------------- what one takes


def test_a_charge_with_its_blow_and_idle_days() -> None:
    results = decided()
    assert results.value("charge_use_one") == pytest.approx(405)
    assert results.value("hot_days_one") == pytest.approx(2)
    assert results.value("charge_days_one") == pytest.approx(1)
    assert results.value("log_charge_weight") == pytest.approx(50)
    assert results.value("charge_cost_one") == pytest.approx(51.5)


def test_charges_are_counted_not_their_days() -> None:
    # 2 charges on 10 days: 2400 + 900 + 750 = 4050 kWh, 20 days, 500 of glass, halved
    rows = furnace()["log"]
    results = logged(rows[0], rows[1] | {"charges": 2}, *rows[2:])
    assert results.value("charge_use_one") == pytest.approx(2025)
    assert results.value("hot_days_one") == pytest.approx(10)
    assert results.value("charge_days_one") == pytest.approx(5)
    assert results.value("log_charge_weight") == pytest.approx(250)


def test_only_the_last_twelve_months_count() -> None:
    """To price with: charges of years ago, five times as large, don't. Heat-ups are seldom: all of them do."""
    old = [day("Heat-up", 8, date="2020-03-01"), day("Charge", 10, charges=10, weight=2500), day("Cold", 1811)]
    new = [{key: value for key, value in row.items() if key != "date"} for row in furnace()["log"]]
    results = run(**furnace() | {"log": [*old, *new]})
    assert results.value("log_charge_weight") == pytest.approx(50)
    assert results.value("charge_use_one") == pytest.approx(405)
    assert results.value("heatup_days_one") == pytest.approx(6)
    assert results.value("campaign_average") == pytest.approx(10)


# --------------------------------------------------------------------------------------------------- campaigns


def test_what_campaigns_cost() -> None:
    results = decided()
    # (101 + 51.50) / 50 and (101 + 2 x 51.50) / 100: a second charge takes off 1 - 2.04 / 3.05
    assert results.value("size_cost", 1) == pytest.approx(3.05)
    assert results.value("size_cost", 2) == pytest.approx(2.04)
    assert results.value("size_saves", 1) == pytest.approx(1 - 2.04 / 3.05)
    assert results.value("size_cost", 60) == pytest.approx((101 + 60 * 51.5) / 3000)
    costs = numbers(results, "size_cost")
    assert numbers(results, "size_saves")[:59] == pytest.approx(
        [1 - after / before for before, after in pairwise(costs)]
    )


def test_how_many_are_enough() -> None:
    # one more saves 101 / ((n + 1)(101 + 51.50 n)): 101 / (13 x 719) = 1.08 % at 12, 101 / (14 x 770.50) = 0.94 % at 13
    results = decided()
    assert (results.value("size_worth", 12), results.value("size_worth", 13)) == (1, 0)
    assert results.value("campaign_enough") == 13
    assert results.value("campaign_sentence") == (
        "Past 13 charges, one more saves less than 1 %. Yours had about 10 on average."
    )


def test_exactly_the_share_asked_for_is_worth_it() -> None:
    # A heat-up of 51.50, as much as a charge: one more saves 1 / ((n + 1)(n + 1)), so 1/16 at 3 and 1/25 at 4
    results = decided(heatup_use_typed=515, heatup_days_typed=0, saving_share=0.0625)
    # 51.50 + the floor's 15
    assert results.value("heatup_cost_one") == pytest.approx(66.5)
    results = decided(heatup_use_typed=365, heatup_days_typed=0, saving_share=0.0625)
    assert results.value("heatup_cost_one") == pytest.approx(51.5)
    assert results.value("size_saves", 3) == pytest.approx(1 / 16)
    assert results.value("campaign_enough") == 4
    assert results.value("saving_words") == "6.25 %"


def test_one_charge_is_enough_where_half_as_much_again_is_asked_for() -> None:
    results = decided(saving_share=0.5)
    assert results.value("campaign_enough") == 1
    assert str(results.value("campaign_sentence")).startswith("Past 1 charge, one more saves less than 50 %.")


@pytest.mark.parametrize(("share", "words"), [(0.0, "0 %"), (0.0001, "0.01 %")])
def test_even_the_last_saves(share: float, words: str) -> None:
    results = decided(saving_share=share, heatup_use_typed=1_000_000)
    assert results.value("campaign_enough") == 61
    assert results.value("campaign_sentence") == (
        f"Even the 60th charge saves {words} or more. Yours had about 10 on average."
    )


def test_a_heat_up_for_nothing() -> None:
    typed = {"heatup_use_typed": 0, "heatup_days_typed": 0}
    results = run(**furnace(**typed), wear={"wear_counted": "None"})
    assert results.value("size_saves", 1) == 0
    assert results.value("campaign_enough") == 1


def test_the_weight_that_is_typed() -> None:
    results = decided(full_charge=100)
    assert results.value("charge_weight_used") == 100
    assert results.value("size_cost", 1) == pytest.approx(1.525)
    assert results.value("campaign_enough") == 13, "the weight cancels out"
    assert decided(full_charge=0).value("charge_weight_used") == pytest.approx(50), "0 is as good as blank"


def test_the_average_is_over_all_campaigns() -> None:
    rows = [*furnace()["log"], day("Heat-up", 4), day("Charge", 3, charges=3, weight=150)]
    results = logged(*rows)
    assert results.value("campaign_average") == pytest.approx(6.5)
    assert results.value("campaign_words") == "Yours had about 7 on average."


# ------------------------------------------------------------------------------------------------ part charges


def test_a_part_of_a_charge() -> None:
    # One more charge: (240 - 150) kWh x 0.10 x 10 / 500 = 0.18 for each. Its day costs 15 idle + 1.50 + 8 = 24.50.
    results = decided()
    assert results.value("fill_weight", 3) == pytest.approx(15)
    assert results.value("fill_cost", 10) == pytest.approx(24.5 / 50 + 0.18)
    assert results.value("fill_cost", 5) == pytest.approx(24.5 / 25 + 0.18)
    assert results.value("fill_cost", 1) == pytest.approx(24.5 / 5 + 0.18)
    assert results.value("fill_dearer", 10) == 0
    # 1.16 / 0.67 = 1.731
    assert results.value("fill_dearer", 5) == pytest.approx(1.16 / 0.67 - 1)
    assert results.value("fill_sentence") == "A half charge costs 73 % more for each lb than your mean charge."
    assert results.value("fill_missing") is None


def test_a_charge_that_takes_two_days() -> None:
    # 5 charges in 10 days, 100 each: 2 x (15 + 1.50) + 8 = 41, and 90 kWh a day are still the glass's: 0.18
    rows = furnace()["log"]
    results = logged(rows[0], rows[1] | {"charges": 5}, *rows[2:])
    assert results.value("fill_cost", 10) == pytest.approx(0.41 + 0.18)
    assert results.value("fill_cost", 5) == pytest.approx(0.82 + 0.18)


def test_a_typed_full_charge_and_kilograms() -> None:
    results = run(**furnace(full_charge=70) | {"shop": {"weight_unit": "kg"}})
    # 24.50 / 70 + 0.18 = 0.53, 24.50 / 35 + 0.18 = 0.88
    assert results.value("fill_sentence") == "A half charge costs 66 % more for each kg than a full one."


# ------------------------------------------------------------------------------------------------ what is missing


def test_no_log() -> None:
    results = logged()
    assert results.value("campaign_missing") == "Log a charge with its weight first."
    assert results.value("fill_missing") == "Log a charge with its weight first."
    assert results.value("campaign_sentence") is None
    assert results.value("fill_sentence") is None
    assert set(results.columns["size_worth"]) == {0}


def test_no_weight() -> None:
    heat_up, charge, blow, idle = furnace()["log"]
    results = logged(heat_up, charge | {"weight": None}, blow, idle)
    assert results.value("charge_weight_used") is None
    assert results.value("campaign_missing") == "Log a charge with its weight first."
    assert results.value("fill_missing") == "Log a charge with its weight first."
    typed = logged(heat_up, charge | {"weight": None}, blow, idle, full_charge=50)
    assert typed.value("campaign_enough") == 13
    assert typed.value("fill_missing") == (
        "To know one more charge, read the meter before and after a run of charge days, and of idle days."
    )


def test_glass_that_seems_to_take_energy_off_a_day() -> None:
    """Idle days used more than charge days, and far more is charged: no sentence tells such a cost in percent."""
    heat_up, charge, blow, idle = furnace()["log"]
    uses = [{"use": 200}, {"use": 40}, {"use": 180}, {"use": 400}]
    for full, worthless in ((2000, True), (30, False)):
        studio = furnace(full_charge=full) | {"day_kinds": uses, "wear": {"wear_counted": "None"}}
        results = run(**studio | {"log": [heat_up, charge, blow, idle]})
        cost = results.value("fill_cost", 10)
        assert isinstance(cost, float) and (cost < 0) == worthless
        assert (results.value("fill_sentence") is None) == worthless
        assert results.value("fill_missing") == (
            "By this log a full charge costs nothing or less, so there is nothing to weigh." if worthless else None
        )


def test_no_heat_up() -> None:
    heat_up, charge, *rest = furnace()["log"]
    results = logged(charge | {"date": heat_up["date"]}, *rest)
    assert results.value("campaign_missing") == "Log a heat-up, or type its energy and days."
    assert results.value("fill_missing") is None


def test_no_tariff() -> None:
    results = run(**furnace() | {"tariffs": []})
    assert results.value("campaign_missing") == "Type a tariff first."
    assert results.value("campaign_sentence") is None


def test_no_idle_day() -> None:
    """One more charge is told from the idle days: without one it isn't known, typed or not."""
    *rows, _ = furnace()["log"]
    studio = furnace(idle_day_typed=150) | {"furnace": {"meter_kind": "kWh meter"}}
    results = run(**studio | {"log": [*rows[:-1], rows[-1] | {"reading": 4000}]})
    assert results.value("fill_missing") == (
        "To know one more charge, read the meter before and after a run of charge days, and of idle days."
    )
    assert results.value("campaign_enough") is not None
