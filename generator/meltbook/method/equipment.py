"""Glory hole, annealer and other equipment: what a minute, a load and an open hour of each costs.

What they cost is typed as one cost, or that of machines. A cost that is typed stands for all of the equipment, whatever
machines feed it; only without one do the machines count. A typed cost is not split into energy and the rest, so a new
tariff leaves it as it is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from meltbook.method.arithmetic import Maybe, flag, opt, over, plus
from meltbook.method.machines import Machines, Shared
from meltbook.studio.shop import Equipment

GLORY_HOLE, ANNEALER, OTHER = 0, 1, 2


@dataclass(slots=True)
class EquipmentCost:
    """What a minute and a load cost; the part of it that a piece drives; what a letter adds to it."""

    typed: Equipment
    equipment_detail: int
    equipment_detail_ready: int
    equipment_detail_minute: float
    equipment_detail_load: float
    equipment_typed_minute: float
    equipment_minute: float
    equipment_load: float
    equipment_driven_minute: float
    equipment_driven_load: float
    equipment_more_minute: float
    equipment_more_load: float
    equipment_counted: int | None
    equipment_known: int
    equipment_twice: int
    equipment_day_minute: float
    equipment_open_hour: Maybe = None


def equipment_costs(
    typed: Sequence[Equipment], minutes_a_day: Maybe, machines: Machines, open_hours: Maybe = None
) -> list[EquipmentCost]:
    """The three pieces of equipment, in order. ``open_hours`` are those in which somebody can work on a hot day."""
    places = (GLORY_HOLE, ANNEALER, OTHER)
    rows = [typed[place] if place < len(typed) else Equipment() for place in places]
    costs = [
        _cost(row, minutes_a_day, twice=bool(machines.feeding.get(place + 1)))
        if row.cost is not None
        else _in_detail(row, machines, place + 1)
        for place, row in zip(places, rows, strict=True)
    ]
    for each in costs:
        each.equipment_open_hour = _open_hour(each, minutes_a_day, open_hours)
    return costs


def _open_hour(each: EquipmentCost, minutes_a_day: Maybe, open_hours: Maybe) -> Maybe:
    """What burns all day, spread over the open hours; the rest burns for as long as somebody works at it."""
    while_working = (each.equipment_minute - each.equipment_day_minute) * 60
    return plus(over(each.equipment_day_minute * opt(minutes_a_day), open_hours), while_working)


def _cost(row: Equipment, minutes_a_day: Maybe, *, twice: bool) -> EquipmentCost:
    """The one typed cost, by hour, day or load."""
    cost, minute, load = opt(row.cost), 0.0, 0.0
    if row.per == "Day":
        minute = opt(over(cost, minutes_a_day))
    elif row.per == "Load":
        load = cost
    elif row.per == "Hour" and row.hours is None:
        minute = cost / 60
    elif row.per == "Hour":
        load = cost * opt(row.hours)
    return EquipmentCost(
        typed=row,
        equipment_detail=0,
        equipment_detail_ready=0,
        equipment_detail_minute=0.0,
        equipment_detail_load=0.0,
        equipment_typed_minute=minute,
        equipment_minute=minute,
        equipment_load=load,
        equipment_driven_minute=0.0 if row.per == "Day" else minute,
        equipment_driven_load=load,
        equipment_more_minute=0.0,
        equipment_more_load=0.0,
        equipment_counted=1,
        equipment_known=flag(cost == 0 or minute + load > 0),
        equipment_twice=flag(twice),
        equipment_day_minute=minute if row.per == "Day" else 0.0,
    )


def _in_detail(row: Equipment, machines: Machines, number: int) -> EquipmentCost:
    """What its machines come to; nothing, and not known, where there are none."""
    members = machines.feeding.get(number, [])
    shared = machines.shared.get(number, Shared())
    ready = sum(machine.machine_ready for machine in members)
    return EquipmentCost(
        typed=row,
        equipment_detail=len(members),
        equipment_detail_ready=ready,
        equipment_detail_minute=shared.cost_minute,
        equipment_detail_load=shared.cost_load,
        equipment_typed_minute=0.0,
        equipment_minute=shared.cost_minute,
        equipment_load=shared.cost_load,
        equipment_driven_minute=shared.driven_minute,
        equipment_driven_load=shared.driven_load,
        equipment_more_minute=shared.more_minute,
        equipment_more_load=shared.more_load,
        equipment_counted=1 if members else None,
        equipment_known=flag(0 < len(members) == ready),
        equipment_twice=0,
        equipment_day_minute=shared.day_minute,
    )


def under_letter(equipment: Sequence[EquipmentCost]) -> list[EquipmentCost]:
    """The same equipment at what its energy costs under the letter; of an open hour nobody asks that."""
    return [
        replace(
            each,
            equipment_minute=each.equipment_minute + each.equipment_more_minute,
            equipment_load=each.equipment_load + each.equipment_more_load,
        )
        for each in equipment
    ]
