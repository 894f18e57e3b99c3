"""A letter from the utility, worked by hand."""

from __future__ import annotations

from typing import Any

import pytest

from meltbook.method import Results
from meltbook.method.constants import FAR_DATE
from tests.unit.method.studios import SMALL, day, melt, on, run

APRIL = "2025-04-01"
SHOP = {"name": "Own shop", "margin": 0.5, "must_earn": "Yes"}
CUP = {"name": "Cup", "drawn": 1, "minutes": 0, "materials": 9.2, "loss": 0}


def letter(base: dict[str, Any], **said: Any) -> Results:
    """A letter of 1 April over one tariff row."""
    typed = {f"letter_{key}": value for key, value in {"start": APRIL, **said}.items()}
    return run(tariffs=[{"start": "2020-01-01", **base}], letter=typed)


def shelf(*pieces: dict[str, Any], letter: dict[str, Any] | None = None, **more: Any) -> Results:
    """Pieces in a furnace of 1600 kWh at 0.20 for 500: 0.64 a weight, 320 in all, 0.80 a weight drawn.

    A cup draws 1 and takes 9.20 of materials: it costs 10, and at a margin of a half its tag is 20. At 0.30 a
    kWh the furnace's 320 become 480, so 1.20 a weight drawn; the cup costs 10.40.
    """
    shop = {"share_drawn": 0.8, **more.pop("shop", {})}
    letter = {"letter_start": APRIL, "letter_price": 0.30} if letter is None else letter
    channels = more.pop("channels", [SHOP])
    return run(**melt(shop=shop, people=[{"rate": 30}], pieces=list(pieces), channels=channels, letter=letter, **more))


# ------------------------------------------------------------------------------------------------ the rates


def test_a_flat_rise() -> None:
    results = letter({"price": 0.20}, price=0.30)
    assert results.value("letter_given") == 1
    assert results.value("new_all_in") == pytest.approx(0.30)
    assert results.value("change_price") == pytest.approx(0.5)
    assert results.value("change_all_in") == pytest.approx(0.5)
    assert results.value("change_standing") is None  # 0 before, 0 after
    assert results.value("letter_state") == "To take it over, type it into line 2 of Tariffs."
    assert "what is blank there counts as none" in str(results.value("letter_rest"))
    assert letter({"price": 0.20}).value("letter_rest") is None


def test_a_percentage_moves_unit_prices_only() -> None:
    base = {"price": 0.20, "surcharge": 0.05, "tax": 0.1, "service": 36.5, "demand": 3, "demand_kw": 10}
    results = letter(base, change=0.10)
    # (0.20 + 0.05) x 1.1 = 0.275; (0.22 + 0.05) x 1.1 = 0.297, which is 8 % more
    assert results.value("base_all_in") == pytest.approx(0.275)
    assert results.value("new_price") == pytest.approx(0.22)
    assert results.value("new_surcharge") == pytest.approx(0.05)
    assert results.value("new_all_in") == pytest.approx(0.297)
    assert results.value("change_all_in") == pytest.approx(0.08)
    assert (results.value("change_service"), results.value("change_demand")) == (0, 0)
    assert results.value("change_standing") == pytest.approx(0)


def test_a_price_in_the_letter_goes_before_the_percentage() -> None:
    results = letter({"price": 0.20, "price_two": 0.10, "share_one": 0.5, "share_two": 0.5}, change=0.5, price=0.21)
    assert results.value("new_price") == pytest.approx(0.21)
    assert results.value("new_price_two") == pytest.approx(0.15)
    assert results.value("change_price_three") is None


def test_cents_with_tax() -> None:
    # 35.7 cents with 19 % are 0.30 without, 1.19 cents are 0.01: 0.31 x 1.19 = 0.3689.
    # The service charge is money even so: 43.435 with tax is 36.50 without, 1.20 a day, 1.428 with tax again.
    base = {"price": 0.25, "tax": 0.19}
    results = letter(base, price=35.7, surcharge=1.19, service=43.435, tax_in="With tax", **{"in": "Cents"})
    assert results.value("letter_scale") == pytest.approx(1 / 119)
    assert results.value("letter_untax") == pytest.approx(1 / 1.19)
    assert results.value("new_price") == pytest.approx(0.30)
    assert results.value("new_surcharge") == pytest.approx(0.01)
    assert results.value("new_all_in") == pytest.approx(0.3689)
    assert results.value("new_service") == pytest.approx(36.5)
    assert results.value("new_standing") == pytest.approx(1.428)


