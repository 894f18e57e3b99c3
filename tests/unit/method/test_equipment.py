from __future__ import annotations

from typing import Any

import pytest

from meltbook.method.equipment import EquipmentCost, equipment_costs, under_letter
from meltbook.method.machines import UnitPrice, work_out_machines
from meltbook.studio.machines import Machine
from meltbook.studio.shop import Equipment


def equipment(*typed: dict[str, Any], machines: tuple[dict[str, Any], ...] = (), minutes: float | None = None) -> Any:
    """The three pieces of equipment; energy costs 0.2 a unit, and 0.3 under the letter."""
    rows = [Machine.model_validate(row) for row in machines]
    worked = work_out_machines(rows, 12, {"First": UnitPrice(0.2, 0.3)}, minutes)
    return equipment_costs([Equipment.model_validate(row) for row in typed], minutes, worked)


@pytest.mark.parametrize(
    ("typed", "minutes_a_day", "minute", "load", "driven", "known"),
    [
        ({}, None, 0, 0, (0, 0), 0),
        ({"cost": 0}, None, 0, 0, (0, 0), 1),
        ({"cost": 12, "per": "Hour"}, None, 0.2, 0, (0.2, 0), 1),
        ({"cost": 12, "per": "Hour", "hours": 3}, None, 0, 36, (0, 36), 1),
        ({"cost": 60, "per": "Day"}, 240, 0.25, 0, (0, 0), 1),
        ({"cost": 60, "per": "Day"}, None, 0, 0, (0, 0), 0),
        ({"cost": 60, "per": "Day"}, 0, 0, 0, (0, 0), 0),
        ({"cost": 9, "per": "Load", "hours": 3}, None, 0, 9, (0, 9), 1),
        ({"cost": 9}, None, 0, 0, (0, 0), 0),
    ],
)
def test_a_typed_cost_becomes_a_cost_per_minute_or_per_load(
    typed: dict[str, Any],
    minutes_a_day: float | None,
    minute: float,
    load: float,
    driven: tuple[float, float],
    known: int,
) -> None:
    glory, *rest = equipment(typed, minutes=minutes_a_day)
    assert glory.equipment_minute == glory.equipment_typed_minute == pytest.approx(minute)
    assert glory.equipment_load == pytest.approx(load)
    assert (glory.equipment_driven_minute, glory.equipment_driven_load) == pytest.approx(driven)
    assert glory.equipment_known == known
    assert glory.equipment_counted == (1 if "cost" in typed else None)
    assert (glory.equipment_more_minute, glory.equipment_more_load, glory.equipment_detail) == (0, 0, 0)
    assert len(rest) == 2


HOURLY = {"name": "Hole", "feeds": "Glory hole", "use": 15, "per": "Hour", "runs": 800, "upkeep": 480}
"""15 x 0.2 = 3 an hour for energy, 480 / 800 = 0.6 for owning it: 3.6 an hour, 0.06 a minute."""


def test_machines_stand_where_no_cost_is_typed() -> None:
    glory, annealer, _ = equipment(machines=(HOURLY,))
    assert glory.equipment_minute == glory.equipment_detail_minute == pytest.approx(0.06)
    assert glory.equipment_typed_minute == 0
    assert (glory.equipment_load, glory.equipment_detail_load) == (0, 0)
    assert glory.equipment_driven_minute == pytest.approx(0.05)  # the energy alone
    assert glory.equipment_more_minute == pytest.approx(15 * 0.1 / 60)
    assert (glory.equipment_detail, glory.equipment_detail_ready) == (1, 1)
    assert (glory.equipment_counted, glory.equipment_known, glory.equipment_twice) == (1, 1, 0)
    assert (annealer.equipment_counted, annealer.equipment_known, annealer.equipment_detail) == (None, 0, 0)


@pytest.mark.parametrize("cost", [12, 0])
def test_a_typed_cost_goes_before_machines_even_if_it_is_0(cost: float) -> None:
    glory, *_ = equipment({"cost": cost, "per": "Hour"}, machines=(HOURLY,))
    assert glory.equipment_minute == glory.equipment_driven_minute == pytest.approx(cost / 60)
    assert (glory.equipment_detail, glory.equipment_detail_minute, glory.equipment_more_minute) == (0, 0, 0)
    assert (glory.equipment_known, glory.equipment_twice) == (1, 1)


def test_one_machine_that_waits_keeps_the_equipment_unknown() -> None:
    waiting = {"name": "Other hole", "feeds": "Glory hole", "per": "Hour"}
    glory, *_ = equipment(machines=({**HOURLY, "runs": 1000}, waiting))
    assert (glory.equipment_detail, glory.equipment_detail_ready, glory.equipment_known) == (2, 1, 0)
    # the one that waits has 1 of 1,001 turns, at no cost yet: 3.48 an hour in the other 1,000
    assert glory.equipment_minute == pytest.approx(3.48 / 60 * 1000 / 1001)


def test_under_a_letter_only_machines_cost_more() -> None:
    costs: list[EquipmentCost] = equipment({}, {"cost": 9, "per": "Load"}, machines=(HOURLY,))
    then = under_letter(costs)
    assert then[0].equipment_minute == pytest.approx((15 * 0.3 + 0.6) / 60)
    assert (then[1].equipment_load, then[2].equipment_minute) == (9, 0)
