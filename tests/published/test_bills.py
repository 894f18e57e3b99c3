"""Bills that utilities have published, posed to the tariff table and reproduced to the cent."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.published.both import both, published


def bill(folder: Path, used: float, fixed: float, **rates: Any) -> float:
    """A month of 30 days: the energy that a kWh meter saw and a fixed charge, as the book adds them up."""
    book = both(
        folder,
        furnace={"meter_kind": "kWh meter"},
        tariffs=[{"start": "2020-01-01", "service": fixed / 30, "service_per": "Day", **rates}],
        log=[{"date": "2020-06-01", "kind": "Blow", "days": 30, "reading": used}],
    )
    return book.number("period_cost", 1) + book.number("period_standing", 1)


def shares(on_peak: float) -> dict[str, float]:
    return {"price": 0.191, "price_two": 0.066, "share_one": on_peak, "share_two": 1 - on_peak}


@pytest.mark.parametrize(
    ("which", "rates"),
    [
        (0, {"price": 0.111}),  # 675.54 x 0.111 = 74.985, + 14.00 = 88.98
        (1, shares(0.45)),  # 675.54 x (0.45 x 0.191 + 0.55 x 0.066) = 82.585, + 14.00 = 96.58
        (2, shares(0.35)),  # 675.54 x 0.10975 = 74.141, + 14.00 = 88.14
        (3, shares(0.30)),  # 675.54 x 0.1035 = 69.918, + 14.00 = 83.92
        (4, shares(0.25)),  # 675.54 x 0.09725 = 65.696, + 14.00 = 79.70
    ],
)
def test_time_of_use_at_river_falls(tmp_path: Path, which: int, rates: dict[str, float]) -> None:
    """Source: River Falls Municipal Utilities, Wisconsin (2020)."""
    assert round(bill(tmp_path, 675.54, 14.00, **rates), 2) == published()["river_falls_time_of_use"]["value"][which]


@pytest.mark.parametrize(("which", "off_peak"), [(0, 0.80), (1, 0.85)])
def test_time_of_use_at_fayetteville(tmp_path: Path, which: int, off_peak: float) -> None:
    """Source: Fayetteville PWC. 1,000 x (0.20 x 0.13 + 0.80 x 0.08473) = 93.78; at 85 % off-peak 91.52."""
    found = bill(tmp_path, 1000, 0, price=0.13, price_two=0.08473, share_one=1 - off_peak, share_two=off_peak)
    assert round(found, 2) == published()["fayetteville_time_of_use"]["value"][which]


@pytest.mark.parametrize(("which", "hours"), [(0, ({"first", "second"},)), (1, ({"first"}, {"second"}))])
def test_demand_at_columbia_river(tmp_path: Path, which: int, hours: tuple[set[str], ...]) -> None:
    """Source: Columbia River PUD. Each load is 5 kW for half an hour; billed is the highest hour's mean, at 1.00."""
    loads = {"first": (5.0, 0.5), "second": (5.0, 0.5)}
    billed = max(sum(kw * hour for name, (kw, hour) in loads.items() if name in names) for names in hours)
    book = both(tmp_path, tariffs=[{"start": "2020-01-01", "price": 0.1, "demand": 1.00, "demand_kw": billed}])
    a_month = book.number("tariff_demand_day", 1) * 365 / 12
    assert round(a_month, 2) == published()["columbia_river_demand"]["value"][which]