def test_a_new_tax_is_the_one_that_is_taken_out() -> None:
    # 0.24 with 20 % is 0.20 without, though the tax in force is 10 %
    results = letter({"price": 0.20, "tax": 0.1}, price=0.24, tax=0.2, tax_in="With tax")
    assert results.value("new_price") == pytest.approx(0.20)
    assert results.value("new_all_in") == pytest.approx(0.24)
    assert letter({"price": 0.20, "tax": 0.1}, tax=0).value("new_all_in") == pytest.approx(0.20)


def test_new_shares_replace_all_of_the_old() -> None:
    base = {"price": 0.30, "price_two": 0.10, "share_one": 0.5, "share_two": 0.5}  # 0.20
    moved = letter(base, share_one=0.25, share_two=0.75)  # 0.075 + 0.075
    assert moved.value("new_all_in") == pytest.approx(0.15)
    alone = letter(base, share_one=1)
    assert (alone.value("new_shares"), alone.value("new_share_two")) == (1, 0)
    assert alone.value("new_all_in") == pytest.approx(0.30)
    kept = letter(base, price_two=0.14)  # 0.15 + 0.07
    assert (kept.value("letter_shares"), kept.value("new_shares")) == (0, 2)
    assert kept.value("new_all_in") == pytest.approx(0.22)
    first_shares = letter({"price": 0.30}, price_two=0.10, share_one=0.5, share_two=0.5)
    assert first_shares.value("new_all_in") == pytest.approx(0.20)


def test_service_per_day_against_per_month() -> None:
    month = {"price": 0.2, "service": 36.5}  # x 12 / 365 = 1.20 a day
    results = letter(month, service=1.5, service_per="Day")
    assert results.value("base_standing") == pytest.approx(1.2)
    assert results.value("new_standing") == pytest.approx(1.5)
    assert results.value("change_service") == pytest.approx(0.25)
    assert results.value("change_standing") == pytest.approx(0.25)
    assert (results.value("base_service_per"), results.value("new_service_per")) == ("Month", "Day")
    back = letter({"price": 0.2, "service": 1.5, "service_per": "Day", "service_share": 0.5}, service=36.5)
    assert back.value("new_standing") == pytest.approx(18.25)  # a blank is no change: still a day
    monthly = letter(
        {"price": 0.2, "service": 1.5, "service_per": "Day", "service_share": 0.5}, service=36.5, service_per="Month"
    )
    assert monthly.value("new_service_day") == pytest.approx(0.6)
    assert monthly.value("change_service") == pytest.approx(-0.2)


def test_how_service_is_billed_says_nothing_without_a_figure() -> None:
    assert letter({"price": 0.2, "service": 1}, service_per="Day").value("letter_given") == 0


def test_demand() -> None:
    base = {"price": 0.2, "demand": 3.65, "demand_kw": 10, "demand_share": 0.25, "tax": 0.1}
    # 3.65 x 10 x 0.25 x 12 / 365 = 0.3, with tax 0.33; 7.3 x 20: four times as much
    results = letter(base, demand=7.3, demand_kw=20)
    assert results.value("base_standing") == pytest.approx(0.33)
    assert results.value("new_standing") == pytest.approx(1.32)
    assert results.value("change_demand") == pytest.approx(1)
    taxed = letter(base, demand=4.015, tax_in="With tax")
    assert taxed.value("new_demand") == pytest.approx(3.65)
    assert letter(base, demand_kw=0).value("new_standing") == 0


