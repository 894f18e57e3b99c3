"""The invented studios lie where studios lie. Common practice in the trade: rough bounds, no source, no facts."""

from __future__ import annotations

from functools import cache

import pytest

from meltbook.method import Results, compute
from meltbook.studio.model import Studio
from meltbook.studio.starts import load_start
from tests.published.both import answer

STARTS = ("lakeside-lb", "harbour-kg")


@cache
def start(name: str) -> tuple[Studio, Results]:
    studio = load_start(name).studio
    return studio, compute(studio)


def number(results: Results, figure: str, row: int | None = None) -> float:
    value = results.value(figure, row)
    assert isinstance(value, int | float), figure
    return float(value)


def assert_usual(practice: str, value: float) -> None:
    low, high = answer(practice)
    assert low <= value <= high, f"{practice}: {value:.4g} lies outside {low} to {high}"


@pytest.mark.parametrize("name", STARTS)
def test_the_furnace(name: str) -> None:
    """Common practice, no source: connected kW, a hold day, a charge day, days to heat up."""
    _, results = start(name)
    assert_usual("practice_kilowatts", number(results, "kw_in_use"))
    assert_usual("practice_hold_day", number(results, "idle_use_day", 1))
    assert_usual("practice_charge_day", number(results, "charge_use", 1) / number(results, "charge_days", 1))
    assert_usual("practice_heat_up", number(results, "heatup_days", 1) / number(results, "period_starts", 1))


@pytest.mark.parametrize("name", STARTS)
def test_the_pot(name: str) -> None:
    """Common practice, no source: a pot lasts some 50 to 250 charges."""
    studio, results = start(name)
    row = [kind.name for kind in studio.part_kinds].index("Pot") + 1
    assert studio.part_kinds[row - 1].basis == "Charges"
    assert_usual("practice_pot_life", number(results, "kind_of_part_mean", row))


@pytest.mark.parametrize("name", STARTS)
def test_the_losses(name: str) -> None:
    """Common practice, no source: 5 to 15 % on routine work, up to 40 % on new or large work."""
    studio, results = start(name)
    for row in range(1, len(studio.pieces) + 1):
        assert_usual("practice_losses", 1 - number(results, "good_share", row))


@pytest.mark.parametrize("name", STARTS)
def test_consignment(name: str) -> None:
    """Common practice, no source: 60/40 or 50/50."""
    studio, _ = start(name)
    (commission,) = (each.commission for each in studio.channels if each.name and "consignment" in each.name)
    assert commission is not None
    assert_usual("practice_consignment", commission)
