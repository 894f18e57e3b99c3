"""Idle or cold and campaigns with wear, drawn by chance, against a furnace that is run day by day.

Nothing here uses a formula of the method: a heat-up, an idle day, a charge are played through, each kWh and each use
of a pot, of elements and of a floor is paid for as it comes, and the answer is read off the two purses.
"""

from __future__ import annotations

import random
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

import pytest

from meltbook.method import compute
from meltbook.method.results import Results
from meltbook.studio.model import Studio
from tests.decisions.pots import LEDGERS

WEIGHT = 120.0
CHARGES, BLOWN, IDLED, HEATED = 6, 3, 5, 4


@dataclass
class Purse:
    """What has been paid, and what it is paid by."""

    price: float
    per_charge: float
    per_day: float
    per_start: float
    paid: float = field(default=0.0)

    def hot_day(self, use: float, part: float = 1.0) -> None:
        self.paid += part * (use * self.price + self.per_day)

    def cold_day(self, use: float) -> None:
        self.paid += use * self.price


@dataclass
class Case:
    """A furnace, and what its owner knows."""

    price: float
    uses: tuple[float, float, float, float]
    costs: tuple[float, float, float]
    known: dict[str, float]

    def purse(self) -> Purse:
        return Purse(self.price, self.costs[0] / 100, self.costs[1] / 400, self.costs[2] / 25)

    def studio(self) -> Studio:
        parts = (("Pot", "Charges", 100), ("Elements", "Hot days", 400), ("Floor", "Heat-ups", 25))
        rows: list[dict[str, Any]] = [
            {"date": "2026-01-01", "kind": "Heat-up", "days": HEATED},
            {"kind": "Charge", "days": CHARGES, "charges": CHARGES, "weight": CHARGES * WEIGHT},
            {"kind": "Blow", "days": BLOWN},
            {"kind": "Idle", "days": IDLED},
        ]
        return Studio.model_validate(
            {
                "furnace": {"meter_kind": "No meter"},
                "day_kinds": [{"use": use} for use in self.uses],
                "tariffs": [{"start": "2020-01-01", "price": self.price}],
                "log": rows,
                "part_kinds": [
                    {"name": name, "basis": basis, "life": life, "cost_now": cost}
                    for (name, basis, life), cost in zip(parts, self.costs, strict=True)
                ],
                "ledger": [{"name": name, "installed": "2025-12-01", "cost": 1.0} for name, _, _ in parts],
                "decisions": self.known,
            }
        )

    # ------------------------------------------------------------------------------------------------ played

    def heat_up(self, purse: Purse) -> None:
        purse.paid += purse.per_start
        for _ in range(HEATED):
            purse.hot_day(self.uses[0])

    def idle(self, days: int) -> float:
        purse = self.purse()
        for _ in range(days):
            purse.hot_day(self.uses[3])
        return purse.paid

    def cold(self, days: int) -> float:
        """The furnace cools, waits, and is up again on the day it is needed, or as soon after as it can be."""
        purse, known = self.purse(), self.known
        cooling = int(known.get("cooling_days", 0))
        for _ in range(cooling):
            purse.cold_day(known.get("cooling_use", 0))
        self.heat_up(purse)
        purse.paid += known.get("cold_labour", 0)
        purse.paid += known.get("crack_chance", 0) * (self.costs[0] + known.get("glass_worth", 0))
        ready = cooling + HEATED
        while ready > days:
            purse.paid += known.get("day_value", 0)
            ready -= 1
        return purse.paid

    def campaign(self, charges: int) -> float:
        """Cost for each weight. Blow and idle days come as the log has them: so many for every charge."""
        purse = self.purse()
        self.heat_up(purse)
        for _ in range(charges):
            purse.paid += purse.per_charge
            purse.hot_day(self.uses[1])
            purse.hot_day(self.uses[2], BLOWN / CHARGES)
            purse.hot_day(self.uses[3], IDLED / CHARGES)
        return purse.paid / (charges * WEIGHT)

    def part_charge(self, share: float) -> float:
        """Cost for each weight of a charge day: as an idle day, and a share of what a full charge takes beyond it."""
        purse = self.purse()
        purse.hot_day(self.uses[3])
        purse.cold_day(share * (self.uses[1] - self.uses[3]))
        purse.paid += purse.per_charge
        return purse.paid / (share * WEIGHT)


