"""Idle or cold, and how long a campaign: against counting every day and every charge."""

from __future__ import annotations

import random

import pytest

from meltbook.method import compute
from meltbook.method.results import Results
from meltbook.studio.decisions import Decisions
from meltbook.studio.model import Studio
from tests.decisions.pots import LEDGERS, pot_studio

PRICE = 0.14


def number(results: Results, name: str, row: int | None = None) -> float:
    value = results.value(name, row)
    assert isinstance(value, int | float), f"{name} is {value!r}"
    return float(value)


def drawn(count: int) -> list[Decisions]:
    source = random.Random(11)
    return [
        Decisions(
            gap_days=float(source.randrange(1, 60)),
            idle_day_typed=float(source.choice((60, 90, 150, 151.5))),
            cooling_days=float(source.choice((0, 1, 2, 3))),
            cooling_use=float(source.choice((0, 25))),
            heatup_days_typed=float(source.choice((2, 4, 5))),
            heatup_use_typed=float(source.choice((400, 900, 1600))),
            crack_chance=source.choice((None, 0.05, 0.2)),
            glass_worth=source.choice((None, 150.0)),
            cold_labour=source.choice((None, 60.0, 240.0)),
            day_value=source.choice((None, 0.0, 45.0, 200.0)),
            saving_share=source.choice((None, 0.005, 0.02, 0.1)),
            full_charge=source.choice((None, 140.0)),
        )
        for _ in range(count)
    ]


def day_by_day(known: Decisions, days: int, wear_day: float, wear_start: float) -> tuple[float, float]:
    """What idling and going cold come to, each day and each cost entered once."""
    idle = cold = 0.0
    assert (
        known.idle_day_typed and known.heatup_days_typed and known.heatup_use_typed and known.cooling_days is not None
    )
    for _ in range(days):
        idle += known.idle_day_typed * PRICE + wear_day
    for _ in range(int(known.cooling_days)):
        cold += (known.cooling_use or 0) * PRICE
    for _ in range(int(known.heatup_days_typed)):
        cold += known.heatup_use_typed / known.heatup_days_typed * PRICE + wear_day
    cold += wear_start + (known.crack_chance or 0) * (950.0 + (known.glass_worth or 0)) + (known.cold_labour or 0)
    for day in range(int(known.cooling_days + known.heatup_days_typed)):
        cold += (known.day_value or 0) * (day >= days)
    return idle, cold


def test_the_first_day_on_which_going_cold_costs_less() -> None:
    early = late = 0
    for known in drawn(200):
        results = compute(_studio(known), LEDGERS)
        assert (number(results, "decide_wear_day"), number(results, "decide_wear_start")) == (0, 0)
        costs = {days: day_by_day(known, days, 0, 0) for days in range(1, 400)}
        first = next(days for days, (idle, cold) in costs.items() if idle > cold + 1e-6)
        assert results.scalars["gap_first_cold"] == first
        for days in range(1, 31):
            idle, cold = costs[days]
            assert number(results, "gap_idle", days) == pytest.approx(idle)
            assert number(results, "gap_cold", days) == pytest.approx(cold)
            assert results.value("gap_choice", days) == ("Go cold" if days >= first else "Idle")
        early, late = early + (first < 6), late + (first > 30)
    assert early and late, "gaps shorter than the trip, and longer than the table, are among them"


def test_how_many_charges_are_enough() -> None:
    """Six charges with 6 charge, 3 blow and 5 idle days: 240, 190 and 150 kWh a day."""
    for known in drawn(80):
        results = compute(_studio(known), LEDGERS)
        charge = (6 * 240 + 3 * 190 + 5 * 150) / 6 * PRICE + number(results, "decide_wear_charge")
        assert known.heatup_use_typed
        heat_up = known.heatup_use_typed * PRICE
        weight = known.full_charge or 120.0

        def cost(charges: int, heat_up: float = heat_up, charge: float = charge, weight: float = weight) -> float:
            return (heat_up + sum(charge for _ in range(charges))) / (charges * weight)

        asked = 0.01 if known.saving_share is None else known.saving_share
        enough = next(n for n in range(1, 1000) if 1 - cost(n + 1) / cost(n) < asked - 1e-9)
        assert results.scalars["campaign_enough"] == min(enough, 61)
        for charges in (1, 2, 17, 60):
            assert number(results, "size_cost", charges) == pytest.approx(cost(charges))
            assert number(results, "size_saves", charges) == pytest.approx(1 - cost(charges + 1) / cost(charges))


def test_part_charges() -> None:
    """A charge day uses 240 kWh for 120 lb, an idle day 150: 90 kWh, or 0.75 a lb, are the glass's. Half: 150 + 45."""
    results = compute(pot_studio([80.0, 90.0], [], serving=10.0), LEDGERS)
    wear = number(results, "decide_wear_charge")
    assert wear > 0
    full, half = (240 * PRICE + wear) / 120, (195 * PRICE + wear) / 60
    assert number(results, "fill_cost", 10) == pytest.approx(full)
    assert number(results, "fill_cost", 5) == pytest.approx(half)
    percent = int((half / full - 1) * 100 + 0.5)
    assert (
        results.scalars["fill_sentence"] == f"A half charge costs {percent} % more for each lb than your mean charge."
    )


def _studio(known: Decisions) -> Studio:
    studio = pot_studio([], [], serving=12.0)
    return studio.model_copy(update={"decisions": known})
