"""Other equipment: the glory hole, the annealer and all else that a piece passes through.

One figure is asked for each: what an hour, a day or a load of it costs, energy and upkeep together. A cost
per day is shared over the minutes in which pieces are worked, whoever works them; such equipment burns
whether one more piece is made or not, so it is not "driven" by a piece and stays out of the lowest price.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape, Table, Typed

NAMES = ("Glory hole", "Annealer", "Other equipment")


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """No single figures: all of it stands in the table."""
    return ()


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """Three rows, and what a minute or a load of each costs."""
    return (
        Table(
            "equipment",
            "Other equipment",
            (*_typed(), *_worked_out()),
            rows=ctx.capacity.equipment,
            capacity="equipment",
        ),
    )


def _typed() -> tuple[Item, ...]:
    return (
        Fixed("equipment_name", "Equipment", Shape.TEXT, values=NAMES),
        Input(
            "equipment_cost",
            "Cost",
            Shape.MONEY,
            unit="{currency}",
            note="Energy by its meter or its plate, and upkeep: liners, elements, wear. Type 0 for none. "
            "Never save "
            "on fresh air or a gas alarm: fumes and carbon monoxide kill.",
            typed=Typed(minimum=0),
        ),
        Input(
            "equipment_per",
            "Per",
            Shape.TEXT,
            note="A glory hole that burns all day: Day. An annealer: Load, or Hour with the hours of a load.",
            typed=Typed(choices=("Hour", "Day", "Load")),
        ),
        Input(
            "equipment_hours",
            "Hours a load",
            Shape.HOURS,
            unit="hours",
            note="Only for a cost per hour of something that runs a load, from the annealer's programme: "
            "don't "
            "shorten it to save; a piece that is badly annealed can break in somebody's hand.",
            typed=Typed(minimum=0),
        ),
    )


def _worked_out() -> tuple[Item, ...]:
    return (
        Figure(
            "equipment_minute",
            "Cost a minute",
            Shape.RATE,
            unit="{currency} a minute",
            note="A cost per hour without hours of a load, or a cost per day over the piece minutes of a day; else 0.",
            formula='SUM(equipment_cost)*IF(equipment_per="Day",IF(SUM(minutes_a_day)>0,1/minutes_a_day,0),'
            'IF(equipment_per="Hour",(1-COUNT(equipment_hours))/60,0))',
        ),
        Figure(
            "equipment_load",
            "Cost a load",
            Shape.MONEY,
            unit="{currency} a load",
            note="A cost per load, or a cost per hour × the hours of a load.",
            formula='IF(equipment_per="Load",SUM(equipment_cost),'
            'IF(equipment_per="Hour",SUM(equipment_cost)*SUM(equipment_hours),0))',
        ),
        Figure(
            "equipment_driven",
            "Driven by a piece",
            Shape.COUNT,
            note="0 for a cost per day: it burns whether one more piece is made or not.",
            formula='IF(equipment_per="Day",0,1)',
        ),
        Figure(
            "equipment_known",
            "Is known",
            Shape.COUNT,
            note="1 once its cost is typed and brings a cost a minute or a load, or is 0.",
            formula="IF(COUNT(equipment_cost)=0,0,IF(OR(equipment_cost=0,equipment_minute+equipment_load>0),1,0))",
        ),
    )
