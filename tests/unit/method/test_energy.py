from __future__ import annotations

import random
from typing import Any

import pytest

from meltbook.studio.capacity import Capacity
from tests.unit.method.studios import FLAT, day, kwh_log, numbers, on, run

# ------------------------------------------------------------------------------------------------ the meter


def test_the_connected_load_as_typed_comes_first() -> None:
    furnace = {"connected_kw": 12, "measured_amps": 30, "measured_volts": 240, "nameplate_kw": 9}
    assert run(furnace=furnace).value("kw_in_use") == 12


def test_measured_amps_and_volts_give_kilowatts() -> None:
    # 30 A x 240 V / 1000 = 7.2; three-phase x 1.732 = 12.4704
    single = run(furnace={"measured_amps": 30, "measured_volts": 240})
    three = run(furnace={"measured_amps": 30, "measured_volts": 240, "measured_phases": 3})
    assert single.value("kw_in_use") == pytest.approx(7.2)
    assert three.value("kw_in_use") == pytest.approx(12.4704)


def test_a_nameplate_is_brought_to_the_supplys_volts() -> None:
    # 12 kW x (220 / 240)^2 = 12 x 0.840277... = 10.08333...
    furnace = {"nameplate_kw": 12, "nameplate_volts": 240, "supply_volts": 220}
    assert run(furnace=furnace).value("kw_in_use") == pytest.approx(12 * 220 * 220 / 240 / 240)
    assert run(furnace={**furnace, "nameplate_volts": 0}).value("kw_in_use") is None


def test_without_a_connected_load_an_hour_meter_says_nothing() -> None:
    log = [day("Charge", 2, date="2025-01-01", weight=100, reading=20)]
    results = run(tariffs=FLAT, log=log)
    assert results.value("energy_known") == 0
    assert results.value("row_measured", 1) == 0
    assert results.value("period_rows", 1) == 0


# ---------------------------------------------------------------------------------------------------- dates


def test_a_row_without_a_date_follows_on() -> None:
    results = kwh_log(day("Heat-up", 3, date="2025-01-01"), day("Charge"), {}, day("Idle", 2))
    assert results.columns["first_day"][:5] == [on("2025-01-01"), on("2025-01-04"), 0, on("2025-01-05"), 0]
    assert results.columns["next_day"][:5] == [
        on("2025-01-04"),
        on("2025-01-05"),
        on("2025-01-05"),
        on("2025-01-07"),
        on("2025-01-07"),
    ]
    assert results.value("log_last_day") == on("2025-01-06")


def test_a_reading_alone_is_taken_at_the_close_of_the_day_before() -> None:
    results = kwh_log(day("Charge", 2, date="2025-01-01"), day("Idle", 0, reading=100), day("Idle", 1))
    assert results.columns["first_day"][:3] == [on("2025-01-01"), on("2025-01-02"), on("2025-01-03")]
    assert results.value("row_flow_dates", 2) == 0


def test_gaps_and_overlaps_are_seen() -> None:
    results = kwh_log(
        day("Charge", 2, date="2025-01-01"),
        day("Charge", 2, date="2025-01-05"),  # 3 and 4 January are missing
        day("Charge", 2, date="2025-01-06"),  # 6 January is taken
        day("Idle", 0, date="2025-01-07", reading=1),
    )
    assert results.columns["day_gap"][:4] == [0, 2, -1, 0]
    assert results.columns["row_flow_dates"][:4] == [0, 3, 2, 0]


def test_a_log_without_any_date_asks_for_one() -> None:
    results = kwh_log(day("Charge", 2, weight=100))
    assert results.value("first_day", 1) == 0
    assert results.value("log_status", 1) == "The first row needs a date"
    assert results.value("log_last_day") is None


# ------------------------------------------------------------------------------------------------ stretches


def test_a_reading_is_shared_by_days_and_weight() -> None:
    # idle weighs 0.5: 4 x 1 + 2 x 0.5 = 5; 100 kWh / 5 = 20 a day
    results = kwh_log(
        day("Charge", 4, date="2025-01-01"),
        day("Idle", 2, reading=1100),
        furnace={"opening_reading": 1000},
        day_kinds=[{}, {}, {}, {"weighting": 0.5}],
    )
    assert results.columns["energy_used"][:2] == [80, 20]
    assert results.columns["stretch_kind"][:2] == [9, 9]