def test_a_letter_lies_over_the_row_in_force_on_its_first_day() -> None:
    rows = [{"start": "2020-01-01", "price": 0.1}, {}, {"start": "2025-06-01", "price": 0.3}]
    results = run(tariffs=rows, letter={"letter_start": APRIL, "letter_change": 1.0})
    assert results.value("letter_base_from") == on("2020-01-01")
    assert results.value("letter_base_row") == 2  # the seed row is 1
    assert results.value("letter_position") == 3  # the blank row repeats its date
    assert results.value("letter_until") == on("2025-06-01")
    assert results.value("new_all_in") == pytest.approx(0.2)
    same_day = run(tariffs=rows, letter={"letter_start": "2025-06-01", "letter_change": 1.0})
    assert same_day.value("new_all_in") == pytest.approx(0.6)
    assert same_day.value("letter_until") == FAR_DATE


def test_a_letter_before_the_first_tariff() -> None:
    log = [day("Charge", 10, date="2019-12-27", weight=5)]
    results = run(
        tariffs=[{"start": "2020-01-01", "price": 0.1}],
        letter={"letter_start": "2019-12-30", "letter_price": 0.2},
        log=log,
    )
    assert results.value("letter_given") == 1
    assert results.value("letter_position") == 1
    assert results.value("letter_until") == on("2020-01-01")
    for name in ("letter_base_from", "letter_base_row", "letter_scale", "new_price", "new_all_in", "rate_after"):
        assert results.value(name) is None
    assert results.value("letter_state") == "No tariff is in force on that day yet; type one that is."
    assert results.value("late_days", 1) == 2  # 30 and 31 December
    assert (results.value("late_rows"), results.value("late_waiting")) == (0, 1)
    assert (results.value("late_energy"), results.value("late_standing")) == (0, None)


def test_no_letter() -> None:
    results = run(tariffs=[{"start": "2020-01-01", "price": 0.1}], letter={"letter_start": APRIL})
    assert results.value("letter_given") == 0
    assert results.value("letter_state") == "Type the letter: from when, and what changes."
    assert results.columns["letter_case"] == [1, 1, 0, 0, 0, 1]
    assert results.value("letter_difference") == 0
    for name in ("letter_position", "letter_until", "base_price", "new_price", "late_rows", "late_energy", "late_note"):
        assert results.value(name) is None
    undated = run(tariffs=[{"start": "2020-01-01", "price": 0.1}], letter={"letter_price": 0.2})
    assert undated.value("letter_given") == 0
    assert undated.value("retag_heading") is None


# --------------------------------------------------------------------------------------- what to do with it


def test_the_line_to_type_it_into_is_below_every_line_that_is_used() -> None:
    rows = [{"start": "2020-01-01", "price": 0.1}, {}, {"start": "2021-01-01", "price": 0.1}]
    results = run(tariffs=rows, letter={"letter_start": APRIL, "letter_change": 0.1})
    assert results.columns["tariff_no"] == [1, 2, 3, 4, 5]
    assert results.columns["tariff_line"] == [1, 0, 3, 0, 0]
    assert results.value("letter_line") == 4
    assert results.value("letter_state") == "To take it over, type it into line 4 of Tariffs."
    assert run().value("letter_line") == 1


def test_a_full_table() -> None:
    rows = [{"start": f"202{number}-01-01", "price": 0.1} for number in range(SMALL.tariffs)]
    results = run(tariffs=rows, letter={"letter_start": APRIL, "letter_change": 0.1})
    assert (results.value("letter_code"), results.value("letter_state")) == (4, "The table of tariffs is full.")


@pytest.mark.parametrize("start", ["2025-05-31", "2025-06-01"])
def test_a_row_of_that_date_or_later_is_there_already(start: str) -> None:
    rows = [{"start": "2020-01-01", "price": 0.1}, {"start": "2025-06-01", "price": 0.1}]
    results = run(tariffs=rows, letter={"letter_start": start, "letter_change": 0.1})
    wanted = "A letter taken over has this date or a later one; see that the dates stay in order."
    assert results.value("letter_state") == wanted


def test_more_than_three_fold_is_a_note() -> None:
    cents = letter({"price": 0.2}, price=21)
    assert cents.value("letter_jump") == 1
    assert cents.value("letter_state") == "More than three times the price in force: was it typed in cents?"
    assert (cents.value("check_found", 48), cents.value("check_state", 48)) == (1, "NOTE")
    assert cents.value("checks_failing") == 0
    told = letter({"price": 0.2}, price=21, **{"in": "Cents"})
    assert (told.value("letter_jump"), told.value("check_state", 48)) == (0, "OK")
    assert letter({"price": 0}, price=21).value("letter_jump") == 0  # nothing to compare with


