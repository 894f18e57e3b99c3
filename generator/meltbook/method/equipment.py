"""Glory hole, annealer and other equipment: one typed cost each, made a cost per minute or per load."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from meltbook.method.arithmetic import Maybe, flag, opt, over
from meltbook.studio.shop import Equipment

GLORY_HOLE, ANNEALER, OTHER = 0, 1, 2


@dataclass(slots=True)
class EquipmentCost:
    """What a minute and a load cost; whether a piece drives that cost, or it burns all day anyway."""

    typed: Equipment
    equipment_minute: float
    equipment_load: float
    equipment_driven: int
    equipment_known: int


def equipment_costs(typed: Sequence[Equipment], minutes_a_day: Maybe) -> list[EquipmentCost]:
    """The three pieces of equipment, in order."""
    rows = [typed[place] if place < len(typed) else Equipment() for place in (GLORY_HOLE, ANNEALER, OTHER)]
    return [_cost(row, minutes_a_day) for row in rows]


def _cost(row: Equipment, minutes_a_day: Maybe) -> EquipmentCost:
    minute, load = 0.0, 0.0
    if row.cost is not None:
        if row.per == "Day":
            minute = opt(over(row.cost, minutes_a_day))
        elif row.per == "Load":
            load = row.cost
        elif row.per == "Hour" and row.hours is None:
            minute = row.cost / 60
        elif row.per == "Hour":
            load = row.cost * opt(row.hours)
    return EquipmentCost(
        typed=row,
        equipment_minute=minute,
        equipment_load=load,
        equipment_driven=flag(row.per != "Day"),
        equipment_known=flag(row.cost is not None and (row.cost == 0 or minute + load > 0)),
    )
