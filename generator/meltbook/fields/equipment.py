"""Other equipment: the glory hole, the annealer and all else that a piece passes through.

One figure will do for each: what an hour, a day or a load of it costs, energy and upkeep together. Where none is
typed, the machines on the sheet Equipment that feed it are taken (chapter ``machines``). A cost per day is shared over
the minutes in which pieces are worked, whoever works them; such equipment burns whether one more piece is made or not,
so it is not "driven" by a piece and stays out of the lowest price. Of a machine in detail a piece drives the energy
alone: what it costs to own is paid whether it runs or not.
"""

from __future__ import annotations

from meltbook.fields.context import BookContext
from meltbook.fields.kernel import Figure, Fixed, Input, Item, Shape, Table, Typed

NAMES = ("Glory hole", "Annealer", "Other equipment")


def scalars(ctx: BookContext) -> tuple[Item, ...]:
    """What is said of a glory hole that nobody has typed; all else stands in the table."""
    return (
        Figure(
            "glory_not_counted",
            "About the glory hole",
            Shape.TEXT,
            note="While pieces take minutes at it and neither a cost nor a machine is typed for it.",
            formula="IF(AND(COUNT(equipment_counted.1)=0,SUM(piece_glory_used.all)>0),"
            '"The glory hole is in no cost yet: type its cost, or 0, on Shop, or its rows on Equipment.","")',
        ),
    )


def tables(ctx: BookContext) -> tuple[Table, ...]:
    """Three rows, and what a minute or a load of each costs."""
    return (
        Table(
            "equipment",
            "Other equipment",
            (*_typed(), _number(), *_detail(), *_worked_out(), *_driven(), *_open_hour(), *_sure()),
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
            note="Energy and upkeep; 0 for none. Blank: its machines on Equipment. Never save on fresh air or a gas "
            "alarm: fumes and carbon monoxide kill.",
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


def _number() -> Fixed:
    return Fixed("equipment_no", "By number", Shape.COUNT, note="As Equipment numbers it.", values=tuple(range(1, 4)))


def _over_machines(column: str) -> str:
    return f"IF(equipment_detail=0,0,SUMIFS({column}.all,machine_feeds_row.all,equipment_no))"


def _a_minute(name: str, label: str, note: str, formula: str) -> Figure:
    return Figure(name, label, Shape.RATE, unit="{currency} a minute", note=note, formula=formula)


def _a_load(name: str, label: str, note: str, formula: str) -> Figure:
    return Figure(name, label, Shape.MONEY, unit="{currency} a load", note=note, formula=formula)


def _count(name: str, label: str, note: str, formula: str) -> Figure:
    return Figure(name, label, Shape.COUNT, note=note, formula=formula)


def _detail() -> tuple[Item, ...]:
    return (
        _count(
            "equipment_detail",
            "Machines that count",
            "Rows of Equipment that feed it, where no cost is typed here.",
            "IF(COUNT(equipment_cost)=1,0,COUNTIF(machine_feeds_row.all,equipment_no))",
        ),
        _count(
            "equipment_detail_ready",
            "Of them ready",
            "Those whose cost is known and reaches the pieces.",
            "IF(equipment_detail=0,0,COUNTIFS(machine_feeds_row.all,equipment_no,machine_ready.all,1))",
        ),
        _a_minute(
            "equipment_detail_minute",
            "Its machines, a minute",
            "Their parts of a minute of a piece.",
            _over_machines("machine_minute"),
        ),
        _a_load(
            "equipment_detail_load",
            "Its machines, a load",
            "Their parts of a load.",
            _over_machines("machine_load"),
        ),
    )


def _worked_out() -> tuple[Item, ...]:
    return (
        _a_minute(
            "equipment_typed_minute",
            "As typed, a minute",
            "A cost per hour without hours of a load, or a cost per day over the piece minutes of a day; else 0.",
            'SUM(equipment_cost)*IF(equipment_per="Day",IF(SUM(minutes_a_day)>0,1/minutes_a_day,0),'
            'IF(equipment_per="Hour",(1-COUNT(equipment_hours))/60,0))',
        ),
        _a_minute(
            "equipment_minute",
            "Cost a minute",
            "As typed; where nothing is, that of its machines.",
            "equipment_typed_minute+equipment_detail_minute",
        ),
        _a_load(
            "equipment_load",
            "Cost a load",
            "A cost per load, or a cost per hour × the hours of a load; where none is typed, that of its machines.",
            'IF(equipment_per="Load",SUM(equipment_cost),'
            'IF(equipment_per="Hour",SUM(equipment_cost)*SUM(equipment_hours),0))+equipment_detail_load',
        ),
    )


def _driven() -> tuple[Item, ...]:
    return (
        _a_minute(
            "equipment_driven_minute",
            "Driven, a minute",
            "What one more minute makes you spend: 0 for a cost per day; of machines the energy alone.",
            "IF(equipment_detail>0,SUMIFS(machine_driven_minute.all,machine_feeds_row.all,equipment_no),"
            'IF(equipment_per="Day",0,equipment_minute))',
        ),
        _a_load(
            "equipment_driven_load",
            "Driven, a load",
            "What one more load makes you spend; of machines the energy alone.",
            "IF(equipment_detail>0,SUMIFS(machine_driven_load.all,machine_feeds_row.all,equipment_no),equipment_load)",
        ),
        _a_minute(
            "equipment_more_minute",
            "More, a minute",
            "What the letter on New tariff adds to its machines.",
            _over_machines("machine_more_minute"),
        ),
        _a_load(
            "equipment_more_load",
            "More, a load",
            "What the letter on New tariff adds to its machines.",
            _over_machines("machine_more_load"),
        ),
    )


def _open_hour() -> tuple[Item, ...]:
    """What an open hour of the shop takes of it, whoever works in it; see chapter ``hire``."""
    return (
        _a_minute(
            "equipment_day_minute",
            "Of it by the day",
            "The part of a minute that is of what burns all day.",
            'IF(equipment_per="Day",equipment_typed_minute,0)+IF(equipment_detail=0,0,'
            "SUMIFS(machine_minute.all,machine_feeds_row.all,equipment_no,machine_way.all,1))",
        ),
        Figure(
            "equipment_open_hour",
            "An open hour",
            Shape.MONEY,
            unit="{currency} an hour",
            note="What burns all day is spread over the open hours on Hire and classes, the rest burns by the hour.",
            formula="equipment_day_minute*SUM(minutes_a_day)/hire_open_hours"
            "+(equipment_minute-equipment_day_minute)*60",
            needs=("hire_open_hours",),
            nonzero=("hire_open_hours",),
        ),
    )


def _sure() -> tuple[Item, ...]:
    return (
        _count(
            "equipment_counted",
            "Is counted",
            "1 once a cost is typed here, or a machine feeds it.",
            'IF(COUNT(equipment_cost)+equipment_detail>0,1,"")',
        ),
        _count(
            "equipment_known",
            "Is known",
            "1 once its cost is typed and brings a cost a minute or a load, or is 0; or all its machines are ready.",
            "IF(equipment_detail>0,IF(equipment_detail_ready=equipment_detail,1,0),"
            "COUNT(equipment_cost)*IF(OR(SUM(equipment_cost)=0,equipment_minute+equipment_load>0),1,0))",
        ),
        _count(
            "equipment_twice",
            "Typed twice",
            "1 if a cost is typed here and machines on Equipment feed it too: the cost goes before.",
            "IF(AND(COUNT(equipment_cost)=1,COUNTIF(machine_feeds_row.all,equipment_no)>0),1,0)",
        ),
    )