# --------------------------------------------------------------------------------- what is logged already

METERED = [
    day("Charge", 10, date="2025-01-01", weight=50, reading=1000),  # 100 kWh a day
    day("Charge", 10, weight=50, reading=3000),  # 200 kWh a day, 11 to 20 January
    day("Idle", 5),  # 21 to 25 January, waiting
]


def late(*tariffs: dict[str, Any], rows: list[dict[str, Any]] | None = None, **letter: Any) -> Results:
    typed = {f"letter_{key}": value for key, value in letter.items()}
    return run(furnace={"meter_kind": "kWh meter"}, tariffs=list(tariffs), log=rows or METERED, letter=typed)


def test_rows_that_are_logged_already() -> None:
    results = late(
        {"start": "2020-01-01", "price": 0.10, "service": 36.5},
        start="2025-01-16",
        price=0.16,
        service=1.5,
        service_per="Day",
    )
    # the second row lies half under the letter: 5 days x 200 kWh x 0.06; and 5 days x (1.50 - 1.20)
    assert results.columns["late_days"][:4] == [0, 5, 5, 0]
    assert results.columns["late_change"][:3] == pytest.approx([0, 60, 0])
    assert (results.value("late_rows"), results.value("late_waiting"), results.value("late_logged")) == (1, 1, 2)
    assert results.value("late_energy") == pytest.approx(60)
    assert results.value("late_standing") == pytest.approx(1.5)
    assert results.value("late_note") == (
        "2 rows are already logged from that day on: their energy changes by 60.00. 1 of them waits for a reading."
    )


def test_one_row_or_several_and_several_that_wait() -> None:
    base = {"start": "2020-01-01", "price": 0.10}
    one = late(base, rows=METERED[:2], start="2025-01-20", price=0.07)  # 200 x -0.03
    assert one.value("late_note") == "1 row is already logged from that day on: their energy changes by -6.00."
    waiting = [*METERED, day("Idle", 2)]
    several = late(base, rows=waiting, start="2025-01-21", price=0.2)
    assert several.value("late_note") == (
        "2 rows are already logged from that day on: their energy changes by 0.00. 2 of them wait for a reading."
    )
    none = late(base, start="2025-01-26", price=0.2)
    assert (none.value("late_logged"), none.value("late_note"), none.value("late_words")) == (0, None, "0.00")
    assert none.value("late_waits") is None


def test_a_later_row_on_tariffs_ends_the_letters_reign() -> None:
    rows = [
        day("Charge", 7, date="2025-01-11", weight=50, reading=700),
        day("Charge", 10, weight=50, reading=1700),  # 18 to 27 January
        day("Charge", 2, weight=50, reading=1900),
        day("Cold", 0, reading=1900),
    ]
    tariffs = ({"start": "2020-01-01", "price": 0.10}, {"start": "2025-01-21", "price": 0.20})
    results = late(*tariffs, rows=rows, start="2025-01-16", price=0.13)
    assert results.columns["late_days"][:5] == [2, 3, 0, 0, 0]  # up to the 20th
    assert results.columns["late_change"][:3] == pytest.approx([6, 9, 0])  # 100 kWh a day x 0.03


# ------------------------------------------------------------------------------------------------ the studio


