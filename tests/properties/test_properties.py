"""What must not change money, over generated studios: order within a day, blank rows, units, who shares the furnace."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from meltbook.method import Results, compute
from meltbook.studio.capacity import Capacity
from meltbook.studio.energy import LogRow
from meltbook.studio.model import Studio
from tests.strategies.studios import SMALL, studios

ROOMY = Capacity(log=60, tariffs=8, ledger=6, part_kinds=4, glasses=3, overheads=4, pieces=5, campaigns=30)
MONEY = (
    *(f"happened_{step}" for step in ("charge", "melt", "hot", "standing", "wear", "glass", "own", "line_own")),
    *(f"price_{step}" for step in ("charge", "melt", "hot", "standing", "wear", "glass", "own", "line_own")),
    "furnace_rate",
    "low_rate",
    "made_value_total",
)
PER_PIECE = ("cost_good", "low_good", "tag_suggested", "margin_worst", "left_ranked")
QUICK = settings(max_examples=60, derandomize=True, deadline=None, suppress_health_check=list(HealthCheck))


def same(one: object, other: object) -> bool:
    if isinstance(one, int | float) and isinstance(other, int | float):
        return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-9)
    return one == other


def assert_same_money(one: Results, other: Results, scale: dict[str, float] | None = None) -> None:
    for name in MONEY:
        factor = (scale or {}).get(name, 1.0)
        value = one.scalars[name]
        expected = value * factor if isinstance(value, int | float) else value
        assert same(expected, other.scalars[name]), name
    for name in PER_PIECE:
        for at, (first, second) in enumerate(zip(one.columns[name], other.columns[name], strict=True)):
            assert same(first, second), (name, at)


def with_log(studio: Studio, log: list[LogRow]) -> Studio:
    return studio.model_copy(update={"log": tuple(log)})


@QUICK
@given(studios(SMALL), st.integers(0, 40))
def test_a_blank_row_changes_nothing(studio: Studio, at: int) -> None:
    log = list(studio.log)
    log.insert(min(at, len(log)), LogRow())
    assert_same_money(compute(studio, ROOMY), compute(with_log(studio, log), ROOMY))


@QUICK
@given(studios(SMALL), st.floats(1, 400), st.floats(1, 400))
def test_rows_of_one_day_and_kind_may_change_places(studio: Studio, one: float, other: float) -> None:
    """Two Charge rows of the same date, without readings: which stands first is nobody's business."""
    dated = [row for row in studio.log if row.kind and row.date and row.reading is None]
    assume(dated)
    day = dated[-1].date
    first = LogRow(date=day, kind="Charge", days=0, charges=1, weight=one, glass="Clear")
    second = LogRow(date=day, kind="Charge", days=0, charges=2, weight=other, gathers=7)
    at = studio.log.index(dated[-1]) + 1
    before, after = list(studio.log[:at]), list(studio.log[at:])
    assert_same_money(
        compute(with_log(studio, [*before, first, second, *after]), ROOMY),
        compute(with_log(studio, [*before, second, first, *after]), ROOMY),
    )


@QUICK
@given(studios(SMALL))
def test_pounds_and_kilograms_come_to_the_same_money(studio: Studio) -> None:
    """Every weight is converted and every price per weight with it; sums of money stay, rates per weight scale."""
    kg = 0.45359237
    pounds = studio.model_copy(update={"shop": studio.shop.model_copy(update={"weight_unit": "lb"})})

    def times(value: float | None, factor: float) -> float | None:
        return None if value is None else value * factor

    def changed(item: Any, **factors: float) -> Any:
        return item.model_copy(update={key: times(getattr(item, key), factor) for key, factor in factors.items()})

    kilos = studio.model_copy(
        update={
            "shop": changed(studio.shop, ordinary_weight=kg, gather_weight=kg).model_copy(update={"weight_unit": "kg"}),
            "glasses": tuple(changed(glass, price=1 / kg) for glass in studio.glasses),
            "log": tuple(changed(row, weight=kg) for row in studio.log),
            "pieces": tuple(
                changed(piece, drawn=kg, finished=kg, colour_weight=kg, colour_price=1 / kg) for piece in studio.pieces
            ),
        }
    )
    rates = {name: 1 / kg for name in MONEY if name.startswith(("happened_", "price_")) or name == "low_rate"}
    if studio.shop.furnace_by == "Weight":
        rates["furnace_rate"] = 1 / kg
    assert_same_money(compute(pounds, SMALL), compute(kilos, SMALL), rates)


@pytest.mark.parametrize("how", ["Weight", "Gathers", "Bench minutes"])
def test_each_way_of_sharing_the_furnace_recovers_all_of_it(how: str) -> None:
    """100 lb charged, 80 drawn: 20 bowls of 3 lb, 3 gathers, 30 minutes and 20 cups of 1 lb, 1 gather, 10 minutes.

    That is all the glass (60 + 20), all 80 gathers and all 800 minutes, so either way the pieces pay for everything.
    """
    results = compute(
        Studio.model_validate(
            {
                "shop": {"furnace_by": how, "share_drawn": 0.8, "window_hours": 800 / 60},
                "furnace": {"meter_kind": "kWh meter", "furnace_purchase": 5000.0, "furnace_life": 10.0},
                "tariffs": [{"start": "2025-01-01", "price": 0.2, "service": 30.0}],
                "log": [
                    {
                        "date": "2025-03-01",
                        "kind": "Charge",
                        "days": 10,
                        "charges": 4,
                        "weight": 100.0,
                        "gathers": 80.0,
                        "reading": 2000.0,
                    }
                ],
                "people": [{"rate": 30.0}],
                "pieces": [
                    {"name": "Bowl", "drawn": 3.0, "gathers": 3.0, "minutes": 30.0, "made": 20.0},
                    {"name": "Cup", "drawn": 1.0, "gathers": 1.0, "minutes": 10.0, "made": 20.0},
                ],
            }
        ),
        SMALL,
    )
    pool, paid = results.scalars["furnace_pool"], results.scalars["made_furnace_total"]
    # 2,000 kWh x 0.2 = 400 energy; 100 lb in 10 days is 3,650 a year: (360 + 500) / 3,650 x 100 = 23.56 besides.
    assert pool == pytest.approx(400 + (30 * 12 + 500) / 3650 * 100)
    assert paid == pytest.approx(pool)
    assert results.scalars["made_recovered"] == pytest.approx(1)
