from __future__ import annotations

from typing import Any

import pytest

from meltbook.method.start import STEPS
from tests.unit.method.studios import day, melt, run


def test_the_first_ten_minutes_lead_from_step_to_step() -> None:
    studio: dict[str, Any] = {}
    reached = []

    def look() -> None:
        reached.append(run(**studio).value("next_step"))

    look()
    studio["furnace"] = {"connected_kw": 12}
    look()
    studio["tariffs"] = [{"start": "2025-01-01", "price": 0.15}]
    look()
    studio["log"] = [day("Charge", 2, date="2025-01-05", charges=2, weight=200)]
    look()
    studio["log"] = [*studio["log"], day("Idle", 3, reading=50)]
    look()
    studio["pieces"] = [{"name": "Cup", "drawn": 1, "minutes": 10}]
    look()
    studio["people"] = [{"rate": 30}]
    look()
    assert tuple(reached) == STEPS
    # 50 h x 12 kW x 0.15 / 200 = 0.45; the cup: 0.45 + 5
    results = run(**studio)
    assert results.value("start_cost_hot") == pytest.approx(0.45)
    assert results.value("cost_good", 1) == pytest.approx(5.45)
    missing = "Not counted yet: rent, losses, annealing, wear, raw glass, ownership"
    assert results.value("piece_missing", 1) == missing
    assert results.columns["step_done"] == [1, 1, 1, 1, 1, 1, 0]


def test_when_all_is_typed_nothing_is_missing() -> None:
    results = run(
        **melt(
            people=[{"rate": 30}],
            overheads=[{"amount": 0}],
            equipment=[{}, {"cost": 0}],
            glasses=[{"name": "Clear", "price": 0}],
            channels=[{"name": "Door", "margin": 0.5, "must_earn": "Yes"}],
            pieces=[{"name": "Cup", "drawn": 1, "minutes": 10, "loss": 0}],
        )
    )
    assert results.value("next_step") == "Keep the log going; nothing is missing"
    assert results.value("start_pieces_final") == 1
    # 0.64 + 5 = 5.64, / 0.5 = 11.28, up to 12: 12 - 5.64 = 6.36
    assert results.value("piece_sentence") == "Cup: of a tag of 12.00, 6.36 is left after all costs counted so far."


def test_sentences() -> None:
    results = run(**melt(shop={"weight_unit": "kg"}))
    sentence = "Every hot day costs 0.64 per kg; with everything counted so far 0.64."
    assert results.value("ladder_sentence") == sentence
    # 600 of 1600 kWh are 37.5 %
    assert results.value("kinds_sentence") == "Idle days took 38 % of the energy and heat-ups 0 %."
    assert run().value("ladder_sentence") is None
