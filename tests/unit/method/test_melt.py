from __future__ import annotations

import pytest

from meltbook.method.melt import year_before
from tests.unit.method.studios import day, kwh_log, melt, on, run

ROWS = (
    day("Heat-up", 2, date="2024-01-01"),
    day("Charge", 6, charges=6, weight=300, gathers=200, reading=1600),  # 8 days x 200 kWh
    day("Cold", 4),
    day("Heat-up", 1),
    day("Charge", 3, charges=3, weight=100, gathers=50),
    day("Blow", 1, reading=2600),  # 5 days x 200 kWh
)


def test_periods_add_up() -> None:
    results = kwh_log(*ROWS)
    assert results.columns["period_label"] == [
        "All time",
        "Between your dates, none typed",
        "Last 12 months",
        "Campaign 1",
        "Campaign 2",
        None,
        None,
    ]
    assert results.columns["period_weight"] == [400, 0, 400, 300, 100, None, None]
    assert results.columns["period_use"][:5] == [2600, 0, 2600, 1600, 1000]
    assert results.columns["period_days"][:5] == [17, 0, 17, 12, 5]
    assert results.columns["cold_days"][:5] == [4, 0, 4, 4, 0]
    assert results.columns["period_starts"][:5] == [2, 0, 2, 1, 1]
    # 2600 x 0.10 / 400; campaigns 160 / 300 and 100 / 100
    assert results.columns["step_hot"][0] == results.columns["step_hot"][2] == pytest.approx(0.65)
    assert results.columns["step_hot"][3:5] == pytest.approx([160 / 300, 1.0])
    assert results.columns["step_hot"][1] is results.columns["weight_shown"][1] is None  # no dates are typed


def test_the_steps_of_a_period() -> None:
    results = kwh_log(*ROWS)
    # charge 9 days and blow 1 day of 200 kWh x 0.10 = 200 / 400
    assert results.value("happened_melt") == pytest.approx(0.5)
    assert results.value("cost_a_charge", 1) == pytest.approx(260 / 9)
    assert results.value("use_a_day", 1) == pytest.approx(200)
    assert results.value("share_heatup", 1) == pytest.approx(600 / 2600)
    assert results.value("happened_charge") is None


def test_between_two_dates_a_row_counts_whole_where_it_begins() -> None:
    results = kwh_log(*ROWS, shop={"period_from": "2024-01-03", "period_to": "2024-01-05"})
    assert results.value("period_rows", 2) == 1
    assert results.value("period_weight", 2) == 300
    # the row begins on 3 January and ends on the 8th: 3 days past the 5th
    assert results.value("period_overrun") == 3
    assert results.value("chosen_hot") == pytest.approx(0.4)  # 6 x 200 x 0.10 / 300
    assert kwh_log(*ROWS).value("chosen_hot") is None


def test_the_window_is_the_twelve_months_up_to_the_pricing_date() -> None:
    rows = (
        day("Charge", 1, date="2023-01-10", weight=50, reading=100),
        day("Cold", 364),
        day("Charge", 1, date="2024-01-10", weight=50, reading=300),
    )
    results = kwh_log(*rows)
    assert results.value("window_start") == on("2023-01-11")
    assert results.value("window_end") == on("2024-01-10")
    assert results.value("period_weight", 3) == 50
    assert results.value("price_hot") == pytest.approx(0.4)  # 200 x 0.10 / 50
    assert results.value("happened_hot") == pytest.approx(0.3)  # 300 x 0.10 / 100
    assert results.value("gap_hot") == pytest.approx(-0.1)


def test_a_window_without_glass_gives_way_to_all_time() -> None:
    results = kwh_log(
        day("Charge", 1, date="2022-01-10", weight=50, reading=100),
        day("Idle", 1, date="2024-01-10", reading=300),
    )
    assert results.value("window_year_weight") == 0
    assert results.value("window_low") == 0
    assert results.value("period_weight", 3) == 50


@pytest.mark.parametrize(
    ("end", "start"),
    [
        ("2025-12-31", "2025-01-01"),
        ("2024-02-29", "2023-03-02"),  # 2023-02-30 runs on into March
        ("2025-02-28", "2024-02-29"),
        ("2025-05-05", "2024-05-06"),
    ],
)
def test_a_year_before(end: str, start: str) -> None:
    assert year_before(on(end)) == on(start)


def test_raw_glass_is_known_only_when_each_glass_has_a_price() -> None:
    glasses = [{"name": "Clear", "price": 2}, {"name": "Opal"}]
    plain = run(**melt(glasses=glasses))
    assert plain.value("happened_glass") == 2
    rows = [day("Charge", 1, date="2025-03-01", weight=10, glass="Opal")]
    unpriced = run(**melt(glasses=glasses, log=rows))
    assert unpriced.value("glass_gap") == 1
    assert unpriced.value("happened_glass") is None
    stranger = run(**melt(glasses=glasses, log=[{**rows[0], "glass": "Bottle"}]))
    assert stranger.value("row_glass", 1) == 0
    assert stranger.value("log_status", 1) == "This glass is not on the Shop sheet"
    assert stranger.value("raw_glass_known") == 0


def test_the_furnace_itself() -> None:
    def own(**furnace: float) -> object:
        return run(**melt(furnace={"meter_kind": "No meter", **furnace})).value("own_yearly")

    assert own() is None
    assert own(furnace_purchase=0, furnace_maintenance=50) == 50
    assert own(furnace_purchase=1000, furnace_worth_end=200, furnace_life=4) == 200
    assert own(furnace_purchase=1000) is None
    assert own(furnace_purchase=1000, furnace_life=0) is None


def test_an_ordinary_year_is_typed_or_taken_from_the_window() -> None:
    furnace = {"meter_kind": "No meter", "furnace_purchase": 7300, "furnace_life": 10}
    # 500 x 365 / 20 days = 9125 a year; 730 / 9125 = 0.08
    assert run(**melt(furnace=furnace)).value("price_own") == pytest.approx(0.08)
    typed = run(**melt(furnace=furnace, shop={"ordinary_weight": 7300}))
    assert typed.value("price_own") == pytest.approx(0.1)


def test_one_more_charge_takes_idle_use_from_all_time_where_the_period_has_none() -> None:
    studio = melt(shop={"period_from": "2025-03-01", "period_to": "2025-03-05"})
    results = run(**studio)
    assert results.value("period_rows", 2) == 1
    assert results.value("chosen_charge") == pytest.approx(0.16)


def test_nothing_divides_by_zero() -> None:
    results = run(**melt(log=[day("Idle", 3, date="2025-01-01")]))
    assert results.value("happened_hot") is None
    assert results.value("price_hot") is None
    assert results.value("period_cost", 1) == pytest.approx(36)  # 3 x 60 x 0.20


def test_campaigns_beyond_the_prepared_rows_trip_the_check() -> None:
    rows = [
        row
        for number in range(6)
        for row in (
            day("Heat-up", 1, date=f"2025-01-{1 + 2 * number:02}"),
            day("Charge", 1, weight=10, reading=100 * (number + 1)),
        )
    ]
    results = kwh_log(*rows)
    assert results.value("campaign_count") == 6
    # weight 60 against 40, cost and days likewise: three sums
    assert results.value("check_found", 26) == 3
    assert results.value("checks_state") == "1 check needs a look"
