from __future__ import annotations

from typing import Any

import pytest

from meltbook.method.equipment import equipment_costs
from meltbook.studio.shop import Equipment


@pytest.mark.parametrize(
    ("typed", "minutes_a_day", "minute", "load", "driven", "known"),
    [
        ({}, None, 0, 0, 1, 0),
        ({"cost": 0}, None, 0, 0, 1, 1),
        ({"cost": 12, "per": "Hour"}, None, 0.2, 0, 1, 1),
        ({"cost": 12, "per": "Hour", "hours": 3}, None, 0, 36, 1, 1),
        ({"cost": 60, "per": "Day"}, 240, 0.25, 0, 0, 1),
        ({"cost": 60, "per": "Day"}, None, 0, 0, 0, 0),
        ({"cost": 60, "per": "Day"}, 0, 0, 0, 0, 0),
        ({"cost": 9, "per": "Load", "hours": 3}, None, 0, 9, 1, 1),
        ({"cost": 9}, None, 0, 0, 1, 0),
    ],
)
def test_a_typed_cost_becomes_a_cost_per_minute_or_per_load(
    typed: dict[str, Any], minutes_a_day: float | None, minute: float, load: float, driven: int, known: int
) -> None:
    glory, *rest = equipment_costs([Equipment.model_validate(typed)], minutes_a_day)
    assert glory.equipment_minute == pytest.approx(minute)
    assert glory.equipment_load == pytest.approx(load)
    assert (glory.equipment_driven, glory.equipment_known) == (driven, known)
    assert len(rest) == 2