def test_the_furnaces_rate_and_the_effect_on_a_year() -> None:
    tariffs = [{"start": "2020-01-01", "price": 0.2, "service": 36.5}]
    letter = {"letter_start": APRIL, "letter_price": 0.3, "letter_service": 73.0}
    results = shelf(CUP, letter=letter, tariffs=tariffs, shop={"ordinary_weight": 4380})
    # standing: 1.20 a day x 365 / 4380 = 0.10 a weight, then 0.20
    assert results.value("hot_before") == pytest.approx(0.64)
    assert results.value("hot_after") == pytest.approx(0.96)
    assert results.value("standing_before") == pytest.approx(0.1)
    assert results.value("standing_after") == pytest.approx(0.2)
    assert results.value("pool_after") == pytest.approx(580)  # (0.96 + 0.20) x 500
    assert results.value("rate_after") == pytest.approx(1.45)  # 580 / 400
    assert results.value("year_use") == pytest.approx(29200)  # 1600 kWh in 20 days, x 365 / 20
    assert results.value("effect_energy") == pytest.approx(2920)  # 29200 kWh x 0.10
    assert results.value("effect_standing") == pytest.approx(438)  # 1.20 x 365
    assert results.value("effect_year") == pytest.approx(3358)
    assert results.value("effect_energy_month") == pytest.approx(2920 / 12)
    assert results.value("effect_standing_month") == pytest.approx(36.5)
    assert results.value("effect_month") == pytest.approx(3358 / 12)
    assert results.value("effect_note") == "A year's use: from 20 logged days, × 365 ÷ 20."
    assert results.value("cost_after", 1) == pytest.approx(9.2 + 1.45)


def logged(*rows: dict[str, Any], **more: Any) -> Results:
    return shelf(CUP, log=list(rows), **more)


def test_twelve_logged_months_are_a_year_as_they_are() -> None:
    # The twelve months of a log that ends on 31 March begin on 1 April: 365 days, 360 of them idle at 60 kWh.
    results = logged(day("Charge", 5, date="2024-04-01", charges=5, weight=500), day("Idle", 360))
    assert (results.value("year_logged"), results.value("effect_days")) == (1, 365)
    assert results.value("year_use") == pytest.approx(5 * 100 + 360 * 60)
    assert results.value("effect_energy") == pytest.approx(22100 * 0.1)
    assert results.value("effect_note") == "A year's use: from 365 logged days of the last 12 months."
    # A row that began before them counts before them, so 355 days are left; they are logged all the same.
    longer = logged(day("Idle", 20, date="2024-03-22"), day("Charge", 5, charges=5, weight=500), day("Idle", 350))
    assert (longer.value("year_logged"), longer.value("effect_days")) == (1, 355)
    assert longer.value("year_use") == pytest.approx(500 + 350 * 60)
    # One day less: the log begins on the second of the twelve months' days.
    short = logged(day("Charge", 4, date="2024-04-02", charges=4, weight=500), day("Idle", 360))
    assert (short.value("year_logged"), short.value("effect_days")) == (0, 364)
    assert short.value("year_use") == pytest.approx((400 + 21600) * 365 / 364)


def test_all_measured_days_stand_in_where_the_twelve_months_have_no_glass() -> None:
    # Charged in one row of January 2023 only: all 740 days count, and a year of them is 365 / 740.
    results = logged(day("Charge", 10, date="2023-01-01", charges=10, weight=500), day("Idle", 730))
    assert results.value("effect_days") == 740
    assert results.value("year_use") == pytest.approx((1000 + 43800) * 365 / 740)
    assert results.value("effect_note") == "A year's use: from 740 logged days, × 365 ÷ 740."


def test_a_log_of_one_day_and_none() -> None:
    one = logged(day("Charge", 1, date="2025-03-01", weight=50))
    assert one.value("effect_energy") == pytest.approx(100 * 365 * 0.1)
    assert one.value("effect_note") == "A year's use: from 1 logged day, × 365 ÷ 1."
    none = logged()
    for name in ("year_use", "effect_energy", "effect_year", "effect_month", "effect_note"):
        assert none.value(name) is None
    assert (none.value("year_logged"), none.value("effect_days")) == (0, 0)


def test_service_and_demand_of_nothing_are_not_shown_as_a_price() -> None:
    year = {"ordinary_weight": 4380}
    none = shelf(CUP, shop=year)
    assert (none.value("standing_before"), none.value("standing_after")) == (None, None)
    tariffs = [{"start": "2020-01-01", "price": 0.2, "service": 36.5}]
    gone = shelf(CUP, shop=year, tariffs=tariffs, letter={"letter_start": APRIL, "letter_service": 0})
    assert gone.value("standing_before") == pytest.approx(0.1)
    assert gone.value("standing_after") == 0
    new = shelf(CUP, shop=year, letter={"letter_start": APRIL, "letter_service": 36.5})
    assert (new.value("standing_before"), new.value("standing_after")) == (None, pytest.approx(0.1))