def test_pure_stretches_tell_their_kind() -> None:
    results = kwh_log(
        day("Charge", 2, date="2025-01-01", weight=200, reading=600),  # 300 a day
        day("Idle", 2, reading=900),  # 150 a day
    )
    assert results.columns["row_own"][:2] == [1, 1]
    # one more charge: (600 - 2 x 150) x 0.10 / 200 = 0.15
    assert results.value("step_charge", 1) == pytest.approx(0.15)


def test_a_reading_that_falls_back_counts_nothing_and_the_next_starts_there() -> None:
    results = kwh_log(
        day("Charge", 1, date="2025-01-01", reading=500),
        day("Charge", 1, reading=400),
        day("Charge", 1, reading=450),
    )
    assert results.columns["energy_used"][:3] == [500, 0, 50]
    assert results.columns["row_measured"][:3] == [1, 0, 1]
    assert results.columns["stretch_close"][:3] == [1, 2, 1]
    assert results.value("log_status", 2) == "Reading below the one before"


def test_use_that_no_day_can_carry_goes_to_the_next_stretch() -> None:
    results = kwh_log(
        day("Cold", 5, date="2025-01-01", reading=30),
        day("Charge", 2, reading=130),
    )
    # 30 + 100 over 2 days
    assert results.columns["energy_used"][:2] == [0, 130]
    assert results.columns["use_pending"][:2] == [30, 0]
    assert results.value("use_not_placed") == 0
    assert results.value("check_found", 9) == 1


def test_use_left_at_the_end_is_not_placed() -> None:
    results = kwh_log(day("Charge", 1, date="2025-01-01", reading=10), day("Cold", 2, reading=14))
    assert results.value("use_not_placed") == 4
    assert results.ends["use_pending"] == 4
    assert results.value("check_found", 9) == 2  # use is left over, and a reading had no day to carry it


def test_a_new_meter_starts_again_with_its_own_load() -> None:
    results = run(
        furnace={"connected_kw": 10},
        tariffs=FLAT,
        log=[
            day("Charge", 2, date="2025-01-01", reading=20),  # 20 h x 10 kW
            day("New meter", reading=5, new_kw=8),
            day("Charge", 2, reading=25),  # 20 h x 8 kW
        ],
    )
    assert results.columns["energy_used"][:3] == [200, 0, 160]
    assert results.columns["reading_base"][:3] == [20, 5, 25]
    assert results.columns["stretch_close"][:3] == [1, 3, 1]
    assert results.value("row_flow", 2) == 0


def test_an_old_meter_that_was_not_read_loses_its_days() -> None:
    results = kwh_log(
        day("Charge", 2, date="2025-01-01"),
        day("New meter", reading=0),
        day("Charge", 2, reading=100),
    )
    assert results.columns["stretch_state"][:3] == [3, 3, 1]
    assert results.columns["row_measured"][:3] == [0, 0, 1]
    assert results.value("log_status", 2) == "Read the old meter before the new one"


def test_rows_after_the_last_reading_wait() -> None:
    results = kwh_log(day("Charge", 1, date="2025-01-01", reading=10), day("Charge"), {}, day("Idle"))
    assert results.value("waiting_rows") == 2
    assert results.value("log_status", 4) == "Waiting for a reading"
    assert results.columns["log_energy_shown"][:4] == [10, None, None, None]
    assert results.value("last_measured_day") == on("2025-01-01")


# ------------------------------------------------------------------------------------------------ campaigns


def test_a_run_of_heat_up_rows_is_one_start() -> None:
    results = kwh_log(
        day("Charge", 1, date="2025-01-01"),  # hot already: campaign 1
        day("Heat-up"),
        day("Idle", 0, reading=5),  # a reading does not break the run
        {},
        day("Heat-up"),
        day("Charge"),
        day("Heat-up"),
    )
    assert results.columns["campaign_no"][:8] == [1, 2, 2, 2, 2, 2, 3, 3]
    assert results.columns["row_starts"][:7] == [0, 1, 0, 0, 0, 0, 1]
    assert results.value("starts_all") == 2
    assert results.value("campaign_count") == 3


def test_a_reading_before_any_day_is_in_no_campaign_but_counts_with_the_first() -> None:
    results = kwh_log(day("Idle", 0, date="2024-12-31", reading=0), day("Charge", 1, weight=10, reading=5))
    assert results.columns["campaign_no"][:2] == [0, 1]
    assert results.value("period_rows", 4) == 2