def drawn(count: int, seed: int) -> list[Case]:
    source = random.Random(seed)
    cases = []
    for _ in range(count):
        known = {
            "cooling_days": float(source.randrange(4)),
            "cooling_use": source.choice((0.0, 25.0)),
            "crack_chance": source.choice((0.0, 0.02, 0.1, 1.0)),
            "glass_worth": source.choice((0.0, 150.0)),
            "cold_labour": source.choice((0.0, 60.0, 240.0)),
            "day_value": source.choice((0.0, 45.0, 400.0)),
            "saving_share": source.choice((0.005, 0.01, 0.03, 0.2)),
        }
        cases.append(
            Case(
                price=source.choice((0.03, 0.14, 0.4)),
                uses=tuple(float(source.randrange(40, 400)) for _ in range(4)),  # type: ignore[arg-type]
                costs=tuple(float(source.randrange(0, 3000, 50)) for _ in range(3)),  # type: ignore[arg-type]
                known={name: value for name, value in known.items() if value or source.random() < 0.5},
            )
        )
    return cases


def number(results: Results, name: str, row: int | None = None) -> float:
    value = results.value(name, row)
    assert isinstance(value, int | float), f"{name} is {value!r}"
    return float(value)


def test_the_first_day_from_which_going_cold_stays_cheaper() -> None:
    inside = after = beyond = 0
    for case in drawn(250, seed=31):
        results = compute(case.studio(), LEDGERS)
        cheaper = [case.idle(days) > case.cold(days) + 1e-6 for days in range(1, 301)]
        if not any(cheaper):
            assert number(results, "gap_crossing") > 300 - 1e-6
            continue
        first = cheaper.index(True) + 1
        assert all(cheaper[first - 1 :]), "once it is cheaper, it stays so"
        assert results.value("gap_first_cold") == first
        assert results.value("gap_last_idle") == first - 1
        for days in (1, 2, 3, 5, 7, 12, 30):
            assert number(results, "gap_idle", days) == pytest.approx(case.idle(days))
            assert number(results, "gap_cold", days) == pytest.approx(case.cold(days))
        choices = ["Go cold" if is_cheaper else "Idle" for is_cheaper in cheaper[:30]]
        assert results.columns["gap_choice"] == choices
        trip = HEATED + case.known.get("cooling_days", 0)
        inside, after, beyond = inside + (first < trip), after + (trip < first <= 30), beyond + (first > 30)
    assert min(inside, after, beyond) > 5, "crossings of all sorts are among them"


def test_the_charges_past_which_one_more_saves_less() -> None:
    seen = set()
    for case in drawn(60, seed=32):
        results = compute(case.studio(), LEDGERS)
        costs = [case.campaign(charges) for charges in range(1, 63)]
        asked = case.known.get("saving_share", 0.01)
        worth = [1 - after / before >= asked - 1e-9 for before, after in pairwise(costs)]
        enough = next((at for at, is_worth in enumerate(worth[:60], start=1) if not is_worth), 61)
        assert results.value("campaign_enough") == enough
        for charges in (1, 2, 9, 60):
            assert number(results, "size_cost", charges) == pytest.approx(costs[charges - 1])
        seen.add(enough)
    assert len(seen) > 10


def test_the_size_of_a_charge() -> None:
    for case in drawn(60, seed=33):
        results = compute(case.studio(), LEDGERS)
        for tenth in range(1, 11):
            assert number(results, "fill_cost", tenth) == pytest.approx(case.part_charge(tenth / 10))
        dearer = number(results, "fill_dearer", 5)
        assert dearer == pytest.approx(case.part_charge(0.5) / case.part_charge(1) - 1, rel=1e-6, abs=1e-9)
