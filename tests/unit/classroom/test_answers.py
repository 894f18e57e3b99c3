"""Answers, and what follows from a student's own figures."""

from __future__ import annotations

import pytest

from meltbook.classroom.answers import answers, carried
from meltbook.classroom.draw import Numbers
from meltbook.classroom.exercise import parse_exercise
from tests.unit.classroom.tiny import changed, tiny

NUMBERS = Numbers(
    {"connected_kw": 10.0, "price": 0.2, "months": 12.0},
    {"log_kind": ["Start", "Charge", "Cold", "Idle"], "log_reading": [1000.0, 1200.0, None, 1420.0]},
)


def test_answers_by_hand() -> None:
    """420 h; x 10 kW = 4200 kWh; x 0.20 x 12 months = 10,080."""
    assert answers(tiny(), NUMBERS) == {
        "hours_on": 420.0,
        "energy_used": 4200.0,
        "cost_year": pytest.approx(10_080.0),
        "idle": "less",
    }


def test_nothing_follows_from_nothing() -> None:
    text = changed('"hours_on * connected_kw"', '"hours_on / (connected_kw - connected_kw)"')
    found = answers(parse_exercise(text, name="x", place="x"), NUMBERS)
    assert found["hours_on"] == 420.0 and found["energy_used"] is None and found["cost_year"] is None


def test_own_figures_are_carried_one_step_and_blanks_are_right() -> None:
    """A wrong 400 h makes 4000 kWh right; 5000 kWh makes 12,000 right, whatever the hours were."""
    assert carried(tiny(), NUMBERS, {}) == {
        key: answers(tiny(), NUMBERS)[key] for key in ("hours_on", "energy_used", "cost_year")
    }
    assert carried(tiny(), NUMBERS, {"hours_on": 400.0}) == pytest.approx(
        {"hours_on": 420.0, "energy_used": 4000.0, "cost_year": 10_080.0}
    )
    assert carried(tiny(), NUMBERS, {"hours_on": 400.0, "energy_used": 5000.0}) == pytest.approx(
        {"hours_on": 420.0, "energy_used": 4000.0, "cost_year": 12_000.0}
    )
    assert carried(tiny(), NUMBERS, {"idle": 3.0, "nothing": 2.0, "cost_guess": 1.0})["energy_used"] == 4200.0


def test_rounding_on_the_way_is_carried() -> None:
    assert carried(tiny(), NUMBERS, {"energy_used": 4200.4})["cost_year"] == pytest.approx(10_080.96)