def test_charges_are_one_a_charge_row_unless_typed() -> None:
    results = kwh_log(
        day("Charge", 1, date="2025-01-01"),
        day("Charge", 3),
        day("Charge", 3, charges=2),
        day("Charge", 0),
        day("Blow", 1, charges=1),
    )
    assert results.columns["row_charges"][:5] == [1, 1, 2, 0, 1]
    assert results.value("log_status", 2) == "How many charges were these days?"


# ------------------------------------------------------------ the same, told row by row from the row above

CARRIED = ("stretch_", "reading_", "use_", "days_")
ALSO = ("row_kind", "row_days", "row_hot_days", "row_starts", "weighted_days", "run_kind", "campaign_no")
KINDS = ["Heat-up", "Charge", "Blow", "Idle", "Cold", "New meter"]


def _random_log(chance: random.Random) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = []
    reading = 0.0
    for _ in range(chance.randint(1, 25)):
        row: dict[str, Any] = {}
        if chance.random() < 0.85:
            row["kind"] = chance.choice(KINDS)
        if not rows and chance.random() < 0.8:
            row["date"] = "2025-01-01"
        if chance.random() < 0.5:
            row["days"] = chance.randint(0, 4)
        if chance.random() < 0.4:
            reading += chance.choice([-5, 0, 10, 20])
            reading = max(reading, 0)
            row["reading"] = reading
        rows.append(row)
    return rows


@pytest.mark.parametrize("seed", range(60))
def test_carrying_from_row_to_row_comes_to_the_same(seed: int) -> None:
    chance = random.Random(seed)
    typed = _random_log(chance)
    weights = [chance.choice([None, 0.5, 0]) for _ in range(6)]
    results = kwh_log(
        *typed,
        day_kinds=[{"weighting": weight} for weight in weights],
        capacity=Capacity(log=30, campaigns=30),
    )
    got = {name: numbers(results, name) for name in results.columns if name.startswith(CARRIED) or name in ALSO}
    typed = typed + [{}] * (30 - len(typed))
    close_above = since_above = pending_above = mix_above = campaign_above = run_above = base_above = 0.0
    for index, row in enumerate(typed):
        kind, weighted = got["row_kind"][index], got["weighted_days"][index]
        reading = row.get("reading")
        close, use = 0, 0.0
        if kind == 6:
            close = 3
        elif kind and reading is not None:
            close = 2 if reading < base_above else 1
            use = reading - base_above if close == 1 else 0.0
        base = (reading or 0.0) if kind == 6 else reading if kind and reading is not None else base_above
        since = weighted + (since_above if close_above == 0 else 0)
        share = pending_above + use
        pending = 0.0 if close == 1 and since > 0 else share
        hot, before = got["row_hot_days"][index], mix_above if close_above == 0 else 0
        mix = before if hot == 0 else kind if before in (0, kind) else 9
        lasts = got["row_days"][index] > 0
        run_kind = kind if kind and lasts else run_above
        starts = int(kind == 1 and lasts and run_above != 1)
        campaign = campaign_above + (1 if lasts and (campaign_above == 0 or starts) else 0)
        for name, value in (
            ("stretch_close", close),
            ("reading_use", use),
            ("reading_base", base),
            ("days_since", since),
            ("use_to_share", share),
            ("use_pending", pending),
            ("stretch_mix", mix),
            ("run_kind", run_kind),
            ("row_starts", starts),
            ("campaign_no", campaign),
        ):
            assert got[name][index] == pytest.approx(value), (name, index)
        close_above, since_above, pending_above, mix_above = close, since, pending, mix
        campaign_above, run_above, base_above = campaign, run_kind, base

    state_below, a_day_below, kind_below = 4.0, 0.0, 0.0
    for index in reversed(range(30)):
        closed = got["stretch_close"][index]
        if closed:
            state_below, kind_below = closed, got["stretch_mix"][index]
            since, share = got["days_since"][index], got["use_to_share"][index]
            a_day_below = share / since if closed == 1 and since else 0.0
        assert got["stretch_state"][index] == state_below
        assert got["stretch_kind"][index] == kind_below
        assert got["use_per_day"][index] == pytest.approx(a_day_below)