def test_a_pricing_date_before_the_first_tariff() -> None:
    # Nothing is priced on that date, so there is nothing to compare with. The pool holds the energy alone:
    # 1600 / 500 x 0.30 x 500 = 480, without the service charge, which no price carries.
    rates = [{"start": "2020-01-01", "price": 0.20, "service": 30}]
    results = shelf(CUP, shop={"pricing_date": "2019-06-01"}, tariffs=rates)
    assert results.value("price_standing") is None
    assert results.value("pool_after") == pytest.approx(480)
    for name in ("rate_after", "effect_year", "retag_sentence"):
        assert results.value(name) is None


def test_wear_and_the_furnace_itself_stay() -> None:
    furnace = {"meter_kind": "No meter", "furnace_purchase": 1000, "furnace_life": 10}
    results = shelf(CUP, furnace=furnace, shop={"ordinary_weight": 1000})
    # own 100 a year / 1000 = 0.10: (0.64 + 0.10) x 500 / 400 = 0.925, then (0.96 + 0.10) x 1.25 = 1.325
    assert results.value("furnace_rate") == pytest.approx(0.925)
    assert results.value("rate_after") == pytest.approx(1.325)


def test_a_furnace_that_costs_nothing_has_no_rate_to_compare() -> None:
    results = shelf({**CUP, "tag": 20}, tariffs=[{"start": "2020-01-01", "price": 0}])
    assert results.value("pool_after") == pytest.approx(480)
    assert results.value("rate_after") is None
    assert results.value("tag_verdict", 1) is None
    assert results.value("retag_sentence") is None


def test_what_a_piece_takes_of_the_furnace_by_gathers_or_minutes() -> None:
    gathers = shelf({**CUP, "gathers": 2}, shop={"furnace_by": "Gathers"})
    # 320 / 400 gathers = 0.80, then 1.20; two of them
    assert gathers.value("cost_good", 1) == pytest.approx(10.8)
    assert gathers.value("cost_after", 1) == pytest.approx(11.6)
    lost = shelf({**CUP, "loss": 0.2, "loss_after": 0.5})
    assert lost.value("cost_good", 1) == pytest.approx(25)  # 10 / 0.4
    assert lost.value("cost_after", 1) == pytest.approx(26)  # 10.40 / 0.4


# ------------------------------------------------------------------------------------------------- the tags


def test_retag_already_short_and_keep() -> None:
    pieces = [{**CUP, "name": str(tag), "tag": tag} for tag in (20, 19, 21, 30)]
    results = shelf(*pieces)
    # 10.40 asks for 20.80, so 21. At 20 the margin falls from 50 % to 48 %, at 19 from 47.4 % to 45.3 %
    assert results.columns["tag_after"][:4] == [21, 21, 21, 21]
    assert results.columns["tag_change"][:4] == [1, 2, 0, -9]
    assert results.columns["tag_verdict"] == ["Retag", "Already short", "Keep", "Keep", None]
    assert results.value("short_now_one", 1) == pytest.approx(0)
    assert results.value("short_after_one", 1) == pytest.approx(0.02)
    assert results.value("margin_after_one", 2) == pytest.approx(1 - 10.4 / 19)
    assert results.value("short_now", 2) == pytest.approx(0.5 - 9 / 19)
    assert results.value("after_one", 1) == pytest.approx(20.8)
    assert (results.value("retag_count"), results.value("short_count"), results.value("keep_count")) == (1, 1, 2)
    assert results.value("retag_list_count") == 2
    assert results.value("retag_sentence") == "2 tags to change: 1 by the letter, 1 already short before it; 2 to keep."
    assert results.columns["tag_new"] == [21, 21, None, None, None]
    assert results.columns["tag_rise"] == [1, 2, None, None, None]
    assert results.value("retag_heading") == "New tags for the tariff of 2025-04-01"
    assert results.value("retag_empty") is None


