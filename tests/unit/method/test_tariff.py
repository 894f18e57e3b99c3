from __future__ import annotations

import pytest

from tests.unit.method.studios import day, on, run

TWO_LETTERS = [{"start": "2025-01-01", "price": 0.10}, {"start": "2025-01-11", "price": 0.20}]


def test_all_in_price_with_times_of_use_surcharge_and_tax() -> None:
    # 0.5 x 0.30 + 0.3 x 0.20 + 0.2 x 0.10 = 0.23; + 0.02 = 0.25; x 1.2 = 0.30
    letter = {
        "start": "2025-01-01", "price": 0.30, "price_two": 0.20, "price_three": 0.10,
        "share_one": 0.5, "share_two": 0.3, "share_three": 0.2, "surcharge": 0.02, "tax": 0.2,
    }  # fmt: skip
    results = run(tariffs=[letter])
    assert results.value("tariff_mix", 1) == pytest.approx(0.23)
    assert results.value("tariff_all_in", 1) == pytest.approx(0.30)
    assert results.value("tariff_bad_share", 1) == 0
    assert run(tariffs=[{**letter, "share_three": 0.1}]).value("tariff_bad_share", 1) == 1


def test_standing_charges_a_day() -> None:
    # a month: (36.50 x 0.5) x 12 / 365 = 0.6; a day: 0.6 as typed; demand 3.65 x 10 x 0.25 x 12 / 365 = 0.3
    month = {"start": "2025-01-01", "price": 0.1, "service": 36.5, "service_share": 0.5}
    daily = {"start": "2025-01-01", "price": 0.1, "service": 0.6, "service_per": "Day"}
    demand = {"demand": 3.65, "demand_kw": 10, "demand_share": 0.25, "tax": 0.1}
    assert run(tariffs=[month]).value("tariff_standing", 1) == pytest.approx(0.6)
    assert run(tariffs=[daily]).value("tariff_standing", 1) == pytest.approx(0.6)
    assert run(tariffs=[{**daily, **demand}]).value("tariff_standing", 1) == pytest.approx(0.99)


def test_rows_out_of_order_are_ignored_and_reported() -> None:
    results = run(
        tariffs=[
            {"start": "2025-02-01", "price": 0.1},
            {"start": "2025-01-01", "price": 0.9},
            {"price": 0.5},
            {"start": "2025-03-01", "price": 0.2},
        ]
    )
    assert results.columns["tariff_valid"] == [1, 0, 0, 1, 0]
    assert results.columns["tariff_bad_order"] == [0, 1, 1, 0, 0]
    assert results.columns["tariff_all_in"] == pytest.approx([0.1, 0.1, 0.1, 0.2, 0.2])
    assert results.ends["tariff_key"] == on("2025-03-01")
    assert results.value("tariff_newest") == on("2025-03-01")
    # 28 days of February x 0.1
    assert results.value("tariff_integral", 4) == pytest.approx(2.8)


def test_a_price_that_jumps_is_noticed() -> None:
    cents = [{"start": "2025-01-01", "price": 0.1}, {"start": "2025-02-01", "price": 11}]
    assert run(tariffs=cents).columns["tariff_jump"][:2] == [0, 1]
    first = [{"start": "2025-01-01", "price": 11}]
    assert run(tariffs=first).value("tariff_jump", 1) == 0
    assert run(tariffs=first, shop={"price_limit": 2}).value("tariff_jump", 1) == 1


def test_a_row_across_a_change_is_split_by_days() -> None:
    results = run(
        furnace={"meter_kind": "kWh meter"},
        tariffs=TWO_LETTERS,
        log=[day("Charge", 10, date="2025-01-07", reading=1000)],
    )
    # 4 days at 0.10, 6 at 0.20: 1.6 / 10
    assert results.value("mean_price", 1) == pytest.approx(0.16)
    assert results.value("energy_cost", 1) == pytest.approx(160)
    assert results.value("price_to_first", 1) == pytest.approx(0.6)
    assert results.value("price_to_next", 1) == pytest.approx(2.2)


