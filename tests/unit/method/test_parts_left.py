"""What is left of the parts in service, in a sentence for each kind; by hand."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from meltbook.method import Results, compute
from meltbook.studio.capacity import Capacity
from meltbook.studio.model import Studio

SMALL = Capacity(log=6, tariffs=2, ledger=6, part_kinds=3, pieces=2, campaigns=2, bills=2)
KINDS = (
    {"name": "Pot", "basis": "Charges", "life": 120},
    {"name": "Elements", "basis": "Hot days", "life": 300},
    {"name": "Floor", "basis": "Heat-ups"},
)


def left(*ledger: dict[str, Any], kinds: Any = KINDS, priced: date | None = None) -> Results:
    """A log of 2 heat-up days, 20 charge days with 40 charges and 8 idle days, from 1 March 2026."""
    log = (
        {"date": date(2026, 3, 1), "kind": "Heat-up", "days": 2},
        {"kind": "Charge", "days": 20, "charges": 40, "weight": 800},
        {"kind": "Idle", "days": 8, "reading": 5000},
    )
    shop = {"pricing_date": priced} if priced else {}
    studio = {"shop": shop, "log": log, "part_kinds": kinds, "ledger": ledger, "furnace": {"meter_kind": "kWh meter"}}
    return compute(Studio.model_validate(studio), SMALL)


def says(results: Results) -> list[Any]:
    return results.columns["kind_of_part_says"]


def part(name: str, day: date = date(2026, 3, 1), **more: Any) -> dict[str, Any]:
    return {"name": name, "installed": day, "cost": 100, **more}


def test_some_are_left() -> None:
    results = left(part("Pot", uses_before=1), part("Elements", uses_before=200), part("Floor"))
    # Pot: 1 + 40 charges of 120, so 79; elements: 200 + 2 + 20 + 8 = 230 of 300, so 70; the floor has no life.
    assert says(results) == [
        "About 79 of 120 charges left.",
        "About 70 of 300 hot days left.",
        "Used so far, in heat-ups: 1. Type the life that you expect.",
    ]
    assert results.columns["kind_of_part_to_go"] == [79, 70, None]
    assert results.columns["kind_of_part_through"] == [41, 230, 1]
    assert results.columns["kind_of_part_since"] == [46082] * 3  # 1 March 2026; 1 January was 46023
    assert results.columns["kind_of_part_next_cost"] == [100, 100, 100]


@pytest.mark.parametrize(
    ("before", "words"),
    [
        (80, "About 0 of 120 charges left."),  # 120 of 120
        (80.4, "About 0 of 120 charges left."),  # past by less than half a charge
        (80.5, "Past its 120 charges by 1: have the next one ready."),  # a half goes upwards
        (95, "Past its 120 charges by 15: have the next one ready."),
    ],
)
def test_past_what_was_expected(before: float, words: str) -> None:
    assert says(left(part("Pot", uses_before=before)))[0] == words


def test_the_newest_in_service_speaks() -> None:
    results = left(
        part("Pot", date(2026, 1, 1), uses_before=100, retired=date(2026, 3, 3), why="Cracked"),
        part("Elements", date(2026, 2, 1), uses_before=250),
        part("Elements", date(2026, 3, 3)),
        part("Elements", date(2026, 3, 3), life=100),
    )
    # The pot is gone. Of two sets fitted on 3 March the lower row speaks: 28 of the 100 hot days expected of it.
    assert says(results)[:2] == [None, "About 72 of 100 hot days left."]
    assert results.columns["part_speaks"][:4] == [0, 0, 0, 2]
    assert results.columns["part_later_serving"][:4] == [0, 2, 0, 0]
    assert results.columns["part_below_serving"][:4] == [0, 0, 1, 0]


def test_one_that_is_fitted_later_than_the_pricing_date_does_not_speak() -> None:
    ledger = (part("Pot", retired=date(2026, 3, 20)), part("Pot", date(2026, 3, 20), life=50))
    before, after = left(*ledger, priced=date(2026, 3, 10)), left(*ledger, priced=date(2026, 3, 25))
    # The row of charges began on 3 March, while the first pot was in: all 40 are its own.
    assert says(before)[0] == "About 80 of 120 charges left."
    assert says(after)[0] == "About 50 of 50 charges left."


def test_a_kind_without_a_part_says_nothing() -> None:
    results = left()
    assert says(results) == [None, None, None]
    assert results.columns["kind_of_part_again"] == ["Pot", "Elements", "Floor"]