@pytest.mark.parametrize(("tolerance", "verdict"), [(None, "Retag"), (0.0, "Retag"), (0.02, "Keep"), (0.019, "Retag")])
def test_a_miss_within_the_tolerance_is_let_pass(tolerance: float | None, verdict: str) -> None:
    letter = {"letter_start": APRIL, "letter_price": 0.3, "retag_tolerance": tolerance}
    results = shelf({**CUP, "tag": 20}, letter=letter)  # misses by 0.02
    assert results.value("tag_verdict", 1) == verdict


def test_no_tolerance_typed_is_one_point() -> None:
    letter = {"letter_start": APRIL, "letter_price": 0.24, "retag_tolerance": None}
    # 384 / 400 = 0.96: 10.16; at 20.1 the margin is 49.45 %, short by 0.55 points
    results = shelf({**CUP, "tag": 20.1}, letter=letter)
    assert results.value("retag_tolerance_used") == 0.01
    assert results.value("tag_after", 1) == 21
    assert results.value("tag_verdict", 1) == "Keep"


def test_a_rise_that_does_not_move_the_rounded_tag_keeps_it() -> None:
    # 20.80 rounds up to 25, which is on the cup already; 24 would be short by nothing. No change, no new tag.
    results = shelf({**CUP, "tag": 25}, shop={"tag_step": 5})
    assert (results.value("tag_change", 1), results.value("tag_verdict", 1)) == (0, "Keep")


def test_a_tag_is_never_lowered() -> None:
    cheaper = {"letter_start": APRIL, "letter_price": 0.1}
    # 160 / 400 = 0.40: the cup costs 9.60, and 19.20 asks for 20
    results = shelf({**CUP, "tag": 30}, {**CUP, "name": "Low", "tag": 10}, letter=cheaper)
    assert results.columns["cost_after"][:2] == pytest.approx([9.6, 9.6])
    assert results.columns["tag_change"][:2] == [-10, 10]
    assert results.columns["tag_verdict"][:2] == ["Keep", "Already short"]  # short in spite of the letter
    assert results.columns["retag_flag"] == [0, 1, 0, 0, 0]


def test_a_blank_tag_is_todays_suggestion() -> None:
    results = shelf(CUP)
    assert results.value("after_tag_now", 1) == 20
    assert results.value("tag_verdict", 1) == "Retag"


def test_the_worst_of_the_ways_that_must_earn_decides() -> None:
    channels = [
        SHOP,
        {"name": "Gallery", "commission": 0.4, "margin": 0.1, "must_earn": "Yes"},
        {"name": "Fair", "margin": 0.9},
    ]
    results = shelf({**CUP, "tag": 20}, channels=channels)
    # gallery: net 12, margin (12 - 10) / 12 = 16.7 %, then 13.3 %: better than its target by 3.3 points
    assert results.value("short_after_two", 1) == pytest.approx(0.1 - 1.6 / 12)
    assert results.value("short_after", 1) == pytest.approx(0.02)
    assert results.value("margin_after", 1) == pytest.approx(1.6 / 12)
    assert results.value("margin_after_lowest", 1) == pytest.approx(1.6 / 12)
    assert results.value("after_two", 1) == pytest.approx(10.4 / 0.9 / 0.6)
    for name in ("short_now_three", "net_after_three", "margin_after_three", "after_three", "after_four"):
        assert results.value(name, 1) is None


def test_what_is_replaced_costs_more_too() -> None:
    lossy = {**SHOP, "lost_share": 0.1, "fixed_fee": 1}
    results = shelf({**CUP, "tag": 24}, channels=[lossy])
    # net 24 - 1 - 0.1 x 10 = 22, then 24 - 1 - 1.04 = 21.96; tag for a half: 10.40 x (2 + 0.1) + 1 = 22.84
    assert results.value("net_after_one", 1) == pytest.approx(21.96)
    assert results.value("short_now_one", 1) == pytest.approx(0.5 - 12 / 22)
    assert results.value("after_one", 1) == pytest.approx(22.84)


def test_a_tag_with_tax_in_it() -> None:
    # 20.80 x 1.2 = 24.96, so 24.95 is too little and 25.95 is next; 24 is 20 before tax: short by 2 points
    results = shelf({**CUP, "tag": 24}, shop={"sales_tax": 0.2, "tax_inside": "Yes", "tag_ending": 0.95})
    assert results.value("after_wanted", 1) == pytest.approx(20.8)
    assert results.value("after_cents", 1) == pytest.approx(24.96)
    assert results.value("tag_after", 1) == pytest.approx(25.95)
    assert results.value("short_after", 1) == pytest.approx(0.02)