def test_a_row_across_two_changes_and_blank_rows_between_letters() -> None:
    letters = [TWO_LETTERS[0], {}, TWO_LETTERS[1], {"start": "2025-01-13", "price": 0.30}]
    results = run(
        furnace={"meter_kind": "kWh meter"},
        tariffs=letters,
        log=[day("Charge", 10, date="2025-01-07", reading=1000)],
    )
    # 4 x 0.10 + 2 x 0.20 + 4 x 0.30 = 2.0
    assert results.value("mean_price", 1) == pytest.approx(0.2)
    assert (results.value("tariff_first", 1), results.value("tariff_last", 1)) == (3, 7)


def test_positions_count_the_seed_row_and_equal_dates_give_the_last() -> None:
    results = run(tariffs=TWO_LETTERS, log=[day("Charge", 1, date="2025-01-01"), day("Idle", 1, date="2024-01-01")])
    # keys: 0, 11 January's two rows ... the seed is row 1, the first letter row 2
    assert results.value("tariff_first", 1) == 2
    assert results.value("tariff_first", 2) == 1
    assert results.value("tariff_first", 3) == 1
    newest = run(tariffs=TWO_LETTERS, log=[day("Charge", 1, date="2025-06-01")])
    assert newest.value("tariff_first", 1) == 7  # five prepared rows and the end row repeat the newest date


def test_days_before_the_first_letter_have_no_price() -> None:
    results = run(
        furnace={"meter_kind": "kWh meter"},
        tariffs=TWO_LETTERS,
        log=[day("Charge", 4, date="2024-12-30", weight=5, reading=10), day("Charge", 1, reading=20)],
    )
    assert results.columns["row_priced"][:2] == [0, 1]
    assert results.columns["row_measured"][:2] == [0, 1]
    assert results.value("log_status", 1) == "No tariff on this day yet"
    assert results.value("row_standing", 1) == 0


def test_what_the_letter_before_had_and_a_newer_one_has_blank_is_a_note() -> None:
    full = {"price": 0.2, "tax": 0.05, "service": 30, "demand": 6, "demand_kw": 10}
    rows = [
        {"start": "2025-01-01", **full},
        {"start": "2025-02-01", "price": 0.3},  # drops all three
        {"start": "2025-03-01", **full},
        {"price": 0.3},  # no letter, so the next one follows the one above it
        {"start": "2025-05-01", "price": 0.3, "tax": 0, "service": 0, "demand_kw": 10},  # a typed 0 is meant
    ]
    results = run(tariffs=rows)
    assert results.columns["tariff_kept"] == [1, 2, 3, 3, 5]
    assert results.columns["tax_dropped"] == [0, 1, 0, 0, 0]
    assert results.columns["service_dropped"] == [0, 1, 0, 0, 0]
    assert results.columns["demand_dropped"] == [0, 1, 0, 0, 1]
    assert (results.value("check_found", 49), results.value("check_state", 49)) == (4, "NOTE")
    assert run(tariffs=rows[:1]).value("check_found", 49) == 0


def test_the_pricing_date_is_typed_or_the_logs_last_day() -> None:
    log = [day("Charge", 5, date="2025-01-03")]
    assert run(tariffs=TWO_LETTERS, log=log).value("price_now") == pytest.approx(0.1)
    later = run(tariffs=TWO_LETTERS, log=log, shop={"pricing_date": "2025-02-01"})
    assert later.value("price_now") == pytest.approx(0.2)
    assert later.value("price_now_from") == on("2025-01-11")
    early = run(tariffs=TWO_LETTERS, log=log, shop={"pricing_date": "2024-02-01"})
    assert early.value("price_now") is None
    assert early.value("pricing_row") == 1
    assert run(tariffs=TWO_LETTERS).value("pricing_row") is None
