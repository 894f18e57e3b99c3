"""Bills that utilities have published, posed to the tariff table and reproduced to the cent."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.published.both import answer, both, given

MONTH = 30
"""Days of the month that is billed. The publications name none; a fixed charge typed per day makes up for it."""


def bill(folder: Path, used: float, fixed: float, **rates: Any) -> float:
    """A month's energy as a kWh meter saw it, and a fixed charge, as the book adds them up."""
    book = both(
        folder,
        furnace={"meter_kind": "kWh meter"},
        tariffs=[{"start": "2020-01-01", "service": fixed / MONTH, "service_per": "Day", **rates}],
        log=[{"date": "2020-06-01", "kind": "Blow", "days": MONTH, "reading": used}],
    )
    return book.number("period_cost", 1) + book.number("period_standing", 1)


def on_and_off(on_peak: float, off_peak: float, on_peak_share: float) -> dict[str, float]:
    """Two periods of a time-of-use tariff and how the use falls on them."""
    return {"price": on_peak, "price_two": off_peak, "share_one": on_peak_share, "share_two": 1 - on_peak_share}


def test_a_flat_bill_at_river_falls(tmp_path: Path) -> None:
    """Source: River Falls Municipal Utilities, Wisconsin (2020); the fixed charge of 14.00 is inferred.

    675.54 kWh x 0.111 = 74.98494; with 14.00 that is 88.98494, to the cent 88.98.
    """
    posed = given("river_falls_time_of_use")
    found = bill(tmp_path, posed["kwh"], posed["fixed"], price=posed["flat"])
    assert round(found, 2) == answer("river_falls_time_of_use")[0]


@pytest.mark.parametrize("which", range(4))
def test_time_of_use_at_river_falls(tmp_path: Path, which: int) -> None:
    """Source: River Falls Municipal Utilities, Wisconsin (2020); the fixed charge of 14.00 is inferred.

    45 % on-peak: 0.45 x 0.191 + 0.55 x 0.066 = 0.08595 + 0.0363 = 0.12225; 675.54 x 0.12225 = 82.5848, bill 96.58.
    10 points shifted, 35 %: 0.06685 + 0.0429 = 0.10975; 74.1405, bill 88.14.
    15 points, 30 %: 0.0573 + 0.0462 = 0.1035; 69.9184, bill 83.92.
    20 points, 25 %: 0.04775 + 0.0495 = 0.09725; 65.6963, bill 79.70.
    """
    posed = given("river_falls_time_of_use")
    share = posed["on_peak_share"] - posed["points_shifted"][which] / 100
    found = bill(tmp_path, posed["kwh"], posed["fixed"], **on_and_off(posed["on_peak"], posed["off_peak"], share))
    assert round(found, 2) == answer("river_falls_time_of_use")[1 + which]


@pytest.mark.parametrize("which", range(2))
def test_time_of_use_at_fayetteville(tmp_path: Path, which: int) -> None:
    """Source: Fayetteville Public Works Commission, North Carolina. Energy only.

    80 % off-peak: 1,000 x (0.20 x 0.13 + 0.80 x 0.08473) = 26 + 67.784 = 93.784, bill 93.78.
    85 % off-peak: 1,000 x (0.15 x 0.13 + 0.85 x 0.08473) = 19.5 + 72.0205 = 91.5205, bill 91.52.
    """
    posed = given("fayetteville_time_of_use")
    share = 1 - posed["off_peak_shares"][which]
    found = bill(tmp_path, posed["kwh"], 0, **on_and_off(posed["on_peak"], posed["off_peak"], share))
    assert round(found, 2) == answer("fayetteville_time_of_use")[which]


Load = tuple[float, float, float]
"""Switched on and off, in minutes of the day, and the kW meanwhile."""


def billed_kw(loads: list[Load], interval: float) -> float:
    """The highest mean of an interval: what a demand meter bills."""
    last = max(off for _, off, _ in loads)
    means = []
    for number in range(int(last // interval) + 1):
        begin, end = number * interval, (number + 1) * interval
        kw_minutes = sum(kw * max(0.0, min(off, end) - max(on, begin)) for on, off, kw in loads)
        means.append(kw_minutes / interval)
    return max(means)


@pytest.mark.parametrize(("which", "hours"), [(0, (9, 9)), (1, (9, 14))])
def test_demand_at_columbia_river(tmp_path: Path, which: int, hours: tuple[int, ...]) -> None:
    """Source: Columbia River PUD, Oregon.

    Two loads of 5 kW, 30 minutes each. In the same hour: (5 + 5) x 30 / 60 = 5 kW, at 1.00 a kW 5.00 a month.
    In different hours the highest is 5 x 30 / 60 = 2.5 kW: 2.50 a month. A year's log of twelve such months
    costs twelve times that in service and demand.
    """
    posed = given("columbia_river_demand")
    loads = [(hour * 60.0, hour * 60.0 + posed["minutes"], posed["kw"]) for hour in hours]
    assert len(loads) == posed["loads"]
    book = both(
        tmp_path,
        furnace={"meter_kind": "kWh meter"},
        tariffs=[
            {
                "start": "2025-01-01",
                "price": 0.10,
                "demand": posed["a_kw"],
                "demand_kw": billed_kw(loads, posed["interval"]),
            }
        ],
        log=[{"date": "2025-01-01", "kind": "Blow", "days": 365, "reading": 1000}],
    )
    assert book.number("period_standing", 1) / 12 == pytest.approx(answer("columbia_river_demand")[which])
    # Demand doesn't scale with use: the energy is what it would be without.
    assert book.number("period_cost", 1) == pytest.approx(100)


def test_a_load_across_two_hours_counts_in_each() -> None:
    """Ours, to show that billed_kw works demand out from the loads: 20 minutes in one hour, 10 in the next."""
    assert billed_kw([(580, 610, 6.0)], 60) == pytest.approx(2.0)
    assert billed_kw([(580, 610, 6.0), (600, 615, 6.0)], 60) == pytest.approx(2.5)