def test_no_tag_can_do_it() -> None:
    results = shelf({**CUP, "tag": 12}, channels=[{**SHOP, "commission": 1}])
    assert results.value("tag_after", 1) == "No tag can do it"
    assert results.value("after_wanted", 1) == "No tag can do it"
    assert (results.value("tag_change", 1), results.value("after_cents", 1), results.value("after_one", 1)) == (
        None, None, None,
    )  # fmt: skip
    assert results.value("margin_after", 1) == "At a loss"
    assert results.value("margin_after_lowest", 1) == -1
    assert results.value("tag_verdict", 1) == "Keep"
    assert shelf(CUP, channels=[{**SHOP, "commission": 1}]).value("tag_verdict", 1) is None  # no tag at all


def test_no_way_must_earn() -> None:
    results = shelf({**CUP, "tag": 12}, channels=[{"name": "Fair", "margin": 0.5}])
    assert results.value("cost_after", 1) == pytest.approx(10.4)
    assert (results.value("tag_after", 1), results.value("tag_verdict", 1)) == (None, None)
    assert results.value("retag_sentence") == "No tag to change; 0 to keep."
    assert results.value("retag_empty") == "No tag changes."


def test_the_list_of_new_tags_is_in_the_order_of_the_shelf() -> None:
    pieces = [
        {**CUP, "name": "Last", "tag": 20},
        {**CUP, "name": "Kept", "tag": 40, "order": 1},
        {**CUP, "name": "Second", "tag": 20, "order": 3, "size": "4 in"},
        {**CUP, "name": "Third", "tag": 19, "order": 3},
        {**CUP, "name": "First", "tag": 18.5, "order": 2},
    ]
    results = shelf(*pieces, shop={"studio_name": "Hot Shop"})
    assert results.columns["retag_place"] == [4, None, 2, 3, 1]
    assert results.columns["retag_row"] == [5, 3, 4, 1, 0]
    assert results.columns["retag_name"] == ["First", "Second", "Third", "Last", None]
    assert results.columns["retag_size"] == [None, "4 in", None, None, None]
    assert results.columns["retag_old"] == [18.5, 20, 19, 20, None]
    assert results.columns["retag_new"] == [21, 21, 21, 21, None]
    assert results.columns["retag_why"] == [
        "Margin 6.22 % too low, 4.05 % already",  # 0.5 - (18.5 - 10.4) / 18.5, and with 10
        "Margin 2.00 % too low",
        "Margin 4.74 % too low, 2.63 % already",
        "Margin 2.00 % too low",
        None,
    ]
    assert results.columns["retag_before_words"] == ["4.05", None, "2.63", None, None]
    assert results.columns["retag_key"] == [999999, FAR_DATE, 3, 3, 2]
    assert results.value("retag_list_count") == 4
    assert results.value("retag_studio") == "Hot Shop"


def test_without_a_letter_pieces_show_only_what_is() -> None:
    results = shelf({**CUP, "tag": 20}, letter={})
    assert results.value("after_tag_now", 1) == 20
    assert results.value("after_cost_now", 1) == pytest.approx(10)
    assert results.value("after_margin_now", 1) == pytest.approx(0.5)
    for name in ("cost_after", "short_now", "short_now_one", "tag_after", "after_wanted", "tag_verdict"):
        assert results.value(name, 1) is None
    assert results.value("retag_studio") == "Your studio"
    assert results.value("retag_sentence") is None
    for name in ("retag_list_count", "retag_count", "short_count", "keep_count", "retag_heading"):
        assert results.value(name) is None
    assert results.value("retag_empty") == "No letter is typed, so no tag changes."


def test_a_letter_before_the_furnaces_rate_is_known() -> None:
    results = letter({"price": 0.2}, price=0.3)
    assert results.value("retag_empty") == "The furnace's rate isn't known yet, so no tag is judged."
    assert results.value("retag_heading") == "New tags for the tariff of 2025-04-01"
